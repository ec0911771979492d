// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/carried_mass.hpp"

#include <fmt/format.h>

namespace cellproof {

namespace {

/// Of a frame in an ancestor of it.
Pose pose_in(const Arrangement& arrangement, FrameId frame, FrameId ancestor) {
  Pose pose = Pose::Identity();
  for (FrameId f = frame; f != ancestor; f = arrangement.parent[f]) pose = arrangement.in_parent[f] * pose;
  return pose;
}

template <class Belongs>
MassSum sum_over(const Scene& scene, const BodyMasses& masses, const Arrangement& arrangement, FrameId frame,
                 const Belongs& belongs) {
  MassSum sum{no_mass(), {}};
  for (const BodyId b : ids_of(scene.bodies)) {
    const SceneBody& body = scene.bodies[b];
    if (body.copy_of_seat || !belongs(body)) continue;
    MassSum one;
    if (masses[b])
      one.mass = placed_mass(*masses[b], pose_in(arrangement, body.frame, frame));
    else
      one.lacking.push_back({body.name, masses[b].error()});
    sum = sum_of(sum, one);
  }
  return sum;
}

}  // namespace

Matter matter_of(const Cell& cell, const std::string& name) {
  if (const BodyEntryId body = id_named(cell.bodies, name)) {
    const Body& entry = cell.bodies[body];
    return {entry.mass, entry.density, entry.com};
  }
  const Part& part = cell.parts[id_named(cell.parts, name)];
  return {part.mass, part.density, part.com};
}

BodyMasses body_masses(const Scene& scene) {
  const std::string not_given = "neither mass nor density";
  const std::string open = "no volume, for the mesh is open, and not both mass and com";
  BodyMasses masses;
  for (const SceneBody& body : scene.bodies) {
    // A copy in another seat is never carried, and has no entry of its own.
    const Matter matter = !body.copy_of_seat ? matter_of(scene.cell, body.name) : Matter{};
    const auto mine = rigid_mass(body.solid->mesh(), body.solid->closed().closed, matter);
    masses.push_back(mine.map_error([&](MassLack lack) { return lack == MassLack::open_mesh ? open : not_given; }));
  }
  return masses;
}

MassSum sum_of(const MassSum& a, const MassSum& b) {
  MassSum sum;
  sum.lacking = a.lacking;
  sum.lacking.insert(sum.lacking.end(), b.lacking.begin(), b.lacking.end());
  if (sum.known()) sum.mass = mass_together(a.mass, b.mass);
  return sum;
}

MassSum part_mass(const Scene& scene, const BodyMasses& masses, const Arrangement& arrangement, PartId part) {
  const FrameId frame = scene.frame_of(part);
  return sum_over(scene, masses, arrangement, frame, [&](const SceneBody& body) { return body.owner_part == part; });
}

MassSum end_effector_mass(const Scene& scene, const BodyMasses& masses, const Arrangement& arrangement) {
  return sum_over(scene, masses, arrangement, scene.flange_frame,
                  [](const SceneBody& body) { return body.kind == BodyKind::end_effector; });
}

std::array<MassSum, 6> link_masses(const Scene& scene, const BodyMasses& masses, const Arrangement& arrangement) {
  std::array<MassSum, 6> links;
  for (std::size_t link = 1; link <= 6; ++link) {
    bool any = false;
    links[link - 1] = sum_over(scene, masses, arrangement, scene.link_frame[link], [&](const SceneBody& body) {
      const bool mine = body.kind == BodyKind::arm && body.link == static_cast<int>(link);
      any = any || mine;
      return mine;
    });
    if (!any) links[link - 1].lacking.push_back({fmt::format("link{}", link), "no body"});
  }
  return links;
}

}  // namespace cellproof
