// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/threads_option.hpp"

namespace cellproof {

void add_threads(CLI::App& command, int& threads) {
  constexpr int most = 4096;
  command
      .add_option("--threads", threads, "work on this many threads; the answer is the same (default 0: all there are)")
      ->check(CLI::Range(0, most));
}

}  // namespace cellproof
