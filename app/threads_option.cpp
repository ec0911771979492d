// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/threads_option.hpp"

namespace cellproof {

void add_threads(Command& command, int& threads) {
  constexpr int most = 4096;
  command.number("--threads", threads, 0, most,
                 "work on this many threads; the answer is the same (default 0: all there are)");
}

}  // namespace cellproof
