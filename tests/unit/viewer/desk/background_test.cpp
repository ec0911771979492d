// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/background.hpp"

#include <atomic>
#include <chrono>

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

void rest() {
  std::this_thread::sleep_for(std::chrono::milliseconds(1));
}

/// Waits for an answer; a test that hangs here is ended by its time limit.
int answer_of(Background<int>& work) {
  while (true) {
    if (const auto answer = work.take()) return *answer;
    rest();
  }
}

}  // namespace

TEST_CASE("Work is answered once") {
  Background<int> work;
  work.ask([](const std::stop_token&) { return 7; });
  CHECK(answer_of(work) == 7);
  CHECK_FALSE(work.take());
  CHECK_FALSE(work.busy());
}

TEST_CASE("Cancelled work is asked to stop, its answer is thrown away and the next is done") {
  Background<int> work;
  std::atomic<bool> begun = false;
  work.ask([&](const std::stop_token& stop) {
    begun = true;
    while (!stop.stop_requested()) rest();
    return 1;
  });
  while (!begun) rest();
  CHECK(work.busy());
  work.cancel();
  work.ask([](const std::stop_token&) { return 2; });
  CHECK(answer_of(work) == 2);
  CHECK_FALSE(work.take());
}

TEST_CASE("Of requests that have not begun only the newest is done") {
  Background<int> work;
  std::atomic<bool> go = false;
  std::atomic<int> done = 0;
  work.ask([&](const std::stop_token&) {
    while (!go) rest();
    return 0;
  });
  for (int i = 1; i <= 5; ++i)
    work.ask([&done, i](const std::stop_token&) {
      ++done;
      return i;
    });
  go = true;
  while (answer_of(work) != 5) rest();
  CHECK(done <= 2);  // the first of them may have begun before the next came
}

TEST_CASE("The end stops what runs") {
  std::atomic<bool> stopped = false, begun = false;
  {
    Background<int> work;
    work.ask([&](const std::stop_token& stop) {
      begun = true;
      while (!stop.stop_requested()) rest();
      stopped = true;
      return 0;
    });
    while (!begun) rest();
  }
  CHECK(stopped);
}
