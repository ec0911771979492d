// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/still.hpp"

#include <algorithm>
#include <cmath>

#include "scene/sight/camera_model.hpp"
#include "viewer/pictures/furniture.hpp"
#include "viewer/pictures/labels.hpp"
#include "viewer/pictures/palette.hpp"
#include "viewer/pictures/parallel_eye.hpp"
#include "viewer/pictures/veil.hpp"

namespace cellproof {
namespace {

bool among(const std::vector<std::string>& names, const std::string& name) {
  return std::ranges::find(names, name) != names.end();
}

/// Everything that the pieces of a still are drawn from.
struct StillScene {
  const Scene& scene;
  const StillRequest& request;
  Instant at{};
  Table<BodyId, char> drawn{};
  double size = 14;  ///< of the letters, pixels
  Area drawing{};    ///< between the name columns
  Strip strip{};
  ParallelEye eye{};

  const SceneBody& body(BodyId id) const { return scene.bodies[id]; }
  /// Above the strip and within the picture.
  bool shows(const Vector2d& pixel) const {
    return pixel.x() >= 0 && pixel.x() < request.width && pixel.y() >= 0 && pixel.y() < strip.area.top;
  }
  Colour colour_of(BodyId id) const {
    return among(request.highlighted, body(id).name) ? palette::marked : palette::of(body(id).kind);
  }
};

std::vector<Vector3d> corners_in_world(const Scene& scene, const Instant& at, const Table<BodyId, char>& drawn) {
  std::vector<Vector3d> points;
  for (const BodyId i : ids_of(scene.bodies)) {
    if (!drawn[i]) continue;
    const Pose& pose = at.pose_of(scene.bodies[i]);
    for (const Vector3d& corner : scene.bodies[i].solid->box().corners()) points.push_back(pose * corner);
  }
  if (points.empty()) points = {Vector3d::Constant(-100), Vector3d::Constant(100)};
  return points;
}

/// The rims of what is near, across the eye's direction.
std::vector<Vector3d> points_near(const Near& near, const Vector3d& direction) {
  const Eigen::Matrix3d axes = eye_axes(direction);
  std::vector<Vector3d> points;
  for (const double sign : {-0.5, 0.5})
    for (const int axis : {0, 1}) points.push_back(near.point + sign * near.size_mm * axes.col(axis));
  return points;
}

StillScene set_stage(const Scene& scene, const StillRequest& request) {
  StillScene stage{.scene = scene, .request = request, .at = instant(scene, request.arrangement, request.joints)};
  for (const BodyId i : ids_of(scene.bodies))
    stage.drawn.push_back(stage.at.present[i] && !among(request.hidden, scene.bodies[i].name) ? 1 : 0);
  const double width = request.width, height = request.height;
  stage.size = request.letters * std::min(width / 1280, height / 800);
  const double strip = 4 * stage.size, column = 11.5 * stage.size, margin = 1.2 * stage.size;
  stage.strip = {{0, height - strip, width, strip}, stage.size};
  stage.drawing = {column, margin, width - 2 * column, height - strip - 2 * margin};
  const std::vector<Vector3d> everything = corners_in_world(scene, stage.at, stage.drawn);
  std::vector<Vector3d> shown = everything;
  if (request.shown) {
    const auto corners = request.shown->corners();
    shown.assign(corners.begin(), corners.end());
  }
  const Vector3d direction = request.direction.value_or(direction_from(request.side));
  if (request.near) shown = points_near(*request.near, direction);
  stage.eye = fitted_eye(direction, shown, everything, stage.drawing);
  return stage;
}

Surfaces trace_stage(const StillScene& stage) {
  const int width = stage.request.width, height = stage.request.height;
  const Veil veil(stage.scene, stage.at, stage.eye, width, height, stage.drawn);
  const Sight sight =
      sight_from(stage.scene, stage.at, stage.eye.in_world, [&](BodyId body) { return stage.drawn[body] != 0; });
  Table<BodyId, char> solid;
  for (const SceneBody& body : stage.scene.bodies) solid.push_back(among(stage.request.solid, body.name) ? 1 : 0);
  return trace(stage.eye.eye(width, height), sight, [&](std::size_t sample, const Surface& surface) {
    return !solid[surface.body] && veil.see_through(sample, surface);
  });
}

/// A line in world, faint where a surface stands before it.
void draw_world_line(Canvas& canvas, const StillScene& stage, const Surfaces& surfaces, const Vector3d& from,
                     const Vector3d& to, const Stroke& stroke) {
  constexpr int pieces = 160;
  const auto hidden = [&](const Vector3d& point) {
    const Vector2d pixel = stage.eye.pixel(point);
    const int column = static_cast<int>(std::lround(pixel.x())), row = static_cast<int>(std::lround(pixel.y()));
    if (column < 0 || row < 0 || column >= stage.request.width || row >= stage.request.height) return false;
    const int c = column * samples_a_side + samples_a_side / 2, r = row * samples_a_side + samples_a_side / 2;
    const Surface& surface = surfaces.solid[pixel_number(c, r, surfaces.columns)];
    return surface.body && static_cast<double>(surface.depth) < stage.eye.depth(point) - 1;
  };
  for (int i = 0; i < pieces; ++i) {
    const Vector3d a = from + (to - from) * i / pieces, b = from + (to - from) * (i + 1) / pieces;
    Stroke piece = stroke;
    if (hidden((a + b) / 2)) piece.opacity *= 0.25;
    canvas.line(std::array{stage.eye.pixel(a), stage.eye.pixel(b)}, piece);
  }
}

/// Each camera's view as thin lines from its optical centre to the far end of its range; gives their callouts.
std::vector<Callout> draw_cameras(Canvas& canvas, const StillScene& stage, const Surfaces& surfaces) {
  std::vector<Callout> callouts;
  for (const Camera& camera : stage.scene.cell.cameras) {
    const Pose pose = pose_in_world(stage.scene, stage.at, camera.placed);
    const Mesh frustum = view_frustum(camera);
    const Stroke stroke{palette::camera, 0.08 * stage.size};
    for (std::size_t i = 0; i < 4; ++i) {
      const Vector3d far = pose * frustum.vertices[4 + i], next = pose * frustum.vertices[4 + (i + 1) % 4];
      draw_world_line(canvas, stage, surfaces, pose.translation(), far, stroke);
      draw_world_line(canvas, stage, surfaces, far, next, stroke);
    }
    if (const Vector2d at = stage.eye.pixel(pose.translation()); stage.shows(at))
      callouts.push_back({camera.name, at, palette::camera});
  }
  return callouts;
}

std::vector<Callout> draw_pairs(Canvas& canvas, const StillScene& stage) {
  std::vector<Callout> callouts;
  for (const MarkedPair& pair : stage.request.pairs) {
    const Vector2d a = stage.eye.pixel(pair.points[0]), b = stage.eye.pixel(pair.points[1]);
    canvas.line(std::array{a, b}, {{1, 1, 1}, 0.4 * stage.size, 0.8});
    for (const Vector2d& end : {a, b}) canvas.disk(end, 0.36 * stage.size, {1, 1, 1});
    canvas.line(std::array{a, b}, {palette::marked, 0.18 * stage.size});
    for (const Vector2d& end : {a, b}) canvas.disk(end, 0.26 * stage.size, palette::marked);
    callouts.push_back({pair.words, (a + b) / 2, palette::marked, true});
  }
  return callouts;
}

/// The hearts of what is seen: the arm is one region, every other body its own.
struct NamedHeart {
  std::string words;
  BodyId body;
  Heart heart;
};
std::vector<NamedHeart> named_regions(const StillScene& stage, const Surfaces& surfaces) {
  std::vector<BodyId> group = bodies_by_pixel(surfaces);
  const BodyId arm_group(stage.scene.bodies.size());
  for (BodyId& body : group) {
    if (!body) continue;
    const SceneBody& seen = stage.body(body);
    if (seen.kind == BodyKind::arm && !among(stage.request.named, seen.name) &&
        !among(stage.request.highlighted, seen.name))
      body = arm_group;
  }
  const Table<BodyId, Heart> all = hearts(group, stage.request.width, stage.scene.bodies.size() + 1);
  std::vector<NamedHeart> regions;
  for (const BodyId i : ids_of(stage.scene.bodies))
    if (all[i].pixels > 0) regions.push_back({stage.body(i).name, i, all[i]});
  if (all[arm_group].pixels > 0) regions.push_back({"arm", {}, all[arm_group]});
  return regions;
}

/// A copy of a part in another seat, "blank @ rack 4", is told by its look.
bool worth_a_leader(const StillScene& stage, const NamedHeart& region) {
  if (!region.body) return true;
  const SceneBody& body = stage.body(region.body);
  if (among(stage.request.named, body.name) || among(stage.request.highlighted, body.name)) return true;
  return body.kind != BodyKind::surroundings && !body.copy_of_seat && region.heart.depth >= 2;
}

/// Names of surroundings go right onto them where they fit and meet no other name.
void write_within(Canvas& canvas, const StillScene& stage, std::vector<NamedHeart> regions) {
  std::ranges::stable_sort(regions, std::greater{}, [](const NamedHeart& r) { return r.heart.depth; });
  std::vector<Area> taken;
  const Lettering lettering{0.93 * stage.size, palette::ink};
  for (const NamedHeart& region : regions) {
    const std::string words = shortened(canvas, region.words, lettering, 0.3 * stage.request.width);
    const double width = canvas.width_of(words, lettering);
    if (!stage.shows(region.heart.at)) continue;
    if (region.heart.depth < 0.7 * stage.size || static_cast<double>(region.heart.pixels) < 3 * width * stage.size)
      continue;
    const Area area{region.heart.at.x() - width / 2, region.heart.at.y() - stage.size / 2, width, stage.size};
    if (std::ranges::any_of(taken, [&](const Area& other) { return other.overlaps(area); })) continue;
    taken.push_back(area);
    canvas.text({area.left, region.heart.at.y() + 0.35 * stage.size}, words, lettering);
  }
}

std::vector<Callout> write_names(Canvas& canvas, const StillScene& stage, const Surfaces& surfaces) {
  std::vector<Callout> callouts;
  std::vector<NamedHeart> within;
  for (const NamedHeart& region : named_regions(stage, surfaces)) {
    if (worth_a_leader(stage, region)) {
      const bool marked = region.body && among(stage.request.highlighted, region.words);
      if (stage.shows(region.heart.at))
        callouts.push_back({region.words, region.heart.at, marked ? palette::marked : palette::ink, marked});
    } else if (stage.body(region.body).kind == BodyKind::surroundings) {
      within.push_back(region);
    }
  }
  write_within(canvas, stage, std::move(within));
  return callouts;
}

void draw_surround(Canvas& canvas, const StillScene& stage) {
  const Area& strip = stage.strip.area;
  canvas.fill(strip, blend(palette::paper, palette::ink, 0.05));
  canvas.line(std::array{Vector2d(0, strip.top), Vector2d(strip.width, strip.top)}, {palette::faint_ink, 1});
  std::vector<LegendEntry> legend;
  for (const BodyKind kind : {BodyKind::arm, BodyKind::end_effector, BodyKind::part, BodyKind::surroundings})
    for (const BodyId i : ids_of(stage.scene.bodies))
      if (stage.drawn[i] && stage.scene.bodies[i].kind == kind) {
        legend.push_back({std::string(kind_name(kind)), palette::of(kind)});
        break;
      }
  if (!stage.scene.cell.cameras.empty()) legend.push_back({"camera's view", palette::camera});
  const double legend_left = draw_legend(canvas, stage.strip, legend);
  const double scale_left = draw_scale_bar(canvas, {strip.width - stage.size, strip.top + 0.74 * strip.height},
                                           stage.eye.mm_per_pixel, stage.size);
  draw_caption(canvas, stage.strip, stage.request.title, stage.request.detail, {legend_left, scale_left});
  std::array<Vector2d, 3> axes;
  const Eigen::Matrix3d world_in_eye = stage.eye.in_world.linear().transpose();
  for (std::size_t i = 0; i < 3; ++i) axes[i] = world_in_eye.col(static_cast<Eigen::Index>(i)).head<2>();
  draw_axes(canvas, {5 * stage.size, strip.top - 5 * stage.size}, axes, stage.size);
}

}  // namespace

Image render_still(const Scene& scene, const StillRequest& request) {
  const StillScene stage = set_stage(scene, request);
  const Surfaces surfaces = trace_stage(stage);
  Image image =
      paint(stage.eye.eye(request.width, request.height), surfaces, [&](BodyId body) { return stage.colour_of(body); });
  Canvas canvas(image);
  std::vector<Callout> callouts = draw_cameras(canvas, stage, surfaces);
  draw_surround(canvas, stage);
  std::ranges::move(write_names(canvas, stage, surfaces), std::back_inserter(callouts));
  std::ranges::move(draw_pairs(canvas, stage), std::back_inserter(callouts));
  draw_callouts(canvas, {stage.drawing, static_cast<double>(request.width), stage.size}, std::move(callouts));
  return image;
}

}  // namespace cellproof
