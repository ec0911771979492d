// SPDX-License-Identifier: GPL-3.0-or-later
// The window: the cell's view in the middle, the line of time below, findings, bodies and moving on the right.
#pragma once

#include <memory>

#include <open3d/visualization/gui/Window.h>

#include "viewer/desk/desk.hpp"
#include "viewer/window/cell_view.hpp"
#include "viewer/window/panels.hpp"
#include "viewer/window/stage.hpp"

namespace cellproof {

class CellWindow : public open3d::visualization::gui::Window {
 public:
  explicit CellWindow(const std::filesystem::path& cell);

  void open(const std::filesystem::path& cell);
  /// Goes on by some seconds of the clock and draws what is new. Called between the library's ticks, never within.
  void update(double seconds);

  Desk& desk() { return *desk_; }
  void look_from(Side side);
  void fit();
  void zoom(double clicks);
  void show_page(Page page);
  void choose_finding_group(std::size_t group);
  void step_finding(bool backwards);
  void toggle_see_through(const std::string& body);

 protected:
  void Layout(const open3d::visualization::gui::LayoutContext& context) override;
  void OnDragDropped(const char* path) override { open(path); }

 private:
  /// Numbers of the desk's changes that have been drawn.
  struct Drawn {
    unsigned proof = 0, moment = 0, look = 0, gap = 0, inset = 0;
    int share = -1;
    bool proving = false, placement_proved = true;
    std::string trouble;
    Orbit orbit;
  };
  void connect_view();
  void connect_panels();
  bool on_key(const open3d::visualization::gui::KeyEvent& event);
  void grab_mover(BodyId body);
  void drag_mover(const LookLine& from, const LookLine& to, bool let_go);
  void look_at_finding();
  bool draw_new();
  bool draw_verdict();
  bool draw_proof();
  bool draw_moment();
  bool draw_beside();
  bool draw_eye();
  void draw_labels();
  void place_labels();

  std::unique_ptr<Desk> desk_;
  std::shared_ptr<CellView> view_;
  Panels panels_;
  std::unique_ptr<Stage> stage_;
  std::vector<PlacedWords> words_;
  std::vector<std::shared_ptr<PictureWidget>> labels_;  ///< as many as there may be words
  std::set<std::string> see_through_;
  std::vector<BodyId> before_;  ///< bodies between the eye and what a finding is about
  Signs signs_;
  Drawn drawn_;
  bool look_changed_ = false, fit_wanted_ = true;
  double since_drawn_s_ = 0;
  int redraws_left_ = 0;
  Vector3d grabbed_point_ = Vector3d::Zero();
  Placement grabbed_placement_;
};

}  // namespace cellproof
