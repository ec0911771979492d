// SPDX-License-Identifier: GPL-3.0-or-later
// A part in its fixture at an instant, as forces and places in the seat's frame.
#pragma once

#include <optional>
#include <vector>

#include "checks/hold_spans.hpp"
#include "scene/forces/carried_mass.hpp"
#include "scene/forces/clasped_hold.hpp"
#include "scene/forces/cutting_force.hpp"
#include "scene/forces/facing_faces.hpp"

namespace cellproof {

/// A part of the cell somewhere in the world while it is held, and what the machine makes of it then.
struct HeldInstant {
  const Stretch* stretch;
  PartId part;
  Pose part_in_world = Pose::Identity();
  PartId before, after;  ///< the part as the work finds it and as it leaves it; the same where there is none
};

/// True for a hold with a jaw.
bool is_clasped(const Hold& hold);

/// All that a hold's case is made of, seen from the seat.
struct SeatView {
  Table<FrameId, Pose> world;
  Pose world_in_seat = Pose::Identity();
  std::vector<PlacedMesh> part;
  RigidMass mass;                      ///< of the part with what is on it
  Vector3d weight = Vector3d::Zero();  ///< N
  double friction = 0;                 ///< of part and fixture
  std::vector<Vector2d> rests;         ///< as given where the part is over them, else as found from the meshes
  bool rests_known = false;            ///< given or found
  bool rests_found = false;            ///< from the meshes
  std::vector<Vector2d> beside;        ///< rests and clamps as given that the part is not at: they carry nothing
  std::vector<Vector2d> over;          ///< where the cut acts: as given, else where the part changes, else its outline
};

/// Nothing where no mass is known.
std::optional<SeatView> seat_view(const Scene& scene, const BodyMasses& masses, const Hold& hold,
                                  const HeldInstant& instant);

/// N: vacuum times area, the clamps, or the pads together.
double holding_force(const Cell& cell, const Hold& hold);

/// Of a hold by vacuum or clamps; the forces of its cut, if it has one.
FixtureCase pressed_case(const Scene& scene, const Hold& hold, const SeatView& view, const CutForces& forces);

/// Of a hold by a jaw.
ClaspedCase clasped_case(const Scene& scene, const Hold& hold, const SeatView& view, const CutForces& forces);

/// The same with other forces of the cut.
FixtureCase with_cut(FixtureCase fixture, const CutForces& forces);
ClaspedCase with_cut(ClaspedCase clasped, const CutForces& forces);

}  // namespace cellproof
