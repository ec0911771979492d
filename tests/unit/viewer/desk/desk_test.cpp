// SPDX-License-Identifier: GPL-3.0-or-later
// The window's state from outside: a cell file on disk, the clock, and what the user does.
#include "viewer/desk/desk.hpp"

#include <chrono>
#include <fstream>
#include <thread>

#include <unistd.h>

#include "tests/support/passing_hand.hpp"

using namespace cellproof;
namespace fs = std::filesystem;

namespace {

/// A cell file on disk, rewritten in steps of a second.
struct CellFile {
  fs::path path = fs::temp_directory_path() / fmt::format("cellproof-desk-{}.toml", getpid());
  explicit CellFile(const std::string& text) { write(text); }
  ~CellFile() { fs::remove(path); }
  void write(const std::string& text) {
    std::ofstream(path) << text;
    fs::last_write_time(path, fs::file_time_type::clock::now() + std::chrono::seconds(++written_));
  }

 private:
  int written_ = 0;
};

/// Lets the clock run until something holds; a desk that never comes to it is ended by the test's time limit.
template <class Holds>
void run_until(Desk& desk, const Holds& holds) {
  while (!holds()) {
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
    desk.tick(0.02);
  }
}

void run_until_proved(Desk& desk, unsigned number) {
  run_until(desk, [&] { return desk.proof_number() == number; });
}

std::string without_post(std::string text) {
  const std::string close = "xyz = [0, 0, 130]";
  return text.replace(text.find(close), close.size(), "xyz = [0, 0, 100]");
}

}  // namespace

TEST_CASE("A desk opens a cell, jumps to its finding and marks the pair with its nearest points") {
  const CellFile file(test::passing_hand);
  Desk desk(file.path);
  CHECK(desk.proof() == nullptr);
  run_until_proved(desk, 1);
  REQUIRE_FALSE(desk.proof()->report.pass);
  desk.step_group(false);
  REQUIRE(desk.chosen_finding());
  CHECK(desk.moment().time_s == desk.proof()->report.findings[*desk.chosen_finding()].time_s);
  // 3 mm, straight up from the post's top at 1027 (derived, see passing_hand.hpp).
  REQUIRE(desk.marked_pair());
  const auto& points = desk.marked_pair()->points;
  CHECK((points[0] - points[1]).norm() == Approx(3).margin(1e-6));
  CHECK(std::min(points[0].z(), points[1].z()) == Approx(1027).margin(1e-6));
  CHECK(desk.in_trouble(test::body_named(*desk.proof()->scene, "post")));
  CHECK_FALSE(desk.in_trouble(test::body_named(*desk.proof()->scene, "table")));
}

TEST_CASE("A desk shows the cell before it is proved and plays its plan") {
  const CellFile file(test::passing_hand);
  Desk desk(file.path);
  run_until(desk, [&] { return desk.proof() != nullptr; });
  CHECK_FALSE(desk.proved());  // the cell always comes first
  CHECK(desk.proof_number() == 0);
  CHECK(desk.cell_number() == 1);
  CHECK(desk.proof()->report.findings.empty());
  CHECK_FALSE(desk.proof()->report.pass);
  CHECK(desk.shown(test::body_named(*desk.proof()->scene, "post")));
  desk.toggle_play();
  const double from_s = desk.moment().time_s;
  desk.tick(0.2);
  CHECK(desk.moment().time_s > from_s);
  run_until_proved(desk, 1);
  CHECK(desk.proved());
  CHECK(desk.moment().time_s > from_s);
  CHECK_FALSE(desk.proof()->report.findings.empty());
}

TEST_CASE("The nearest points of a finding are marked at its own instant only") {
  const CellFile file(test::passing_hand);
  Desk desk(file.path);
  run_until_proved(desk, 1);
  desk.step_group(false);
  REQUIRE(desk.marked_pair());
  desk.scrub(0.1);
  CHECK_FALSE(desk.marked_pair());
}

TEST_CASE("A desk plays by the clock and measures the gap beside it") {
  const CellFile file(test::passing_hand);
  Desk desk(file.path);
  run_until_proved(desk, 1);
  desk.toggle_play();
  desk.tick(1.5);
  CHECK(desk.moment().time_s == Approx(50));
  desk.toggle_play();
  desk.scrub(0.5);
  const double time_s = desk.moment().time_s;
  run_until(desk, [&] { return desk.gap() && desk.gap()->time_s == time_s; });
  REQUIRE(desk.gap()->gap);
  CHECK(desk.gap_rule_mm() == 5);
}

TEST_CASE("A changed file is proved anew and the instant stays") {
  CellFile file(test::passing_hand);
  Desk desk(file.path);
  run_until_proved(desk, 1);
  desk.scrub(0.9);
  const double time_s = desk.moment().time_s;
  file.write(without_post(test::passing_hand));
  run_until_proved(desk, 2);
  CHECK(desk.proof()->report.pass);
  CHECK(desk.moment().time_s == time_s);
}

TEST_CASE("A broken file is told and the last good proof stays until it is mended") {
  CellFile file(test::passing_hand);
  Desk desk(file.path);
  run_until_proved(desk, 1);
  file.write(test::passing_hand.substr(0, test::passing_hand.size() / 2));
  run_until(desk, [&] { return !desk.trouble().empty(); });
  CHECK(desk.proof_number() == 1);
  REQUIRE(desk.proof());
  CHECK_FALSE(desk.proof()->report.pass);
  file.write(without_post(test::passing_hand));
  run_until_proved(desk, 2);
  CHECK(desk.trouble().empty());
}

TEST_CASE("A table moved away passes, and put back fails again") {
  const CellFile file(test::passing_hand);
  Desk desk(file.path);
  run_until_proved(desk, 1);
  const FrameId post = desk.proof()->scene->frame_named("post");
  desk.place("table", {{0, 0, -30}, 0});
  CHECK_FALSE(desk.placement_proved());
  CHECK(desk.moment().at.frame_in_world[post].translation().z() == Approx(977));  // shown before it is proved
  desk.prove_placement();
  run_until_proved(desk, 2);
  CHECK(desk.placement_proved());
  CHECK(desk.proof()->report.pass);
  CHECK(desk.moment().at.frame_in_world[post].translation().z() == Approx(977));
  desk.place("", {});
  CHECK(desk.moment().at.frame_in_world[post].translation().z() == Approx(1007));
  desk.prove_placement();
  run_until_proved(desk, 3);
  CHECK_FALSE(desk.proof()->report.pass);
}

TEST_CASE("A body can be hidden and a camera's view be asked for") {
  const CellFile file(test::passing_hand);
  Desk desk(file.path);
  run_until_proved(desk, 1);
  const BodyId post = test::body_named(*desk.proof()->scene, "post");
  CHECK(desk.shown(post));
  desk.hide("post", true);
  CHECK_FALSE(desk.shown(post));
  desk.hide("post", false);
  CHECK(desk.shown(post));
  desk.choose_camera(CameraId(0));
  desk.scrub(0);
  run_until(desk, [&] { return desk.inset().has_value(); });
  CHECK(desk.inset()->image.width == 320);
  CHECK_FALSE(desk.inset()->words.empty());
}
