// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/parallel.hpp"

#include <algorithm>

#include <tbb/info.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

namespace cellproof {

void parallel_for(std::size_t count, int threads, const std::stop_token& stop,
                  const std::function<void(std::size_t)>& work) {
  const auto call = [&](std::size_t i) {
    if (!stop.stop_requested()) work(i);
  };
  const int all = tbb::info::default_concurrency();  // asking for more makes TBB complain on standard error
  tbb::task_arena arena(threads > 0 ? std::min(threads, all) : all);
  arena.execute([&] { tbb::parallel_for(std::size_t{0}, count, call); });
}

}  // namespace cellproof
