// SPDX-License-Identifier: GPL-3.0-or-later
// Enclosures hide what a load cycle is about: what of the surroundings a still sees through.
#pragma once

#include "viewer/pictures/parallel_eye.hpp"

namespace cellproof {

/// A body of the surroundings is seen through if it hides more than a small share of arm, end effector and parts: on
/// every ray that goes on to one of those, and elsewhere as far as it is nearer than the flange, save floors below it.
class Veil {
 public:
  Veil(const Scene& scene, const Instant& at, const ParallelEye& eye, int width, int height,
       const ById<SceneBody, char>& drawn);
  bool see_through(std::size_t sample, const Surface& surface) const;

 private:
  ParallelEye eye_;
  Surfaces subjects_;  ///< arm, end effector and parts alone
  ById<SceneBody, char> hides_;
  Vector3d flange_;  ///< in world
};

}  // namespace cellproof
