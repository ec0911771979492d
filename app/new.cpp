// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof new: a starter cell.
#include <filesystem>
#include <memory>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/outputs.hpp"
#include "app/starter_cell.hpp"

namespace cellproof {

namespace {

/// Anything of that name, also a link that leads nowhere.
bool is_taken(const std::string& file) {
  std::error_code error;
  const auto type = std::filesystem::symlink_status(file, error).type();
  return file != "-" && type != std::filesystem::file_type::not_found && type != std::filesystem::file_type::none;
}

int new_cell(const std::string& file) {
  if (is_taken(file)) return refuse(fmt::format("{}: is there already; name a new file, or remove it first", file));
  Outputs outputs;
  outputs.add("", file, std::string(starter_cell));
  outputs.tell(fmt::format("wrote {}; next: cellproof check {}\n", file, file));
  return deliver(outputs, exit_pass);
}

}  // namespace

void add_new(CommandLine& program) {
  auto file = std::make_shared<std::string>();
  Command command = program.command("new", "write a starter cell with comments, ready to check and to change");
  command.word("FILE", *file, "the file to write, which must not be there yet; - is standard output");
  command.closing("Example: cellproof new mycell.toml");
  command.runs([file] { return new_cell(*file); });
}

}  // namespace cellproof
