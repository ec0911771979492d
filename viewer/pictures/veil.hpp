// SPDX-License-Identifier: GPL-3.0-or-later
// Enclosures hide what a load cycle is about: what of the surroundings a still sees through.
#pragma once

#include <memory>

#include "viewer/pictures/parallel_eye.hpp"
#include "viewer/pictures/walls.hpp"

namespace cellproof {

/// A body of the surroundings is seen through if it hides more than a small share of arm, end effector and parts: those
/// of its walls that hide some of them, and those whose middle is nearer than the flange, save floors below it. Each
/// wall as a whole, so that none is cut where nothing ends.
class Veil {
 public:
  Veil(const Scene& scene, const Instant& at, const ParallelEye& eye, int width, int height,
       const Table<BodyId, char>& drawn);
  bool see_through(std::size_t sample, const Surface& surface) const;

 private:
  /// A body that hides; without walls one that does not.
  struct Hiding {
    Pose eye_in_body = Pose::Identity();
    std::shared_ptr<const Walls> walls;
    Table<WallId, char> through;
  };
  WallId wall_at(const Hiding& hiding, const Vector3d& place_in_eye, const Vector3d& normal_in_eye) const;
  bool is_nearer(const Hiding& hiding, const Wall& wall) const;
  void choose_walls(const Sight& around, const std::vector<Ray>& to_subjects);

  ParallelEye eye_;
  int columns_;  ///< of samples
  Table<BodyId, Hiding> hiding_;
  Vector3d flange_;  ///< in world
};

}  // namespace cellproof
