// SPDX-License-Identifier: GPL-3.0-or-later
// A cell becomes a scene: frames are numbered, meshes opened, bodies sorted by what carries them.
#include "scene/scene.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "scene/cell/frame_names.hpp"
#include "scene/model_store.hpp"

namespace cellproof {

std::string copy_name(std::string_view body, std::string_view seat) {
  return fmt::format("{} @ {}", body, seat);
}

namespace {

/// A frame before its parent has a number.
struct NamedFrame {
  std::string name, on;
  Pose at;
};

/// Every frame that the file names, apart from world, base, links and flange.
std::vector<NamedFrame> stated_frames(const Cell& cell) {
  std::vector<NamedFrame> all;
  const auto add = [&](const std::string& name, const Placed& placed) { all.push_back({name, placed.on, placed.at}); };
  for (const auto& body : cell.bodies) add(body.name, body.placed);
  for (const auto& seat : cell.seats) {
    const auto names = seat_names(seat);
    for (std::size_t i = 0; i < names.size(); ++i)
      all.push_back({names[i], seat.placed.on, seat.placed.at * grid_offset(seat, static_cast<int>(i))});
  }
  if (cell.cycle)
    for (const auto& each : cell.cycle->each) all.push_back({each.slot, each.seats.front(), Pose::Identity()});
  for (const auto& part : cell.parts) all.push_back({part.name, part.seat.empty() ? "world" : part.seat, part.at});
  for (const auto& tcp : cell.tcps) add(tcp.name, tcp.placed);
  for (const auto& suction : cell.suctions) add(suction.name, suction.placed);
  for (const auto& jaw : cell.jaws) add(jaw.name, jaw.placed);
  for (const auto& camera : cell.cameras) add(camera.name, camera.placed);
  for (const auto& target : cell.targets) add(target.name, target.placed);
  for (const auto& zone : cell.zones) add(zone.name, zone.placed);
  return all;
}

FrameId add_frame(Scene& scene, Frame frame) {
  scene.frames.push_back(std::move(frame));
  const FrameId id = scene.frames.last_id();
  scene.frame_ids.emplace(scene.frames[id].name, id);
  return id;
}

void add_arm_frames(Scene& scene) {
  const ArmEntry& entry = scene.cell.arm;
  scene.base_frame = add_frame(scene, {"base", world_frame, entry.base.at, 0});
  scene.link_frame[0] = scene.base_frame;
  for (std::size_t i = 1; i <= 6; ++i)
    scene.link_frame[i] = add_frame(scene, {fmt::format("link{}", i), scene.base_frame, Pose::Identity(), i});
  scene.flange_frame = add_frame(scene, {"flange", scene.link_frame[6], entry.arm.flange_in_link6, {}});
}

void add_frames(Scene& scene) {
  add_frame(scene, {"world", {}, Pose::Identity(), {}});
  add_arm_frames(scene);
  const auto stated = stated_frames(scene.cell);
  std::vector<FrameId> added;
  for (const auto& frame : stated) added.push_back(add_frame(scene, {frame.name, {}, frame.at, {}}));
  for (const auto& seat : scene.cell.seats)  // a grid's own name is its first seat's
    if (seat.grid) scene.frame_ids.emplace(seat.name, scene.frame_named(seat_names(seat).front()));
  for (std::size_t i = 0; i < stated.size(); ++i) scene.frames[added[i]].parent = scene.frame_named(stated[i].on);
  scene.frames[scene.base_frame].parent = scene.frame_named(scene.cell.arm.base.on);
}

/// What carries a body, read off its chain of frames: the first part, tool, flange or link on the way to the world.
void sort_body(const Scene& scene, SceneBody& body) {
  for (FrameId frame = body.frame; frame > world_frame; frame = scene.frames[frame].parent) {
    const Frame& here = scene.frames[frame];
    const PartId part = id_named(scene.cell.parts, here.name);
    if (part) {
      body.kind = BodyKind::part;
      body.owner_part = part;
      return;
    }
    if (frame == scene.flange_frame || id_named(scene.cell.tcps, here.name)) {
      body.kind = BodyKind::end_effector;
      body.link = 6;
      return;
    }
    if (here.link) {
      body.kind = BodyKind::arm;
      body.link = here.link;
      return;
    }
  }
  body.kind = BodyKind::surroundings;
}

/// Copies of a part, and of what rides on it, in every seat that a run may find filled.
void add_copies(Scene& scene, PartId part, const std::vector<std::string>& seats) {
  const Part& original = scene.cell.parts[part];
  const IdRange<BodyId> originals = ids_of(scene.bodies);
  for (const auto& seat : seats) {
    const FrameId seat_frame = scene.frame_named(seat);
    const FrameId root = add_frame(scene, {copy_name(original.name, seat), seat_frame, original.at, {}});
    for (const BodyId i : originals) {
      SceneBody copy = scene.bodies[i];
      if (copy.owner_part != part || copy.copy_of_seat) continue;
      Pose in_part = Pose::Identity();
      for (FrameId f = copy.frame; scene.frames[f].name != original.name; f = scene.frames[f].parent)
        in_part = scene.frames[f].in_parent * in_part;
      copy.frame =
          copy.name == original.name ? root : add_frame(scene, {copy_name(copy.name, seat), root, in_part, {}});
      copy.name = copy_name(copy.name, seat);
      copy.copy_of_seat = seat_frame;
      scene.bodies.push_back(std::move(copy));
    }
  }
}

void add_others(Scene& scene) {
  if (!scene.cell.cycle) return;
  const CycleEntry& cycle = *scene.cell.cycle;
  for (const auto& each : cycle.each)
    for (const PartId part : ids_of(scene.cell.parts)) {
      const Part& entry = scene.cell.parts[part];
      const bool fills = cycle.others
                             ? std::find(cycle.others->begin(), cycle.others->end(), entry.name) != cycle.others->end()
                             : entry.seat == each.slot;
      if (fills) add_copies(scene, part, each.seats);
    }
}

InputError model_error(const Cell& cell, const Origin& origin, const ModelError& error) {
  return {cell.file.string(), origin.line, origin.key, error.what, error.mend};
}

}  // namespace

Arrangement stated_arrangement(const Scene& scene) {
  Arrangement stated;
  for (const auto& frame : scene.frames) {
    stated.parent.push_back(frame.parent);
    stated.in_parent.push_back(frame.in_parent);
  }
  for (const auto& body : scene.bodies) {
    const bool absent = body.copy_of_seat || (body.owner_part && scene.cell.parts[body.owner_part].seat.empty());
    stated.present.push_back(absent ? 0 : 1);
  }
  return stated;
}

Scene build_frames(const Cell& cell) {
  Scene scene;
  scene.cell = cell;
  add_frames(scene);
  return scene;
}

Input<Scene> build_scene(const Cell& cell, const std::stop_token& stop, int threads) {
  Scene scene = build_frames(cell);

  std::vector<ModelRequest> requests;
  std::vector<std::pair<std::string, Origin>> stated;
  const auto add = [&](const auto& entry) {
    requests.push_back({entry.shape});
    stated.emplace_back(entry.name, entry.origin);
  };
  for (const auto& body : cell.bodies) add(body);
  for (const auto& part : cell.parts) add(part);
  const auto models = open_models(requests, cell.file.parent_path(), stop, threads);
  for (std::size_t i = 0; i < requests.size(); ++i) {
    const auto& [name, origin] = stated[i];
    if (!models[i]) return tl::unexpected(model_error(cell, origin, models[i].error()));
    SceneBody body;
    body.name = name;
    body.frame = scene.frame_named(name);
    body.solid = models[i]->solid;
    body.rays = models[i]->rays;
    body.degenerate_dropped = models[i]->degenerate_dropped;
    sort_body(scene, body);
    scene.bodies.push_back(std::move(body));
  }
  add_others(scene);
  return scene;
}

}  // namespace cellproof
