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

/// What lets one look at what is behind it.
struct SeenThrough {
  std::set<std::string> names;       ///< chosen by the user
  std::set<std::string> enclosures;  ///< of those, what shows its edges only
  std::vector<BodyId> before;        ///< bodies that stand before what is looked at
};

class Stage {
 public:
  explicit Stage(open3d::visualization::rendering::Open3DScene& drawing) : drawing_(drawing) {}

  /// Everything of another proof.
  void set_scene(const Desk& desk);
  /// Where everything is at the desk's moment.
  void set_moment(const Desk& desk);
  /// What is hidden, seen through, in trouble or marked.
  void set_look(const Desk& desk, const SeenThrough& through, const Signs& signs);

  /// What is to be written into the view about the chosen finding.
  static std::vector<PlacedWords> finding_words(const Desk& desk);
  static std::vector<PlacedWords> ruler_words(const Desk& desk);
  /// About all that is drawn at the moment (world).
  static Box extent(const Desk& desk);

 private:
  enum class Appearance { plain, see_through, edges, trouble };
  /// A sign that rides on a frame.
  struct FrameSign {
    std::string name;
    Placed placed;
    bool Signs::*kind;
  };
  static Appearance look_of(const Desk& desk, BodyId body, const SeenThrough& through);
  void draw_body_as(const SceneBody& body, BodyId id);
  void add_signs(const Scene& scene);
  void draw_marks(const Desk& desk);

  open3d::visualization::rendering::Open3DScene& drawing_;
  std::shared_ptr<const Scene> drawn_;  ///< whose bodies are drawn
  Table<BodyId, Appearance> looks_;     ///< as they are drawn
  std::vector<FrameSign> signs_;
};

}  // namespace cellproof
