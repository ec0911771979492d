// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/parallel.hpp"

#include <atomic>
#include <stdexcept>
#include <thread>
#include <vector>

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("Every index is worked on once on any number of threads") {
  for (const int threads : {0, 1, 2, 7}) {
    std::vector<int> calls(1000, 0);
    parallel_for(calls.size(), threads, {}, [&](std::size_t i) { ++calls[i]; });
    CAPTURE(threads);
    CHECK(calls == std::vector<int>(1000, 1));
  }
}

TEST_CASE("No work is no call") {
  int calls = 0;
  parallel_for(0, 0, {}, [&](std::size_t) { ++calls; });
  CHECK(calls == 0);
}

TEST_CASE("One thread means the caller's own") {
  const auto caller = std::this_thread::get_id();
  std::atomic<int> elsewhere = 0;
  parallel_for(1000, 1, {}, [&](std::size_t) { elsewhere += std::this_thread::get_id() != caller; });
  CHECK(elsewhere == 0);
}

TEST_CASE("No more threads work at once than were asked for") {
  std::atomic<int> now = 0, most = 0;
  parallel_for(200, 2, {}, [&](std::size_t) {
    const int mine = ++now;
    for (int seen = most; mine > seen && !most.compare_exchange_weak(seen, mine);) {
    }
    std::this_thread::sleep_for(std::chrono::microseconds(50));
    --now;
  });
  CHECK(most >= 1);
  CHECK(most <= 2);
}

TEST_CASE("A stop asked for before leaves everything undone") {
  std::stop_source source;
  source.request_stop();
  std::atomic<int> calls = 0;
  parallel_for(1000, 0, source.get_token(), [&](std::size_t) { ++calls; });
  CHECK(calls == 0);
}

TEST_CASE("A stop asked for on the way leaves the rest undone") {
  std::stop_source source;
  std::atomic<int> calls = 0;
  parallel_for(100000, 1, source.get_token(), [&](std::size_t) {
    if (++calls == 10) source.request_stop();
  });
  CHECK(calls == 10);
}

TEST_CASE("Loops nest") {
  std::vector<int> calls(400, 0);
  parallel_for(20, 2, {}, [&](std::size_t i) { parallel_for(20, 2, {}, [&](std::size_t j) { ++calls[20 * i + j]; }); });
  CHECK(calls == std::vector<int>(400, 1));
}

TEST_CASE("An exception in the work reaches the caller") {
  const auto throwing = [](std::size_t i) {
    if (i == 37) throw std::runtime_error("thirty-seven");
  };
  CHECK_THROWS_WITH(parallel_for(100, 2, {}, throwing), "thirty-seven");
}
