// SPDX-License-Identifier: GPL-3.0-or-later
// The cell's bodies and signs as Open3D draws them. Only this file and its like include Open3D.
#pragma once

#include <set>
#include <string>
#include <vector>

#include <open3d/visualization/rendering/Open3DScene.h>

#include "viewer/desk/desk.hpp"
#include "viewer/desk/view_labels.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof {

/// Which signs are drawn beside the bodies.
struct Signs {
  bool views = true, seats = false, zones = true, frames = false;
  bool operator==(const Signs&) const = default;
};

class Stage {
 public:
  explicit Stage(open3d::visualization::rendering::Open3DScene& drawing) : drawing_(drawing) {}

  /// Everything of another proof.
  void set_scene(const Desk& desk);
  /// Where everything is at the desk's moment.
  void set_moment(const Desk& desk);
  /// What is hidden, seen through, in trouble or marked. `before` are bodies that stand before what is looked at.
  void set_look(const Desk& desk, const std::set<std::string>& see_through, const std::vector<BodyId>& before,
                const Signs& signs);

  /// What is to be written into the view.
  std::vector<PlacedWords> words(const Desk& desk) const;
  /// About all that is drawn at the moment (world).
  static Box extent(const Desk& desk);

 private:
  enum class Look { plain, see_through, trouble };
  /// A sign that rides on a frame.
  struct Sign {
    std::string name;
    Placed placed;
    bool Signs::*kind;
  };
  void add_body(const SceneBody& body, const std::string& name);
  void add_signs(const Scene& scene);
  void draw_marks(const Desk& desk);

  open3d::visualization::rendering::Open3DScene& drawing_;
  std::vector<Look> looks_;  ///< by body, as they are drawn
  std::vector<Sign> signs_;
};

}  // namespace cellproof
