// SPDX-License-Identifier: GPL-3.0-or-later
// The loop on plain threads, for the thread sanitizer's build in place of scene/basics/parallel.cpp: it can't see how
// TBB's scheduler keeps its own order, and cries wolf.
#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

#include "scene/basics/parallel.hpp"

namespace cellproof {

namespace {

std::size_t workers_of(std::size_t count, int threads) {
  const std::size_t all = std::max(1U, std::thread::hardware_concurrency());
  const std::size_t asked = threads > 0 ? std::min(static_cast<std::size_t>(threads), all) : all;
  return std::min(asked, count);
}

}  // namespace

void parallel_for(std::size_t count, int threads, const std::stop_token& stop,
                  const std::function<void(std::size_t)>& work) {
  std::atomic<std::size_t> next = 0;
  std::mutex mutex;
  std::exception_ptr thrown;
  const auto run = [&] {
    try {
      for (std::size_t i = next++; i < count; i = next++)
        if (!stop.stop_requested()) work(i);
    } catch (...) {
      const std::lock_guard<std::mutex> lock(mutex);
      if (!thrown) thrown = std::current_exception();
      next = count;
    }
  };
  {
    std::vector<std::jthread> others;
    for (std::size_t i = 1; i < workers_of(count, threads); ++i) others.emplace_back(run);
    run();
  }
  if (thrown) std::rethrow_exception(thrown);
}

}  // namespace cellproof
