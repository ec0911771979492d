// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/view_labels.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "viewer/pictures/palette.hpp"

namespace cellproof {

namespace {

constexpr double letter_size = 14, pad = 8, beside = 26;
constexpr int height = 32;  // less is filled up with a bar by the library

Area beside_anchor(const Vector2d& anchor, const Area& size, bool left) {
  return {left ? anchor.x() - beside - size.width : anchor.x() + beside, anchor.y() - size.height / 2, size.width,
          size.height};
}

Area held_within(Area area, const ViewSize& size) {
  area.left = std::clamp(area.left, 0.0, std::max(0.0, size.width - area.width));
  area.top = std::clamp(area.top, 0.0, std::max(0.0, size.height - area.height));
  return area;
}

}  // namespace

std::optional<Vector2d> pixel_of(const Orbit& orbit, const Vector3d& point, const ViewSize& size) {
  const Vector3d way = point - orbit.eye();
  const double ahead = way.dot(orbit.direction());
  if (ahead <= 1) return std::nullopt;
  const double scale = size.height / 2 / std::tan(view_angle / 2) / ahead;
  return Vector2d(size.width / 2 + scale * way.dot(orbit.right()), size.height / 2 - scale * way.dot(orbit.up()));
}

Image label_picture(const std::string& words, const Colour& colour) {
  const Lettering lettering{letter_size, colour, true, false};
  Image probe = blank_image(1, 1, palette::paper);
  const double width = Canvas(probe).width_of(words, lettering) + 2 * pad;
  Image picture = blank_image(static_cast<int>(std::max(32.0, std::ceil(width))), height, {1, 1, 1});
  Canvas canvas(picture);
  const double right = picture.width - 0.5, bottom = picture.height - 0.5;
  canvas.line(
      std::array<Vector2d, 4>{Vector2d(0.5, 0.5), Vector2d(right, 0.5), Vector2d(right, bottom), Vector2d(0.5, bottom)},
      {colour, 1}, true);
  canvas.text({pad, 21}, words, lettering);
  return picture;
}

Area label_by_pointer(const Vector2d& pointer, const Area& label, const ViewSize& size) {
  constexpr double right = 16, down = 14, gap = 4;
  Area area{pointer.x() + right, pointer.y() + down, label.width, label.height};
  if (area.left + area.width > size.width) area.left = pointer.x() - gap - label.width;
  if (area.top + area.height > size.height) area.top = pointer.y() - gap - label.height;
  return held_within(area, size);
}

std::vector<Area> label_places(const std::vector<Vector2d>& anchors, const std::vector<Area>& sizes,
                               const ViewSize& size) {
  double middle = 0;
  for (const Vector2d& anchor : anchors) middle += anchor.x() / static_cast<double>(anchors.size());
  std::vector<Area> places;
  for (std::size_t i = 0; i < anchors.size(); ++i) {
    Area area = held_within(beside_anchor(anchors[i], sizes[i], anchors[i].x() < middle), size);
    const auto covers = [&](const Area& other) { return other.overlaps(area); };
    while (std::ranges::any_of(places, covers) && area.top + area.height < size.height) area.top += 4;
    places.push_back(area);
  }
  return places;
}

}  // namespace cellproof
