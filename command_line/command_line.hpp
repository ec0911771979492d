// SPDX-License-Identifier: GPL-3.0-or-later
// A program's command line: its commands with their words and options, and the help that tells them. CLI11, which reads
// it, takes seconds to compile, so it stands in one source and in no header.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include <tl/expected.hpp>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace cellproof {

/// An option that was declared, to say more of it.
class Option {
 public:
  Option& required();
  /// The number is above 0.
  Option& positive();
  /// The help tells the value that it has where none is given.
  Option& tells_default();
  Option& not_with(const Option& other);

 private:
  friend class Command;
  explicit Option(CLI::Option* option) : option_(option) {}
  CLI::Option* option_;
};

/// A command, or a program without commands. What is read goes to the references that options are declared with; they
/// must be there as long as the command line is read. A value that is empty is refused.
class Command {
 public:
  /// A word that must be given, without dashes; `words`: one or more.
  void word(const std::string& name, std::string& value, const std::string& help);
  void words(const std::string& name, std::vector<std::string>& values, const std::string& help);

  /// "--name VALUE" or "--name=VALUE".
  Option option(const std::string& name, std::string& value, const std::string& help);
  Option option(const std::string& name, double& value, const std::string& help);
  /// A whole number from `least` to `most`.
  Option number(const std::string& name, int& value, int least, int most, const std::string& help);
  /// "--name VALUE VALUE …".
  Option list(const std::string& name, std::vector<std::string>& values, const std::string& help);
  /// "--name VALUE --name VALUE …".
  Option repeated(const std::string& name, std::vector<std::string>& values, const std::string& help);
  void flag(const std::string& name, bool& value, const std::string& help);

  /// What the help ends with, an example.
  void closing(const std::string& text);
  /// What it does; gives the exit status.
  void runs(std::function<int()> action);

 private:
  friend class CommandLine;
  Command(CLI::App* app, std::function<int()>* chosen) : app_(app), chosen_(chosen) {}
  CLI::App* app_;
  std::function<int()>* chosen_;  ///< where the action goes if this is the command that is given
};

/// What the words ask for: a text to print (help, version), else an action.
struct Request {
  std::string text;
  std::function<int()> run;
};

/// What is wrong with the words, and what to do: two clauses.
struct UsageError {
  std::string what, mend;
};

class CommandLine {
 public:
  /// `about`: a line that says what the program is.
  CommandLine(const std::string& program, const std::string& about);
  ~CommandLine();
  CommandLine(const CommandLine&) = delete;
  CommandLine& operator=(const CommandLine&) = delete;

  /// What --version prints.
  void version(const std::string& text);
  /// Once there is a command, one must be given.
  Command command(const std::string& name, const std::string& about);
  /// The program itself, for what holds without a command.
  Command itself();

  /// Reads the words behind the program's name. Once only.
  tl::expected<Request, UsageError> read(int argc, const char* const* argv);

 private:
  std::vector<std::string> commands() const;
  UsageError usage_error(const std::string& what) const;

  std::unique_ptr<CLI::App> program_;
  std::function<int()> chosen_;
};

}  // namespace cellproof
