// SPDX-License-Identifier: GPL-3.0-or-later
// The window: the cell's view in the middle, the line of time below, findings, bodies and moving on the right.
#pragma once

#include <memory>

#include <open3d/visualization/gui/Window.h>

#include "viewer/desk/desk.hpp"
#include "viewer/window/cell_view.hpp"
#include "viewer/window/input_queue.hpp"
#include "viewer/window/panels.hpp"
#include "viewer/window/stage.hpp"

namespace cellproof {

class CellWindow : public open3d::visualization::gui::Window {
 public:
  explicit CellWindow(const std::filesystem::path& cell);

  void open(const std::filesystem::path& cell);
  /// Goes on by some seconds of the clock and draws what is new. Called between the library's ticks, never within.
  void update(double seconds);

  InputQueue& input() { return input_; }
  Desk& desk() { return *desk_; }
  const Desk& desk() const { return *desk_; }

  // What is shown, for who looks on.
  const Panels& panels() const { return panels_; }
  const Orbit& orbit() const { return view_->orbit(); }
  const std::set<std::string>& see_through() const { return through_.names; }
  std::vector<std::string> labels() const;
  std::vector<Control> controls() const;           ///< the view among them
  unsigned drawings() const { return drawings_; }  ///< raised by each
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
    unsigned cell = 0, moment = 0, look = 0, gap = 0, inset = 0;
    int share = -1;
    bool proving = false;
    std::string doing, trouble;
    Orbit orbit;
  };
  /// Where the view was when something was named in it.
  struct NamedView {
    Orbit orbit;
    unsigned moment = 0;
  };
  /// What the pointer rests on.
  struct Pointed {
    Vector2d pixel = Vector2d::Zero();  ///< of the view
    double rested_s = 0;
    bool told = true;
    std::string name;
    std::shared_ptr<PictureWidget> label;
    Orbit orbit;
    unsigned moment = 0;
  };
  void add_labels();
  void connect_view();
  void connect_panels();
  bool on_key(const open3d::visualization::gui::KeyEvent& event);
  void grab_mover(BodyId body);
  void drag_mover(const LookLine& from, const LookLine& to, bool let_go);
  void look_at_finding();
  std::optional<PickedPoint> point_under(const LookLine& line, double snap_mm) const;
  bool draw_new();
  bool draw_verdict();
  bool draw_cell();
  bool draw_list();
  bool draw_moment();
  bool draw_beside();
  bool draw_eye();
  bool draw_pointed();
  void draw_labels();
  void place_labels();

  InputQueue input_;
  std::unique_ptr<Desk> desk_;
  std::shared_ptr<CellView> view_;
  Panels panels_;
  std::unique_ptr<Stage> stage_;
  std::vector<PlacedWords> words_;
  std::vector<std::shared_ptr<PictureWidget>> labels_;  ///< as many as there may be words
  std::optional<NamedView> named_;                      ///< the chosen finding
  Pointed pointed_;
  SeenThrough through_;
  Signs signs_;
  Drawn drawn_;
  bool look_changed_ = false, fit_wanted_ = true, list_changed_ = false;
  double since_drawn_s_ = 0;
  int redraws_left_ = 0;
  unsigned drawings_ = 0;
  Vector3d grabbed_point_ = Vector3d::Zero();
  Placement grabbed_placement_;
};

}  // namespace cellproof
