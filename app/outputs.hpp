// SPDX-License-Identifier: GPL-3.0-or-later
// What a command writes: all of it or nothing.
#pragma once

#include <string>
#include <vector>

#include <tl/expected.hpp>

namespace cellproof {

/// Gathers a command's outputs and writes them together.
class Outputs {
 public:
  /// What goes to the file that an option names. Empty: the option is not given. "-" is standard output; a device or a
  /// pipe is written to, and the file behind a link is replaced, not the link.
  void add(const std::string& option, const std::string& file, std::string content);
  /// For the reader: on standard output, unless an option has that.
  void tell(std::string text);

  /// Every file is made whole beside its place, with a name of its own that nothing had before, and standard output is
  /// out; then the files are put in place. Ended from outside at any moment, each file is whole, the old or the new.
  /// Error: a sentence; then no new file is there, nor anything beside it.
  tl::expected<void, std::string> write();

 private:
  struct Output {
    std::string option, file, content;
  };
  std::vector<Output> outputs_;
  std::string text_;
};

/// Writes them; the status, or that of unusable input with a line on standard error.
int deliver(Outputs& outputs, int status);

}  // namespace cellproof
