// SPDX-License-Identifier: GPL-3.0-or-later
// The only door to threads. The same result on any number of them: the body of a loop writes to its own index only.
#pragma once

#include <cstddef>
#include <functional>
#include <stop_token>

namespace cellproof {

/// Calls work(i) for i in [0, count) on `threads` threads (0: all there are, and never more than those). Calls not yet
/// begun are skipped once stop is requested.
void parallel_for(std::size_t count, int threads, const std::stop_token& stop,
                  const std::function<void(std::size_t)>& work);

/// The same for the rows of a picture, by number.
inline void parallel_rows(int rows, int threads, const std::stop_token& stop, const std::function<void(int)>& work) {
  parallel_for(static_cast<std::size_t>(rows), threads, stop, [&](std::size_t row) { work(static_cast<int>(row)); });
}

}  // namespace cellproof
