// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/progress_line.hpp"

#include <cstdio>

#include <fmt/format.h>
#include <unistd.h>

namespace cellproof {

std::function<void(double, const std::string&)> terminal_progress() {
  if (!::isatty(STDERR_FILENO)) return {};
  return [](double share, const std::string& what) {
    fmt::print(stderr, "\r{:3.0f} % {:<60.60}", 100 * share, what);
    std::fflush(stderr);
  };
}

void end_progress() {
  if (!::isatty(STDERR_FILENO)) return;
  fmt::print(stderr, "\r{:<68}\r", "");
  std::fflush(stderr);
}

}  // namespace cellproof
