// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/camera_picture.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "viewer/pictures/canvas.hpp"
#include "viewer/pictures/furniture.hpp"
#include "viewer/pictures/labels.hpp"
#include "viewer/pictures/palette.hpp"
#include "viewer/pictures/surfaces.hpp"

namespace cellproof {
namespace {

Eye eye_of(const Camera& camera) {
  const auto ray = [&camera](const Vector2d& pixel) -> std::optional<Ray> {
    const auto direction = ray_of_pixel(camera, pixel);
    if (!direction) return std::nullopt;
    Ray made{.origin = Vector3d::Zero(), .direction = *direction};
    made.near = camera.front;
    return made;
  };
  return {camera.width, camera.height, ray, [fx = camera.fx](double depth) { return depth / fx / samples_a_side; }};
}

/// Pieces of a target's outline as they lie in the picture, curved where the lens distorts; cut where it leaves.
std::vector<std::vector<Vector2d>> outline_of(const Camera& camera, const Pose& target_in_camera,
                                              const Target& target) {
  constexpr int pieces = 48;
  const double w = target.size[0] / 2, h = target.size[1] / 2;
  const std::array<Vector3d, 4> corners{Vector3d(-w, -h, 0), Vector3d(w, -h, 0), Vector3d(w, h, 0), Vector3d(-w, h, 0)};
  std::vector<std::vector<Vector2d>> lines(1);
  for (std::size_t side = 0; side < 4; ++side)
    for (int i = 0; i <= pieces; ++i) {
      const Vector3d point = corners[side] + (corners[(side + 1) % 4] - corners[side]) * i / pieces;
      if (const auto pixel = project(camera, target_in_camera * point))
        lines.back().push_back(*pixel);
      else
        lines.emplace_back();
    }
  return lines;
}

/// Dark on light, so that it shows on anything.
void draw_outline(Canvas& canvas, std::span<const Vector2d> points, double size, const Colour& colour) {
  canvas.line(points, {{1, 1, 1}, 0.34 * size, 0.85});
  canvas.line(points, {colour, 0.16 * size});
}

struct Note {
  std::string words;
  Vector2d at;  ///< middle of the words' base line
  Colour colour;
};

/// Notes move down until they meet no other and stay within the picture.
void write_notes(Canvas& canvas, const Camera& camera, const std::vector<Note>& notes, double size) {
  const double bottom = camera.height;
  std::vector<Area> taken;
  for (const Note& note : notes) {
    const Lettering lettering{size, note.colour, true, false};
    const double width = canvas.width_of(note.words, lettering) + 0.8 * size, height = 1.5 * size;
    Area area{std::clamp(note.at.x() - width / 2, 0.3 * size, std::max(0.3 * size, camera.width - width - 0.3 * size)),
              std::clamp(note.at.y() - height, 0.3 * size, bottom - height - 0.3 * size), width, height};
    const auto meets = [&](const Area& other) { return other.overlaps(area); };
    while (std::ranges::any_of(taken, meets) && area.top + 2.2 * height < bottom) area.top += 1.1 * height;
    taken.push_back(area);
    canvas.fill(area, palette::paper, 0.88);
    canvas.text({area.left + 0.4 * size, area.top + 1.1 * size}, note.words, lettering);
  }
}

/// Per cent to a tenth, never rounded up to a whole that is not.
std::string per_cent(double share) {
  return fmt::format("{:.1f} %", 100 * share);
}

std::vector<Note> draw_targets(Canvas& canvas, const Scene& scene, const CameraPictureRequest& request, double size) {
  const Camera& camera = scene.cell.cameras[request.view.camera];
  const Instant at = instant(scene, request.view.arrangement, request.view.joints);
  const Pose world_in_camera = pose_in_world(scene, at, camera.placed).inverse();
  std::vector<Note> notes;
  for (const TargetView& view : request.measured.targets) {
    const Target& target = scene.cell.targets[view.target];
    const Pose target_in_camera = world_in_camera * pose_in_world(scene, at, target.placed);
    Vector2d lowest(0, -1e9);
    for (const auto& line : outline_of(camera, target_in_camera, target)) {
      draw_outline(canvas, line, size, palette::ink);
      for (const Vector2d& point : line)
        if (point.y() > lowest.y()) lowest = point;
    }
    const auto middle = project(camera, target_in_camera.translation());
    if (!middle) continue;
    notes.push_back({fmt::format("{}: {} visible", target.name, per_cent(view.visible)),
                     {middle->x(), std::min(lowest.y(), camera.height - 1.0) + 1.9 * size},
                     palette::ink});
  }
  return notes;
}

/// Draws the rim of what each blocker covers, two pixels wide, on the pixels of its own.
void outline_blockers(Image& image, const CameraPictureRequest& request, const std::vector<BodyId>& bodies, int width) {
  const int height = static_cast<int>(bodies.size()) / width;
  const auto body_at = [&](int column, int row) { return bodies[pixel_number(column, row, width)]; };
  const auto ends_near = [&](int column, int row) {
    for (const auto& [right, down] : {std::pair(1, 0), std::pair(-1, 0), std::pair(0, 1), std::pair(0, -1)})
      for (int step = 1; step <= 2; ++step) {
        const int c = column + step * right, r = row + step * down;
        if (c >= 0 && r >= 0 && c < width && r < height && body_at(c, r) != body_at(column, row)) return true;
      }
    return false;
  };
  for (int row = 0; row < height; ++row)
    for (int column = 0; column < width; ++column)
      if (std::ranges::count(request.measured.blocked_by, body_at(column, row), &BlockedPixels::body) > 0 &&
          ends_near(column, row))
        image.at(column, row) = packed(palette::marked);
}

std::vector<Note> name_blockers(const Scene& scene, const CameraPictureRequest& request,
                                const std::vector<BodyId>& bodies) {
  const Camera& camera = scene.cell.cameras[request.view.camera];
  const auto all = hearts(bodies, camera.width, scene.bodies.size());
  std::vector<Note> notes;
  for (const BlockedPixels& blocked : request.measured.blocked_by) {
    const Heart& heart = all[blocked.body];
    if (heart.pixels == 0) continue;
    const std::string& name = scene.bodies[blocked.body].name;
    notes.push_back({fmt::format("{}: {:.1f} % of the picture", name, 100 * blocked.share), heart.at, palette::marked});
  }
  return notes;
}

}  // namespace

Image render_camera_picture(const Scene& scene, const CameraPictureRequest& request) {
  const Camera& camera = scene.cell.cameras[request.view.camera];
  const Eye eye = eye_of(camera);
  const Instant at = instant(scene, request.view.arrangement, request.view.joints);
  const Surfaces surfaces = trace(eye, sight_of_camera(scene, at, camera), {});
  const Image seen = paint(eye, surfaces, [&](BodyId body) {
    const BodyKind kind = scene.bodies[body].kind;
    return kind == BodyKind::end_effector ? blend(blend(palette::of(kind), palette::marked, 0.8), palette::paper, 0.2)
                                          : palette::of(kind);
  });
  const double size = std::max(10.0, 18 * std::min(camera.width / 1280.0, camera.height / 960.0));
  const int strip_height = static_cast<int>(std::lround(3.6 * size));
  Image image = blank_image(camera.width, camera.height + strip_height, blend(palette::paper, palette::ink, 0.05));
  std::ranges::copy(seen.pixels, image.pixels.begin());
  const std::vector<BodyId> bodies = bodies_by_pixel(surfaces);
  outline_blockers(image, request, bodies, camera.width);
  Canvas canvas(image);
  const Strip strip{{0, static_cast<double>(camera.height), static_cast<double>(camera.width), 1.0 * strip_height},
                    0.9 * size};
  const double right = strip.area.left + strip.area.width;
  draw_caption(canvas, strip, request.title, request.detail, {right, right});
  canvas.line(std::array{Vector2d(0, camera.height), Vector2d(camera.width, camera.height)}, {palette::faint_ink, 1});
  canvas.keep_within({0, 0, static_cast<double>(camera.width), static_cast<double>(camera.height)});
  std::vector<Note> notes = draw_targets(canvas, scene, request, size);
  std::ranges::move(name_blockers(scene, request, bodies), std::back_inserter(notes));
  write_notes(canvas, camera, notes, size);
  return image;
}

}  // namespace cellproof
