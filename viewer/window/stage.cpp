// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/stage.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>
#include <open3d/geometry/LineSet.h>
#include <open3d/geometry/TriangleMesh.h>
#include <open3d/visualization/rendering/MaterialRecord.h>

#include "scene/sight/camera_model.hpp"
#include "viewer/desk/surface_mesh.hpp"
#include "viewer/pictures/palette.hpp"
#include "viewer/window/given_colour.hpp"

namespace cellproof {

namespace {

namespace o3d = open3d::geometry;
using open3d::visualization::rendering::MaterialRecord;

MaterialRecord material(const Colour& colour, double opacity) {
  MaterialRecord record;
  record.shader = opacity < 1 ? "defaultLitTransparency" : "defaultLit";
  record.has_alpha = opacity < 1;
  record.base_color = given_to_lit_face(colour, opacity);
  record.base_roughness = 0.75F;
  record.base_reflectance = 0.25F;
  return record;
}

MaterialRecord line_material(const Colour& colour, double width) {
  MaterialRecord record = material(colour, 1);
  record.shader = "unlitLine";
  record.sRGB_color = true;
  record.base_color = given(colour, 1);
  record.line_width = static_cast<float>(width);
  return record;
}

o3d::TriangleMesh open3d_mesh(const Mesh& mesh) {
  DrawnSurface surface = drawn_surface(mesh);
  o3d::TriangleMesh made;
  made.vertices_ = std::move(surface.corners);
  made.vertex_normals_ = std::move(surface.normals);
  for (int i = 0; i + 2 < static_cast<int>(made.vertices_.size()); i += 3) made.triangles_.push_back({i, i + 1, i + 2});
  return made;
}

using Segments = std::vector<std::array<Vector3d, 2>>;

o3d::LineSet open3d_lines(const Segments& segments) {
  o3d::LineSet made;
  for (const auto& segment : segments) {
    const int first = static_cast<int>(made.points_.size());
    made.points_.push_back(segment[0]);
    made.points_.push_back(segment[1]);
    made.lines_.push_back({first, first + 1});
  }
  return made;
}

Segments box_edges(const Vector3d& size) {
  Segments edges;
  for (int axis = 0; axis < 3; ++axis)
    for (const double a : {-0.5, 0.5})
      for (const double b : {-0.5, 0.5}) {
        Vector3d from = Vector3d::Zero();
        from[axis] = -0.5;
        from[(axis + 1) % 3] = a;
        from[(axis + 2) % 3] = b;
        Vector3d to = from;
        to[axis] = 0.5;
        edges.push_back({from.cwiseProduct(size), to.cwiseProduct(size)});
      }
  return edges;
}

Segments frustum_edges(const Camera& camera) {
  const Mesh frustum = view_frustum(camera);
  Segments edges;
  for (std::size_t i = 0; i < 4; ++i) {
    const Vector3d &far = frustum.vertices[4 + i], &next = frustum.vertices[4 + (i + 1) % 4];
    edges.push_back({Vector3d::Zero(), far});
    edges.push_back({far, next});
  }
  return edges;
}

/// x, y and z as a long, a middling and a short line: told apart by length as well.
Segments axes(double length) {
  return {{Vector3d::Zero(), Vector3d(length, 0, 0)},
          {Vector3d::Zero(), Vector3d(0, 0.7 * length, 0)},
          {Vector3d::Zero(), Vector3d(0, 0, 0.4 * length)}};
}

std::string body_name(BodyId id) {
  return fmt::format("body {}", id.index());
}
std::string outline_name(BodyId id) {
  return fmt::format("outline {}", id.index());
}

/// A cell and its proof come one after the other, and mostly with the same bodies.
bool same_bodies(const Scene& a, const Scene& b) {
  return std::ranges::equal(a.bodies, b.bodies, [](const SceneBody& one, const SceneBody& other) {
    const Mesh &mine = one.solid->mesh(), &theirs = other.solid->mesh();
    return one.name == other.name && one.kind == other.kind && mine.vertices == theirs.vertices &&
           mine.triangles == theirs.triangles;
  });
}

constexpr Colour zone_colour{0.20, 0.50, 0.62}, seat_colour{0.20, 0.50, 0.36};

}  // namespace

void Stage::set_scene(const Desk& desk) {
  const std::shared_ptr<const Scene> before = std::exchange(drawn_, desk.proof()->scene);
  const Scene& scene = *drawn_;
  if (before && same_bodies(*before, scene)) {
    for (const FrameSign& sign : signs_) drawing_.RemoveGeometry(sign.name);
  } else {
    drawing_.ClearGeometry();
    looks_.assign(scene.bodies.size(), Appearance::plain);
    for (const BodyId i : ids_of(scene.bodies)) {
      const o3d::TriangleMesh mesh = open3d_mesh(scene.bodies[i].solid->mesh());
      drawing_.AddGeometry(body_name(i), &mesh, material(palette::of(scene.bodies[i].kind), 1), false);
    }
  }
  add_signs(scene);
}

void Stage::add_signs(const Scene& scene) {
  signs_.clear();
  const auto add = [&](const Placed& placed, bool Signs::*kind, const Segments& segments, const Colour& colour,
                       double width) {
    const std::string name = fmt::format("sign {}", signs_.size());
    const o3d::LineSet lines = open3d_lines(segments);
    drawing_.AddGeometry(name, &lines, line_material(colour, width), false);
    signs_.push_back({name, placed, kind});
  };
  const auto add_solid = [&](const Placed& placed, bool Signs::*kind, const Mesh& mesh, const Colour& colour,
                             double opacity) {
    const std::string name = fmt::format("sign {}", signs_.size());
    const o3d::TriangleMesh solid = open3d_mesh(mesh);
    drawing_.AddGeometry(name, &solid, material(colour, opacity), false);
    signs_.push_back({name, placed, kind});
  };
  for (const Camera& camera : scene.cell.cameras) {
    add(camera.placed, &Signs::views, frustum_edges(camera), palette::camera, 1.5);
    add_solid(camera.placed, &Signs::views, view_frustum(camera), palette::camera, 0.10);
  }
  for (const Target& target : scene.cell.targets)
    add(target.placed, &Signs::views, box_edges({target.size[0], target.size[1], 0}), palette::ink, 2);
  for (const Zone& zone : scene.cell.zones) add(zone.placed, &Signs::zones, box_edges(zone.box), zone_colour, 2);
  for (const auto& [name, frame] : scene.frame_ids)
    if (std::ranges::any_of(scene.cell.seats, [&, &seat_name = name](const Seat& seat) {
          return seat_name == seat.name || seat_name.starts_with(seat.name + " ");
        }))
      add({name, Pose::Identity()}, &Signs::seats, axes(60), seat_colour, 2.5);
  for (const Tcp& tcp : scene.cell.tcps) add({tcp.name, Pose::Identity()}, &Signs::frames, axes(60), palette::ink, 2.5);
  for (const char* name : {"world", "base", "flange"})
    if (scene.frame_named(name)) add({name, Pose::Identity()}, &Signs::frames, axes(150), palette::ink, 2.5);
}

void Stage::set_moment(const Desk& desk) {
  const Scene& scene = *desk.proof()->scene;
  const Instant& at = desk.moment().at;
  for (const BodyId i : ids_of(scene.bodies)) {
    const Eigen::Matrix4d pose = at.pose_of(scene.bodies[i]).matrix();
    drawing_.SetGeometryTransform(body_name(i), pose);
    drawing_.ShowGeometry(body_name(i), desk.shown(i) && looks_[i] != Appearance::edges);
    if (drawing_.HasGeometry(outline_name(i))) drawing_.SetGeometryTransform(outline_name(i), pose);
  }
  for (const FrameSign& sign : signs_)
    drawing_.SetGeometryTransform(sign.name, pose_in_world(scene, at, sign.placed).matrix());
  draw_marks(desk);
}

Stage::Appearance Stage::look_of(const Desk& desk, BodyId body, const SeenThrough& through) {
  if (desk.in_trouble(body)) return Appearance::trouble;
  const std::string& name = desk.proof()->scene->bodies[body].name;
  if (through.names.contains(name))
    return through.enclosures.contains(name) ? Appearance::edges : Appearance::see_through;
  return std::ranges::count(through.before, body) > 0 ? Appearance::see_through : Appearance::plain;
}

/// As `looks_` has it.
void Stage::draw_body_as(const SceneBody& body, BodyId id) {
  const Appearance look = looks_[id];
  const bool trouble = look == Appearance::trouble;
  const Colour colour = trouble ? blend(palette::of(body.kind), palette::marked, 0.6) : palette::of(body.kind);
  drawing_.ModifyGeometryMaterial(body_name(id), material(colour, look == Appearance::see_through ? 0.16 : 1));
  if (drawing_.HasGeometry(outline_name(id))) drawing_.RemoveGeometry(outline_name(id));
  if (look == Appearance::plain) return;
  const o3d::LineSet lines = open3d_lines(creases(body.solid->mesh()));
  if (lines.lines_.empty()) return;
  drawing_.AddGeometry(outline_name(id), &lines,
                       trouble ? line_material(palette::marked, 3) : line_material(palette::faint_ink, 1), false);
}

void Stage::set_look(const Desk& desk, const SeenThrough& through, const Signs& signs) {
  const Scene& scene = *desk.proof()->scene;
  for (const BodyId i : ids_of(scene.bodies)) {
    const Appearance look = look_of(desk, i, through);
    if (look == looks_[i]) continue;
    looks_[i] = look;
    draw_body_as(scene.bodies[i], i);
  }
  for (const FrameSign& sign : signs_) drawing_.ShowGeometry(sign.name, signs.*sign.kind);
  set_moment(desk);
  for (const BodyId i : ids_of(scene.bodies))
    if (drawing_.HasGeometry(outline_name(i))) drawing_.ShowGeometry(outline_name(i), desk.shown(i));
}

/// The line between the nearest points of the chosen finding, and the ruler.
void Stage::draw_marks(const Desk& desk) {
  const auto draw = [&](const char* name, const Segments& segments, const Colour& colour) {
    if (drawing_.HasGeometry(name)) drawing_.RemoveGeometry(name);
    if (segments.empty()) return;
    const o3d::LineSet lines = open3d_lines(segments);
    drawing_.AddGeometry(name, &lines, line_material(colour, 5), false);
  };
  Segments pair, ruler;
  if (desk.marked_pair()) pair.push_back(desk.marked_pair()->points);
  const Scene& scene = *desk.proof()->scene;
  if (desk.ruler().from && desk.ruler().to)
    ruler.push_back(
        {in_world(scene, desk.moment().at, *desk.ruler().from), in_world(scene, desk.moment().at, *desk.ruler().to)});
  draw("nearest points", pair, palette::marked);
  draw("ruler", ruler, palette::ink);
}

/// A body of a marked pair is named where it is nearest, any other in its middle.
std::vector<PlacedWords> Stage::finding_words(const Desk& desk) {
  std::vector<PlacedWords> all;
  const Scene& scene = *desk.proof()->scene;
  const Instant& at = desk.moment().at;
  const auto& pair = desk.marked_pair();
  for (const BodyId i : ids_of(scene.bodies)) {
    if (!desk.in_trouble(i) || !desk.shown(i)) continue;
    const Box& box = scene.bodies[i].solid->box();
    Vector3d place = at.pose_of(scene.bodies[i]) * ((box.low + box.high) / 2);
    for (std::size_t end = 0; pair && end < 2; ++end)
      if (pair->between[end] == scene.bodies[i].name) place = pair->points[end];
    all.push_back({place, "! " + scene.bodies[i].name, palette::marked});
  }
  if (pair)
    all.push_back({(pair->points[0] + pair->points[1]) / 2,
                   pair->upper_mm == 0 ? "touch" : length_text(pair->lower_mm, desk.unit()), palette::marked});
  return all;
}

std::vector<PlacedWords> Stage::ruler_words(const Desk& desk) {
  if (!desk.ruler().from || !desk.ruler().to) return {};
  const Scene& scene = *desk.proof()->scene;
  const Instant& at = desk.moment().at;
  return {{(in_world(scene, at, *desk.ruler().from) + in_world(scene, at, *desk.ruler().to)) / 2,
           ruler_text(scene, at, desk.ruler(), desk.unit()), palette::ink}};
}

Box Stage::extent(const Desk& desk) {
  Box box;
  const Scene& scene = *desk.proof()->scene;
  for (const BodyId i : ids_of(scene.bodies)) {
    if (!desk.shown(i)) continue;
    const Pose& pose = desk.moment().at.pose_of(scene.bodies[i]);
    for (const Vector3d& corner : scene.bodies[i].solid->box().corners()) box.add(pose * corner);
  }
  return box;
}

}  // namespace cellproof
