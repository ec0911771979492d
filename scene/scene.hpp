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
#include "scene/basics/id.hpp"
#include "scene/basics/input_error.hpp"
#include "scene/cell/cell.hpp"
#include "scene/solids/distance.hpp"
#include "scene/solids/rays.hpp"

namespace cellproof {

struct Frame;
using FrameId = Id<Frame>;
/// The base and the arm's six links, numbered as in ArmFrames.
using LinkId = Id<struct Link>;
inline constexpr FrameId world_frame{0};
inline constexpr LinkId base_link{0}, last_link{6};

/// A node of the frame tree as the file states it. Link frames hang on the base and get their pose from the joints;
/// what a shift, a grip or a run changes is in the Arrangement, never here.
struct Frame {
  std::string name;
  FrameId parent;                     ///< none for world only
  Pose in_parent = Pose::Identity();  ///< ignored for link1 … link6
  LinkId link;                        ///< of the base and link1 … link6
};

enum class BodyKind { arm, end_effector, part, surroundings };
std::string_view kind_name(BodyKind kind);  ///< "arm", "end effector", "part", "surroundings"

struct SceneBody {
  std::string name;
  BodyKind kind = BodyKind::surroundings;
  FrameId frame = world_frame;  ///< the body's own
  LinkId link;                  ///< of the arm and the end effector: what carries it
  PartId owner_part;            ///< of a part, or of a body on a part: that part
  FrameId copy_of_seat;         ///< of an `others` copy of a part: the seat it fills
  std::shared_ptr<const Solid> solid;
  std::shared_ptr<const RayBody> rays;
  std::size_t degenerate_dropped = 0;  ///< triangles without area that were left out at import

  /// It is that part, or rides on it: the part itself, not a copy in another seat. Never true of none.
  bool is_of(PartId part) const { return part && owner_part == part && !copy_of_seat; }
};

using BodyId = Id<SceneBody>;

struct Scene {
  Cell cell;
  std::vector<Frame> frames;      ///< [0] is world
  std::vector<SceneBody> bodies;  ///< the cell's bodies, its parts, then `others` copies
  FrameId base_frame, flange_frame;
  ByLink<FrameId> link_frame;                              ///< [0] the base's
  std::unordered_map<std::string, FrameId> frame_numbers;  ///< by name; a grid's own name is its first seat's

  const Frame& operator[](FrameId frame) const { return frames[frame.index()]; }
  Frame& operator[](FrameId frame) { return frames[frame.index()]; }
  const SceneBody& operator[](BodyId body) const { return bodies[body.index()]; }
  SceneBody& operator[](BodyId body) { return bodies[body.index()]; }

  /// The frame of that name (a body, seat, grid seat, slot, part, tcp …), or none.
  FrameId frame_named(std::string_view name) const;
  BodyId body_of(StatedBodyId body) const { return BodyId(body.index()); }
  /// The frame of an entry of the cell: of a part, a tcp, a zone …
  template <class Entry>
  FrameId frame_of(Id<Entry> entry) const {
    return frame_named(cell[entry].name);
  }
};

using FramePoses = ById<Frame, Pose>;

/// What hangs where at some time: parents and poses of frames (a part in hand, an open door), and what is there at all.
struct Arrangement {
  ById<Frame, FrameId> parent;
  FramePoses in_parent;
  ById<SceneBody, char> present;
};

/// World poses of all frames.
FramePoses world_poses(const Scene& scene, const Arrangement& arrangement, const Joints& joints);

/// World pose of one frame, climbing only its own chain. `links` are the arm's frames at the joints in question.
Pose world_pose(const Scene& scene, const Arrangement& arrangement, const ArmFrames& links, FrameId frame);

/// True if `frame` hangs, directly or through others, on `ancestor` (or is it).
bool rides_on(const Arrangement& arrangement, FrameId frame, FrameId ancestor);

/// The frames and parts as the file states them: parts in their seats, brought-in parts absent, `others` copies absent.
Arrangement stated_arrangement(const Scene& scene);

/// Name of an `others` copy: "blank @ rack 4".
std::string copy_name(std::string_view body, std::string_view seat);

/// The frames alone, without a body: enough to ask where things are.
Scene build_frames(const Cell& cell);

/// Opens the meshes, builds the tree. Paths are relative to the cell's file. Bodies without solids once stop is
/// requested: not to be used then.
Input<Scene> build_scene(const Cell& cell, const std::stop_token& stop = {});

}  // namespace cellproof
