// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/cell_view.hpp"

#include <algorithm>

#include <open3d/visualization/gui/Events.h>
#include <open3d/visualization/rendering/Camera.h>
#include <open3d/visualization/rendering/Open3DScene.h>

#include "viewer/window/graphics_queue.hpp"

namespace cellproof {

namespace gui = open3d::visualization::gui;
namespace rendering = open3d::visualization::rendering;

ViewSize CellView::size() const {
  const gui::Rect& frame = GetFrame();
  return {static_cast<double>(std::max(1, frame.width)), static_cast<double>(std::max(1, frame.height))};
}

void CellView::look(const Orbit& orbit) {
  orbit_ = orbit;
  ForceRedraw();
}

gui::Widget::DrawResult CellView::Draw(const gui::DrawContext& context) {
  finish_graphics();
  if (on_draw) on_draw();
  // The library sets a projection of its own when the frame changes: ours is set anew for every drawing.
  rendering::Camera* camera = GetScene()->GetCamera();
  const double near = std::max(1.0, 0.01 * orbit_.distance), far = orbit_.distance + 20'000;
  camera->SetProjection(degrees(view_angle), size().width / size().height, near, far,
                        rendering::Camera::FovType::Vertical);
  camera->LookAt(orbit_.at.cast<float>(), orbit_.eye().cast<float>(), orbit_.up().cast<float>());
  return SceneWidget::Draw(context);
}

void CellView::SetFrame(const gui::Rect& frame) {
  SceneWidget::SetFrame(frame);
  ForceRedraw();
}

gui::Widget::EventResult CellView::Mouse(const gui::MouseEvent& event) {
  const gui::Rect& frame = GetFrame();
  const Vector2d pixel(event.x - frame.x, event.y - frame.y);
  switch (event.type) {
    case gui::MouseEvent::BUTTON_DOWN:
      return press(event, pixel);
    case gui::MouseEvent::DRAG:
      drag(event, pixel);
      return EventResult::CONSUMED;
    case gui::MouseEvent::BUTTON_UP:
      let_go(pixel);
      return EventResult::CONSUMED;
    case gui::MouseEvent::WHEEL:
      look(zoomed(orbit_, static_cast<double>(event.wheel.dy)));
      return EventResult::CONSUMED;
    case gui::MouseEvent::MOVE:
      if (on_point) on_point(pixel);
      return EventResult::IGNORED;
    default:
      return EventResult::IGNORED;
  }
}

gui::Widget::EventResult CellView::press(const gui::MouseEvent& event, const Vector2d& pixel) {
  pressed_ = last_ = pixel;
  moved_ = false;
  const bool left = event.button.button == gui::MouseButton::LEFT;
  if (left && event.button.count == 2 && on_centre) on_centre(line_at(pixel));
  grabbed_line_ = line_at(pixel);
  grabbed_ = left && on_grab && on_grab(grabbed_line_);
  return EventResult::CONSUMED;
}

void CellView::drag(const gui::MouseEvent& event, const Vector2d& pixel) {
  constexpr double still_a_click = 3;
  moved_ = moved_ || (pixel - pressed_).norm() > still_a_click;
  const PointerWay way{pixel.x() - last_.x(), pixel.y() - last_.y(), size().height};
  last_ = pixel;
  if (grabbed_) {
    if (on_grabbed) on_grabbed(grabbed_line_, line_at(pixel), false);
    return;
  }
  const bool left = (event.move.buttons & static_cast<int>(gui::MouseButton::LEFT)) != 0;
  const bool shift = (event.modifiers & static_cast<int>(gui::KeyModifier::SHIFT)) != 0;
  look(left && !shift ? turned(orbit_, way) : shifted(orbit_, way));
}

void CellView::let_go(const Vector2d& pixel) {
  if (grabbed_ && on_grabbed) on_grabbed(grabbed_line_, line_at(pixel), true);
  if (!grabbed_ && !moved_ && on_click) on_click(line_at(pixel));
  grabbed_ = false;
}

}  // namespace cellproof
