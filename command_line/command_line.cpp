// SPDX-License-Identifier: GPL-3.0-or-later
#include "command_line/command_line.hpp"

#include <algorithm>
#include <sstream>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace cellproof {

namespace {

template <class Value>
CLI::Option* added(CLI::App& app, const std::string& name, Value& value, const std::string& help) {
  const auto refusal = [](const std::string& text) {
    return std::string(text.empty() ? "is empty; give a value" : "");
  };
  return app.add_option(name, value, help)->check(refusal, "");
}

}  // namespace

Option& Option::required() {
  option_->required();
  return *this;
}

Option& Option::positive() {
  option_->check(CLI::PositiveNumber);
  return *this;
}

Option& Option::tells_default() {
  option_->capture_default_str();
  return *this;
}

Option& Option::not_with(const Option& other) {
  option_->excludes(other.option_);
  return *this;
}

void Command::word(const std::string& name, std::string& value, const std::string& help) {
  added(*app_, name, value, help)->required();
}

void Command::words(const std::string& name, std::vector<std::string>& values, const std::string& help) {
  added(*app_, name, values, help)->required();
}

Option Command::option(const std::string& name, std::string& value, const std::string& help) {
  return Option(added(*app_, name, value, help));
}

Option Command::option(const std::string& name, double& value, const std::string& help) {
  return Option(added(*app_, name, value, help));
}

Option Command::number(const std::string& name, int& value, int least, int most, const std::string& help) {
  CLI::Option* option = added(*app_, name, value, help);
  option->check(CLI::Range(least, most));
  return Option(option);
}

Option Command::list(const std::string& name, std::vector<std::string>& values, const std::string& help) {
  return Option(added(*app_, name, values, help));
}

Option Command::repeated(const std::string& name, std::vector<std::string>& values, const std::string& help) {
  return Option(added(*app_, name, values, help)->allow_extra_args(false));
}

void Command::flag(const std::string& name, bool& value, const std::string& help) {
  app_->add_flag(name, value, help);
}

void Command::closing(const std::string& text) {
  app_->footer(text);
}

void Command::runs(std::function<int()> action) {
  app_->callback([chosen = chosen_, action = std::move(action)] { *chosen = action; });
}

CommandLine::CommandLine(const std::string& program, const std::string& about)
    : program_(std::make_unique<CLI::App>(about, program)) {}

CommandLine::~CommandLine() = default;

void CommandLine::version(const std::string& text) {
  program_->set_version_flag("--version", text);
}

Command CommandLine::command(const std::string& name, const std::string& about) {
  program_->require_subcommand(1);
  return {program_->add_subcommand(name, about), &chosen_};
}

Command CommandLine::itself() {
  return {program_.get(), &chosen_};
}

std::vector<std::string> CommandLine::commands() const {
  std::vector<std::string> names;
  for (const CLI::App* command : std::as_const(*program_).get_subcommands({})) names.push_back(command->get_name());
  return names;
}

UsageError CommandLine::usage_error(const std::string& what) const {
  const auto given = program_->get_subcommands();
  return {what,
          fmt::format("see {} {}--help", program_->get_name(), given.empty() ? "" : given.front()->get_name() + " ")};
}

tl::expected<Request, UsageError> CommandLine::read(int argc, const char* const* argv) {
  const auto names = commands();
  // The library would only say that it did not expect the word.
  if (argc > 1 && !names.empty() && argv[1][0] != '-' && std::find(names.begin(), names.end(), argv[1]) == names.end())
    return tl::unexpected(UsageError{fmt::format("there is no command '{}'", argv[1]),
                                     fmt::format("use one of {}", fmt::join(names, ", "))});
  try {
    program_->parse(argc, argv);
  } catch (const CLI::Success& asked) {
    std::ostringstream text;
    program_->exit(asked, text, text);
    return Request{text.str(), {}};
  } catch (const CLI::ParseError& error) {
    return tl::unexpected(usage_error(error.what()));
  }
  return Request{"", chosen_};
}

}  // namespace cellproof
