// SPDX-License-Identifier: GPL-3.0-or-later
// The cell made ready for questions: every frame, every body with its mesh. Never changes during a proof.
#pragma once

#include <memory>
#include <optional>
#include <stop_token>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "kinematics/forward.hpp"
#include "scene/basics/input_error.hpp"
#include "scene/cell/cell.hpp"
#include "scene/solids/distance.hpp"
#include "scene/solids/rays.hpp"

namespace cellproof {

/// A node of the frame tree as the file states it. Link frames hang on the base and get their pose from the joints;
/// what a shift, a grip or a run changes is in the Arrangement, never here.
struct Frame {
  std::string name;
  int parent = -1;                    ///< -1 for world only
  Pose in_parent = Pose::Identity();  ///< ignored for link1 … link6
  int link = -1;                      ///< 0 for the base, 1 … 6 for link1 … link6, else -1
};

enum class BodyKind { arm, end_effector, part, surroundings };
std::string_view kind_name(BodyKind kind);  ///< "arm", "end effector", "part", "surroundings"

struct SceneBody {
  std::string name;
  BodyKind kind = BodyKind::surroundings;
  int frame = 0;          ///< the body's own frame
  int link = -1;          ///< arm and end effector: the link that carries it (0 base … 6); else -1
  int owner_part = -1;    ///< for a part, or a body on a part: the part's number in the cell; else -1
  int copy_of_seat = -1;  ///< for an `others` copy of a part: the frame of the seat it fills; else -1
  std::shared_ptr<const Solid> solid;
  std::shared_ptr<const RayBody> rays;
  std::size_t degenerate_dropped = 0;  ///< triangles without area that were left out at import
};

struct Scene {
  Cell cell;
  std::vector<Frame> frames;  ///< [0] is world
  std::vector<SceneBody> bodies;
  int base_frame = -1;
  std::array<int, 7> link_frame{};  ///< [0] the base's
  int flange_frame = -1;
  std::unordered_map<std::string, int> frame_numbers;  ///< by name; a grid's own name is its first seat's

  /// Number of the frame of that name (a body, seat, grid seat, slot, part, tcp …), -1 if there is none.
  int frame_named(std::string_view name) const;
};

/// What hangs where at some time: parents and poses of frames (a part in hand, an open door), and what is there at all.
struct Arrangement {
  std::vector<int> parent;      ///< by frame
  std::vector<Pose> in_parent;  ///< by frame
  std::vector<char> present;    ///< by body
};

/// World poses of all frames, in the order of scene.frames.
std::vector<Pose> world_poses(const Scene& scene, const Arrangement& arrangement, const Joints& joints);

/// World pose of one frame, climbing only its own chain. `links` are the arm's frames at the joints in question.
Pose world_pose(const Scene& scene, const Arrangement& arrangement, const ArmFrames& links, int frame);

/// True if `frame` hangs, directly or through others, on `ancestor` (or is it).
bool rides_on(const Arrangement& arrangement, int frame, int ancestor);

/// The frames and parts as the file states them: parts in their seats, brought-in parts absent, `others` copies absent.
Arrangement stated_arrangement(const Scene& scene);

/// Name of an `others` copy: "blank @ rack 4".
std::string copy_name(std::string_view body, std::string_view seat);

/// The frames alone, without a body: enough to ask where things are.
Scene build_frames(const Cell& cell);

/// Opens the meshes, builds the tree. Paths are relative to the cell's file. Bodies without solids once stop is
/// requested: not to be used then.
Input<Scene> build_scene(const Cell& cell, const std::stop_token& stop = {}, int threads = 0);

}  // namespace cellproof
