// SPDX-License-Identifier: GPL-3.0-or-later
// What holds the part in the scene: zones or a jaw, seen from the tcp.
#pragma once

#include <optional>
#include <string>
#include <variant>

#include "scene/cycle/cycle.hpp"
#include "scene/forces/carried_mass.hpp"
#include "scene/forces/held_part.hpp"
#include "scene/forces/jaw_grip.hpp"
#include "scene/forces/suction_grip.hpp"

namespace cellproof {

/// A jaw in the tcp's frame.
struct PlacedJaw {
  Jaw jaw;
  Pose in_tcp = Pose::Identity();
};

/// Holds a load given in the tcp's frame.
class Holder {
 public:
  explicit Holder(SuctionGrip grip) : held_by_(std::move(grip)) {}
  explicit Holder(PlacedJaw jaw) : held_by_(std::move(jaw)) {}

  GripFactors factors(const Load& load_in_tcp) const;
  double moment_in_pads(const Load& load_in_tcp) const;  ///< N mm, of a jaw
  double force() const;                                  ///< N: vacuum times area, or the pads' forces together
  const SuctionGrip* suction() const { return std::get_if<SuctionGrip>(&held_by_); }
  const PlacedJaw* jaw() const { return std::get_if<PlacedJaw>(&held_by_); }

 private:
  std::variant<SuctionGrip, PlacedJaw> held_by_;
};

/// What the tcp holds a part with, with the frames as the arrangement has them and the friction that the file has for
/// both, its zones grown to so many times their area; none if the file names nothing.
std::optional<Holder> holder_of(const Scene& scene, const Arrangement& arrangement, TcpId tcp, PartId part,
                                double area_times = 1);

/// The part in hand during a stretch, with the bodies on it; `part` must have a known mass, in its own frame.
HeldPart held_part(const Scene& scene, const Stretch& stretch, const RigidMass& part);

/// A zone or any other frame seen from another, at the arm's joint values.
Pose frame_seen_from(const Scene& scene, const Arrangement& arrangement, const Joints& joints, FrameId frame,
                     FrameId from);

}  // namespace cellproof
