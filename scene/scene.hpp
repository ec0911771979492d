// SPDX-License-Identifier: GPL-3.0-or-later
// The cell made ready for questions: every frame, every body with its mesh. Never changes during a proof.
#pragma once

#include <array>
#include <cstddef>
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

struct SceneBody;
struct Frame;
using BodyId = Id<SceneBody>;
using FrameId = Id<Frame>;
inline constexpr FrameId world_frame{0};

/// A node of the frame tree as the file states it. Link frames hang on the base and get their pose from the joints;
/// what a shift, a grip or a run changes is in the Arrangement, never here.
struct Frame {
  std::string name;
  FrameId parent;                     ///< none for world only
  Pose in_parent = Pose::Identity();  ///< ignored for link1 … link6
  std::optional<std::size_t> link;    ///< 0 for the base, 1 … 6 for link1 … link6, else none
};

enum class BodyKind { arm, end_effector, part, surroundings };
std::string_view kind_name(BodyKind kind);  ///< "arm", "end effector", "part", "surroundings"

struct SceneBody {
  std::string name;
  BodyKind kind = BodyKind::surroundings;
  FrameId frame;                    ///< the body's own frame
  std::optional<std::size_t> link;  ///< arm and end effector: the link that carries it (0 base … 6); else none
  PartId owner_part;                ///< of a part, or of a body on a part: that part; else none
  FrameId copy_of_seat;             ///< of an `others` copy of a part: the frame of the seat it fills; else none
  std::shared_ptr<const Solid> solid;
  std::shared_ptr<const RayBody> rays;
  std::size_t degenerate_dropped = 0;  ///< triangles without area that were left out at import
};

struct Scene {
  Cell cell;
  Table<FrameId, Frame> frames;  ///< the first is world
  Table<BodyId, SceneBody> bodies;
  FrameId base_frame;
  std::array<FrameId, 7> link_frame;  ///< [0] the base's
  FrameId flange_frame;
  std::unordered_map<std::string, FrameId> frame_ids;  ///< by name; a grid's own name is its first seat's

  /// The frame of that name (a body, seat, grid seat, slot, part, tcp …), none if there is none.
  FrameId frame_named(std::string_view name) const;
  FrameId frame_of(PartId part) const { return frame_named(cell.parts[part].name); }
  FrameId frame_of(TcpId tcp) const { return frame_named(cell.tcps[tcp].name); }
};

/// What hangs where at some time: parents and poses of frames (a part in hand, an open door), and what is there at all.
struct Arrangement {
  Table<FrameId, FrameId> parent;
  Table<FrameId, Pose> in_parent;
  Table<BodyId, char> present;
};

/// World poses of all frames.
Table<FrameId, Pose> world_poses(const Scene& scene, const Arrangement& arrangement, const Joints& joints);

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
Input<Scene> build_scene(const Cell& cell, const std::stop_token& stop = {}, int threads = 0);

}  // namespace cellproof
