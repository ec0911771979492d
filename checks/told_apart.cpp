// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/told_apart.hpp"

#include <fmt/format.h>

namespace cellproof {

int digits_apart(double a, double b, int at_least) {
  constexpr int most = 9;
  int digits = at_least;
  while (digits < most && a != b && fmt::format("{:.{}f}", a, digits) == fmt::format("{:.{}f}", b, digits)) ++digits;
  return digits;
}

std::string told_from(double measured, double asked, int at_least) {
  return fmt::format("{:.{}f}", measured, digits_apart(measured, asked, at_least));
}

}  // namespace cellproof
