// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/relief.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "scene/cell/suction_force.hpp"
#include "scene/files/mesh_format.hpp"
#include "scene/files/step_import.hpp"
#include "scene/files/stl_file.hpp"
#include "scene/mesh/mesh_pieces.hpp"
#include "scene/model_store.hpp"
#include "scene/sight/sight.hpp"
#include "scene/with_mesh.hpp"

namespace cellproof {

namespace {

const Body& body_of(const Scene& scene, const ReliefRequest& request) {
  return scene.cell.bodies[request.body];
}

FrameId frame_of(const Scene& scene, const ReliefRequest& request) {
  return scene.bodies[body_in(scene, request)].frame;
}

/// The model as its file has it, not thinned.
tl::expected<std::shared_ptr<const Solid>, ModelError> whole_model(const Scene& scene, const ReliefRequest& request) {
  Shape shape = body_of(scene, request).shape;
  auto* source = std::get_if<MeshSource>(&shape);
  if (!source || !source->simplify_mm) return scene.bodies[body_in(scene, request)].solid;
  source->simplify_mm.reset();
  auto opened = open_models({{shape}}, scene.cell.file.parent_path(), request.stop);
  if (!opened.front()) return tl::unexpected(opened.front().error());
  return opened.front()->solid;
}

tl::expected<SolidCut, ModelError> cut_step(const Scene& scene, const ReliefRequest& request, const Mesh& mesh,
                                            const std::vector<ConvexSolid>& views, const std::string& subject) {
  const auto* source = std::get_if<MeshSource>(&body_of(scene, request).shape);
  if (!source || !holds_solids(source->file))
    return tl::unexpected(ModelError{fmt::format("{} comes from no STEP file and can't be written as one", subject),
                                     "let --out end in .stl"});
  const auto bytes = step_file_bytes(scene.cell.file.parent_path() / source->file);
  if (!bytes) return tl::unexpected(bytes.error());
  return cut_step_free({*bytes, source->solid, source->deviation_mm}, mesh, views, subject, request.stop);
}

tl::expected<SolidCut, ModelError> cut_triangles_free(const ReliefRequest& request, const Mesh& mesh,
                                                      const std::vector<ConvexSolid>& views,
                                                      const std::string& subject) {
  auto cut = cut_mesh_free(mesh, views, subject, request.stop);
  if (!cut || cut->removed_mm3 == 0) return cut;
  auto rounded = in_single_precision(cut->rest, request.unit_mm);
  if (!rounded)
    return tl::unexpected(ModelError{
        fmt::format("{} has slivers after the cut that do not stay closed in single precision, as STL has it", subject),
        "change the margin by a little"});
  cut->rest = std::move(*rounded);
  return cut;
}

/// Volumes of the pieces that hang together; hollows taken off the piece are none.
std::vector<double> piece_volumes(const Mesh& mesh) {
  std::vector<double> volumes;
  for (const Mesh& piece : separate_shells(mesh))
    if (const double volume = solid_properties(piece).volume; volume > 0) volumes.push_back(volume);
  std::sort(volumes.begin(), volumes.end(), std::greater<>());
  return volumes;
}

/// The matter is taken as even: what comes off weighs its share of the volume.
void take_masses(const Body& body, const Solid& before, Relief& relief) {
  const auto mass = rigid_mass(before.mesh(), before.closed().closed, {body.mass, body.density, body.com});
  if (!mass) return;
  RigidMass after;
  const double gone = mass->kg * relief.cut.removed_mm3 / relief.cut.before_mm3;
  after.kg = mass->kg - gone;
  after.com = (mass->kg * mass->com - gone * relief.cut.removed_centroid) / after.kg;
  relief.mass_before = *mass;
  relief.mass_after = after;
}

void take_zones(const Scene& scene, const std::vector<Look>& looks, const ReliefRequest& request, const Solid& before,
                Relief& relief) {
  const Instant at = looks.empty() ? instant(scene, stated_arrangement(scene), Joints::Zero())
                                   : instant(scene, looks.front().view.arrangement, looks.front().view.joints);
  const Pose world_in_body = at.frame_in_world[frame_of(scene, request)].inverse();
  for (const Suction& zone : scene.cell.suctions) {
    const Pose zone_in_body = world_in_body * at.frame_in_world[scene.frame_named(zone.name)];
    const ZoneLoss loss = zone_loss(zone, zone_in_body, before, relief.views);
    if (loss.lost_mm2 == 0 && !loss.seal_crossed) continue;
    const double force = suction_force(zone);
    relief.zones.push_back({zone.name, loss, force, force * (1 - loss.lost_mm2 / loss.area_mm2)});
  }
}

void take_surface(const Solid& before, Relief& relief) {
  const auto cut = cut_triangles(before, relief.cut.rest, relief.views);
  constexpr double points = 20000;
  relief.deepest = deepest_cut(before, relief.cut.rest, cut);
  relief.wall_spacing_mm = wall_spacing(relief.cut.rest, cut, points);
  relief.wall = least_wall(relief.cut.rest, cut, relief.wall_spacing_mm);
}

}  // namespace

BodyId body_in(const Scene& scene, const ReliefRequest& request) {
  return id_named(scene.bodies, body_of(scene, request).name);
}

tl::expected<Relief, ModelError> cut_relief(const Scene& scene, const std::vector<Look>& looks,
                                            const std::vector<Touch>& touches, const ReliefRequest& request) {
  const Body& body = body_of(scene, request);
  const std::string subject = fmt::format("'{}'", body.name);
  auto views =
      views_in(scene, looks, {request.camera, frame_of(scene, request), request.targets_only, request.margin_mm});
  if (!views) return tl::unexpected(views.error());
  const auto before = whole_model(scene, request);
  if (!before) return tl::unexpected(before.error());
  auto cut = request.as_step ? cut_step(scene, request, (*before)->mesh(), *views, subject)
                             : cut_triangles_free(request, (*before)->mesh(), *views, subject);
  if (!cut) return tl::unexpected(cut.error());
  if (cut->removed_mm3 == 0)
    return tl::unexpected(ModelError{fmt::format("{} does not stand in the view of '{}': there is nothing to cut",
                                                 subject, scene.cell.cameras[request.camera].name),
                                     "name the body that does; cellproof check tells which"});
  Relief relief;
  relief.views = std::move(*views);
  relief.cut = std::move(*cut);
  relief.pieces_before = piece_volumes((*before)->mesh()).size();
  relief.pieces_mm3 = piece_volumes(relief.cut.rest);
  take_surface(**before, relief);
  take_masses(body, **before, relief);
  take_zones(scene, looks, request, **before, relief);
  const BodyId cut_body = body_in(scene, request);
  const Scene after = with_mesh(scene, cut_body, relief.cut.rest);
  relief.touches = touch_losses(scene, after, cut_body, touches);
  for (const Look& look : looks)
    relief.looks.push_back({look, measure_view(scene, look.view), measure_view(after, look.view)});
  return relief;
}

}  // namespace cellproof
