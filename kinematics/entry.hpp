// SPDX-License-Identifier: GPL-3.0-or-later
// Entries counted as Eigen counts: the number of a joint indexes its value in a vector and its limits in an array.
#pragma once

#include <cassert>
#include <cstddef>
#include <iterator>

#include <Eigen/Core>

namespace cellproof {

template <class Entries>
decltype(auto) entry(Entries&& entries, Eigen::Index number) {
  assert(0 <= number && number < std::ssize(entries));
  return entries[static_cast<std::size_t>(number)];
}

}  // namespace cellproof
