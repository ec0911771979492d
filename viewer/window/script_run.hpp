// SPDX-License-Identifier: GPL-3.0-or-later
// Does a script's steps in the window, one after the other, each when the last has been shown.
#pragma once

#include <chrono>
#include <functional>
#include <memory>

#include "viewer/desk/script.hpp"
#include "viewer/window/cell_window.hpp"
#include "viewer/window/display.hpp"

namespace cellproof {

class ScriptRun {
 public:
  explicit ScriptRun(std::vector<ScriptStep> steps) : steps_(std::move(steps)) {}

  /// Called between the library's ticks. False once the window is to be closed. Without a step left it leaves the
  /// window to its user.
  bool go_on(CellWindow& window, double seconds);
  /// What could not be done: "LINE: what is wrong"; empty so far.
  const std::string& trouble() const { return trouble_; }

 private:
  bool begin(CellWindow& window, const ScriptStep& step);
  void begin_on_cell(CellWindow& window, const ScriptStep& step);
  void await_proof(CellWindow& window);
  void replace_file(const ScriptStep& step);
  void fail(const ScriptStep& step, const std::string& what);
  void take_screenshot(const ScriptStep& step);
  void measure(CellWindow& window, double seconds);

  std::vector<ScriptStep> steps_;
  std::size_t next_ = 0;
  double rest_s_ = 0;               ///< until the next step
  bool plays_ = false;              ///< the step that rests began to play, and ends it
  std::function<bool()> holds_up_;  ///< while true the next step waits
  unsigned proofs_ = 0;
  std::string troubles_;
  std::chrono::steady_clock::time_point changed_ = std::chrono::steady_clock::now();  ///< what is to be proved
  std::unique_ptr<ShownFrames> frames_;
  double measured_s_ = 0, measure_s_ = 0;
  std::string trouble_;
};

}  // namespace cellproof
