// SPDX-License-Identifier: GPL-3.0-or-later
// A panel that shows a picture of ours and tells where it was pressed.
#pragma once

#include <functional>

#include <open3d/visualization/gui/ImageWidget.h>

#include "kinematics/types.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof {

class PictureWidget : public open3d::visualization::gui::ImageWidget {
 public:
  explicit PictureWidget(const Colour& empty);
  void show(const Image& picture);

  /// Pixel of the picture. `dragged`: the button was pressed before and is held.
  std::function<void(const Vector2d& pixel, bool dragged)> on_press;
  std::function<void(double clicks)> on_wheel;
  /// For what lies over another: that takes the mouse in its place.
  std::shared_ptr<open3d::visualization::gui::Widget> under;

  EventResult Mouse(const open3d::visualization::gui::MouseEvent& event) override;

 private:
  int width_ = 0, height_ = 0;  ///< of the picture shown last
};

}  // namespace cellproof
