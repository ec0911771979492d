// SPDX-License-Identifier: GPL-3.0-or-later
// Another program, run to its end: its bytes, its status, its limits.
#include "scene/files/child_process.hpp"

#include <cerrno>
#include <csignal>
#include <thread>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "scene/basics/parallel.hpp"

using namespace cellproof;
using End = ChildResult::End;

namespace {

ChildResult shell(const std::string& script, const std::string& input = "", const ChildLimits& limits = {}) {
  return run_child("/bin/sh", {"-c", script}, input, limits);
}

}  // namespace

TEST_CASE("what goes in comes out, whatever bytes and however many") {
  std::string bytes(5'000'000, '\0');
  for (std::size_t i = 0; i < bytes.size(); ++i) bytes[i] = static_cast<char>(i * 7 + i / 251);
  const ChildResult result = shell("cat; echo said >&2", bytes);
  CHECK(result.end == End::exited);
  CHECK(result.status == 0);
  CHECK((result.output == bytes));
  CHECK(result.error == "said\n");
}

TEST_CASE("a child's end is told: its status, its signal, that it never began") {
  CHECK(shell("exit 7").status == 7);
  const ChildResult killed = shell("kill -KILL $$");
  CHECK(killed.end == End::killed_by_signal);
  CHECK(killed.status == SIGKILL);
  const ChildResult none = run_child("/no/such/program", {}, "", {});
  CHECK(none.end == End::not_started);
  CHECK(none.status == ENOENT);
  const ChildResult folder = run_child("/tmp", {}, "", {});
  CHECK(folder.end == End::not_started);
  CHECK(folder.status == EACCES);
}

TEST_CASE("a child's time is limited, and that of all it started") {
  const ChildLimits short_time{std::chrono::milliseconds(200), std::size_t{1} << 32};
  for (const char* script : {"sleep 50", "sleep 50 & wait", "exec >&- 2>&-; sleep 50", "trap '' TERM INT; sleep 50"}) {
    INFO(script);
    const auto from = std::chrono::steady_clock::now();
    CHECK(shell(script, "", short_time).end == End::out_of_time);
    CHECK(std::chrono::steady_clock::now() - from < std::chrono::seconds(30));
  }
}

TEST_CASE("a child ends when it is asked to stop") {
  std::stop_source source;
  std::thread stopper([&] {
    std::this_thread::sleep_for(std::chrono::milliseconds(100));
    source.request_stop();
  });
  const ChildResult result = run_child("/bin/sh", {"-c", "sleep 50"}, "", {}, source.get_token());
  stopper.join();
  CHECK(result.end == End::stopped);
}

TEST_CASE("a child's memory is limited") {
  const ChildLimits small{std::chrono::seconds(60), std::size_t{512} << 20};
  CHECK(shell("ulimit -v", "", small).output == fmt::format("{}\n", 512 * 1024));
}

TEST_CASE("of what a child says on its standard error, so much is kept that a message can be made of it") {
  const ChildResult result = shell("yes words | head -c 3000000 >&2");
  CHECK(result.end == End::exited);
  CHECK(result.error.size() == 65536);
}

TEST_CASE("many children at once do not mix up their bytes") {
  std::vector<ChildResult> results(40);
  parallel_for(results.size(), 0, {}, [&](std::size_t i) { results[i] = shell("cat", std::to_string(i)); });
  for (std::size_t i = 0; i < results.size(); ++i) CHECK(results[i].output == std::to_string(i));
}
