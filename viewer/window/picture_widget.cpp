// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/picture_widget.hpp"

#include <open3d/geometry/Image.h>
#include <open3d/visualization/gui/Events.h>

namespace cellproof {

namespace gui = open3d::visualization::gui;

namespace {

std::shared_ptr<open3d::geometry::Image> open3d_image(const Image& picture) {
  auto image = std::make_shared<open3d::geometry::Image>();
  image->Prepare(picture.width, picture.height, 3, 1);
  std::uint8_t* byte = image->data_.data();
  for (const std::uint32_t pixel : picture.pixels) {
    *byte++ = static_cast<std::uint8_t>(pixel >> 16);
    *byte++ = static_cast<std::uint8_t>(pixel >> 8);
    *byte++ = static_cast<std::uint8_t>(pixel);
  }
  return image;
}

}  // namespace

PictureWidget::PictureWidget(const Colour& empty) : ImageWidget(open3d_image(blank_image(8, 8, empty))) {}

void PictureWidget::show(const Image& picture) {
  // A picture of another size put into the old texture is shown in the old size until the next.
  const bool as_before = picture.width == width_ && picture.height == height_;
  width_ = picture.width;
  height_ = picture.height;
  if (as_before)
    UpdateImage(open3d_image(picture));
  else
    SetUIImage(std::make_shared<open3d::visualization::gui::UIImage>(open3d_image(picture)));
}

gui::Widget::EventResult PictureWidget::Mouse(const gui::MouseEvent& event) {
  if (under) return under->Mouse(event);
  const gui::Rect& frame = GetFrame();
  const Vector2d pixel(event.x - frame.x, event.y - frame.y);
  switch (event.type) {
    case gui::MouseEvent::BUTTON_DOWN:
      if (on_press && event.button.button == gui::MouseButton::LEFT) on_press(pixel, false);
      return EventResult::CONSUMED;
    case gui::MouseEvent::DRAG:
      if (on_press && (event.move.buttons & static_cast<int>(gui::MouseButton::LEFT)) != 0) on_press(pixel, true);
      return EventResult::CONSUMED;
    case gui::MouseEvent::WHEEL:
      if (on_wheel) on_wheel(static_cast<double>(event.wheel.dy));
      return EventResult::CONSUMED;
    default:
      return EventResult::IGNORED;
  }
}

}  // namespace cellproof
