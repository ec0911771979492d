// SPDX-License-Identifier: GPL-3.0-or-later
// The view of the cell with our own mouse map: left turns, right or shift shifts, the wheel goes nearer, a double click
// looks at what is there.
#pragma once

#include <functional>

#include <open3d/visualization/gui/SceneWidget.h>

#include "viewer/desk/orbit.hpp"

namespace cellproof {

class CellView : public open3d::visualization::gui::SceneWidget {
 public:
  const Orbit& orbit() const { return orbit_; }
  void look(const Orbit& orbit);
  ViewSize size() const;
  LookLine line_at(const Vector2d& pixel) const { return line_through(orbit_, pixel, size()); }

  std::function<void()> on_draw;                        ///< a drawing of the window has begun
  std::function<void(const LookLine&)> on_click;        ///< pressed and let go in one place
  std::function<void(const LookLine&)> on_centre;       ///< pressed twice
  std::function<void(const Vector2d& pixel)> on_point;  ///< the pointer moved, nothing pressed; pixel of the view
  /// Asked where a drag begins; true takes the drag away from the view and gives `on_grabbed` every further line.
  std::function<bool(const LookLine&)> on_grab;
  std::function<void(const LookLine& from, const LookLine& to, bool let_go)> on_grabbed;

  EventResult Mouse(const open3d::visualization::gui::MouseEvent& event) override;
  EventResult Key(const open3d::visualization::gui::KeyEvent&) override { return EventResult::IGNORED; }
  void SetFrame(const open3d::visualization::gui::Rect& frame) override;
  DrawResult Draw(const open3d::visualization::gui::DrawContext& context) override;

 private:
  EventResult press(const open3d::visualization::gui::MouseEvent& event, const Vector2d& pixel);
  void drag(const open3d::visualization::gui::MouseEvent& event, const Vector2d& pixel);
  void let_go(const Vector2d& pixel);

  Orbit orbit_;
  Vector2d pressed_ = Vector2d::Zero(), last_ = Vector2d::Zero();
  LookLine grabbed_line_;
  bool grabbed_ = false, moved_ = false;
};

}  // namespace cellproof
