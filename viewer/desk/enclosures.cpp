// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/enclosures.hpp"

#include <algorithm>
#include <optional>

#include "viewer/pictures/moment.hpp"

namespace cellproof {

namespace {

constexpr std::size_t enough_directions = 4;

/// In world.
struct WorthSeeing {
  Vector3d place;
  BodyId body;  ///< whose middle it is, if it is one
};

/// Where the tool is at every stretch's end, and the middles of what stands about.
std::vector<WorthSeeing> places_worth_seeing(const Scene& scene, const Cycle& cycle, const Instant& start) {
  std::vector<WorthSeeing> places;
  for (const BodyId i : ids_of(scene.bodies)) {
    const Box& box = scene.bodies[i].solid->box();
    if (scene.bodies[i].kind == BodyKind::surroundings)
      places.push_back({start.pose_of(scene.bodies[i]) * ((box.low + box.high) / 2), i});
  }
  if (cycle.runs.empty()) return places;
  for (const Stretch& stretch : cycle.runs.front().stretches) {
    const Moment moment = moment_of(scene, cycle, 0, stretch.end_s);
    const FrameId tool = moment.tcp.empty() ? scene.flange_frame : scene.frame_named(moment.tcp);
    places.push_back({moment.at.frame_in_world[tool].translation(), {}});
  }
  return places;
}

/// In how many of the six directions along its axes a place within a body's box looks at that body.
std::size_t directions_shut(const Sight& body_alone, const Pose& pose, const Vector3d& place) {
  std::vector<Ray> rays;
  for (int axis = 0; axis < 3; ++axis)
    for (const double sign : {-1.0, 1.0}) {
      Ray ray{.origin = place, .direction = sign * pose.linear().col(axis)};
      rays.push_back(ray);
    }
  std::vector<Hit> hits(rays.size());
  body_alone.first_hits(rays, hits);
  std::size_t shut = 0;
  for (std::size_t i = 0; i < rays.size(); ++i)  // from within its material a ray meets a face from behind
    if (hits[i].body && hits[i].normal.dot(rays[i].direction) < 0) ++shut;
  return shut;
}

bool encloses(const Scene& scene, const Instant& at, BodyId body, const std::vector<WorthSeeing>& places) {
  const Box& box = scene.bodies[body].solid->box();
  if ((box.high - box.low).minCoeff() < least_enclosure_mm) return false;
  const Sight alone = sight_from(scene, at, Pose::Identity(), [&](BodyId other) { return other == body; });
  const Pose& pose = at.pose_of(scene.bodies[body]);
  return std::ranges::any_of(places, [&](const WorthSeeing& seen) {
    return seen.body != body && box.contains(pose.inverse() * seen.place) &&
           directions_shut(alone, pose, seen.place) >= enough_directions;
  });
}

}  // namespace

std::vector<std::string> enclosures_of(const Scene& scene, const Cycle& cycle) {
  std::vector<std::string> names;
  if (cycle.runs.empty()) return names;
  const Instant start = moment_of(scene, cycle, 0, 0).at;
  const std::vector<WorthSeeing> places = places_worth_seeing(scene, cycle, start);
  for (const BodyId i : ids_of(scene.bodies))
    if (scene.bodies[i].kind == BodyKind::surroundings && start.present[i] && encloses(scene, start, i, places))
      names.push_back(scene.bodies[i].name);
  return names;
}

}  // namespace cellproof
