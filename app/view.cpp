// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof view: the 3D window, a program of its own that is started in our place.
#include <cerrno>
#include <cstring>
#include <memory>

#include <fmt/format.h>
#include <unistd.h>

#include "app/commands.hpp"
#include "scene/files/cad_helper.hpp"

namespace cellproof {

namespace {

int view(const std::string& cell) {
  const std::string window = (cad_helper().parent_path() / "cellproof-window").string();
  execl(window.c_str(), window.c_str(), "--", cell.c_str(), static_cast<char*>(nullptr));
  return refuse(fmt::format("cellproof view: {} can't be started ({}); install it beside cellproof", window,
                            std::strerror(errno)));
}

}  // namespace

void add_view(CommandLine& program) {
  auto cell = std::make_shared<std::string>();
  Command command = program.command("view", "the 3D window: the cell, its cycle and what was found");
  command.word("CELL", *cell, "the cell file");
  command.closing(
      "Mouse: left turns, right or shift and left shifts, the wheel goes nearer, a double click looks at what is "
      "there.\n"
      "Keys: space plays, n and b go to the next finding and back, f fits, left, right, home and end go along the line "
      "of time.\n"
      "Example: cellproof view mycell.toml");
  command.runs([cell] { return view(*cell); });
}

}  // namespace cellproof
