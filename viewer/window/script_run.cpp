// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/script_run.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <utility>

#include <fmt/format.h>

#include "viewer/window/window_title.hpp"

namespace cellproof {

namespace {

constexpr double settle_s = 0.6;      ///< for the screen to show what was drawn
constexpr double most_a_tick = 0.05;  ///< a tick that took long to draw has not been shown for as long

double number(const std::string& word) {
  char* end = nullptr;
  const double value = std::strtod(word.c_str(), &end);
  return end != word.c_str() && *end == '\0' ? value : std::numeric_limits<double>::quiet_NaN();
}

bool has_body(const Desk& desk, const std::string& name) {
  return std::ranges::count(desk.proof()->scene->bodies, name, &SceneBody::name) > 0;
}

}  // namespace

void ScriptRun::fail(const ScriptStep& step, const std::string& what) {
  trouble_ = fmt::format("{}: {}: {}", step.line, step.verb, what);
}

void ScriptRun::take_screenshot(const ScriptStep& step) {
  const auto picture = picture_of_window(window_title);
  if (!picture) return fail(step, picture.error());
  const auto png = png_of(*picture);
  if (!png) return fail(step, png.error());
  std::ofstream out(step.words[0], std::ios::binary);
  out << *png;
  if (!out.flush()) fail(step, "the file can't be written; check the path");
}

/// To and fro along the line of time, as fast as the window draws.
void ScriptRun::measure(CellWindow& window, double seconds) {
  measured_s_ += seconds;
  constexpr double once_s = 8;
  const double share = std::fmod(measured_s_, 2 * once_s) / once_s;
  window.desk().scrub(share < 1 ? share : 2 - share);
  if (measured_s_ < measure_s_) return;
  fmt::print("{:.1f} frames a second shown over {:.1f} s\n", frames_->count() / measured_s_, measured_s_);
  std::fflush(stdout);
  frames_.reset();
}

void ScriptRun::await_proof(CellWindow& window) {
  holds_up_ = [this, &window] {
    const Desk& now = window.desk();
    if (now.proof_number() == proofs_ && now.trouble() == troubles_) return true;
    proofs_ = now.proof_number();
    troubles_ = now.trouble();
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - changed_;
    fmt::print("{} after {:.2f} s\n", troubles_.empty() ? "a new proof" : "what is wrong with the file", took.count());
    std::fflush(stdout);
    return false;
  };
}

void ScriptRun::replace_file(const ScriptStep& step) {
  std::error_code error;
  std::filesystem::copy_file(step.words[1], step.words[0], std::filesystem::copy_options::overwrite_existing, error);
  if (error) return fail(step, fmt::format("'{}' can't be written: {}", step.words[0], error.message()));
  changed_ = std::chrono::steady_clock::now();
}

bool ScriptRun::begin(CellWindow& window, const ScriptStep& step) {
  const auto& words = step.words;
  const auto& verb = step.verb;
  if (verb == "open") {
    window.open(words[0]);
    changed_ = std::chrono::steady_clock::now();
    proofs_ = 0;
    troubles_.clear();
    holds_up_ = [&window] { return !window.desk().proof() && window.desk().trouble().empty(); };
  } else if (verb == "await-proof") {
    await_proof(window);
  } else if (verb == "replace") {
    replace_file(step);
  } else if (verb == "screenshot") {
    take_screenshot(step);
  } else if (verb == "view") {
    if (words[0] == "fit")
      window.fit();
    else if (const auto side = side_named(words[0]))
      window.look_from(*side);
    else
      fail(step, fmt::format("there is no side '{}'; use quarter, front, back, left, right, top or fit", words[0]));
  } else if (verb == "zoom") {
    window.zoom(number(words[0]));
  } else if (verb == "unit") {
    window.desk().set_unit(words[0] == "in" ? LengthUnit::inch : LengthUnit::mm);
  } else if (verb == "page") {
    window.show_page(words[0] == "bodies" ? Page::bodies : words[0] == "move" ? Page::move : Page::findings);
  } else if (verb == "quit") {
    return false;
  } else if (!window.desk().proof()) {
    fail(step, "there is nothing to show; mend the cell first");
  } else {
    begin_on_cell(window, step);
  }
  return true;
}

/// What asks for a cell that is shown.
void ScriptRun::begin_on_cell(CellWindow& window, const ScriptStep& step) {
  Desk& desk = window.desk();
  const auto& words = step.words;
  const auto& verb = step.verb;
  if (verb == "play") {
    if (!desk.playhead().playing) desk.toggle_play();
    plays_ = true;
    rest_s_ = number(words[0]);
  } else if (verb == "scrub") {
    desk.scrub(number(words[0]));
  } else if (verb == "next-finding") {
    window.step_finding(false);
  } else if (verb == "camera") {
    const CameraId camera = id_named(desk.proof()->scene->cell.cameras, words[0]);
    if (!camera) fail(step, fmt::format("there is no camera '{}'", words[0]));
    desk.choose_camera(camera);
  } else if (verb == "measure") {
    measure_s_ = number(words[0]);
    measured_s_ = 0;
    frames_ = std::make_unique<ShownFrames>(window_title);
  } else if (verb == "place") {
    Placement placement{{number(words[1]), number(words[2]), number(words[3])}, radians(number(words[4]))};
    desk.place(words[0], placement);
    desk.prove_placement();
  } else if (!has_body(desk, words[0])) {
    fail(step, fmt::format("there is no body '{}'", words[0]));
  } else if (verb == "see-through") {
    window.toggle_see_through(words[0]);
  } else {
    desk.hide(words[0], verb == "hide");
  }
}

bool ScriptRun::go_on(CellWindow& window, double seconds) {
  if (frames_) {
    measure(window, seconds);
    return true;
  }
  if (holds_up_) {
    if (holds_up_()) return true;
    holds_up_ = nullptr;
    rest_s_ = settle_s;
  }
  rest_s_ -= std::min(seconds, most_a_tick);
  if (rest_s_ > 0) return true;
  if (std::exchange(plays_, false) && window.desk().playhead().playing) window.desk().toggle_play();
  if (!trouble_.empty()) return false;
  if (next_ == steps_.size()) return true;  // the window stays
  if (steps_[next_].verb == "screenshot" && window.desk().proof() && !window.desk().beside_done()) {
    rest_s_ = settle_s;
    return true;
  }
  rest_s_ = settle_s;
  return begin(window, steps_[next_++]);
}

}  // namespace cellproof
