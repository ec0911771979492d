// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "scene/cell/cell_tables.hpp"

namespace cellproof {
namespace {

constexpr int most_pixels = 20000;  // a side

/// Thin lens: a lens focused at s images at c = f s/(s − f).
double image_distance(double focal_length, const std::optional<Focus>& focus) {
  if (!focus) return focal_length;
  return focal_length * focus->distance / (focus->distance - focal_length);
}

Focus read_focus(const TomlItem& item, const std::optional<double>& focal_length) {
  const TomlTable table = item.table({"distance", "f_number", "circle"});
  const TomlItem distance = table.required("distance");
  const Focus focus{distance.quantity(Kind::length, Sign::positive), table.required("f_number").number(Sign::positive),
                    table.required("circle").quantity(Kind::length, Sign::positive)};
  if (!focal_length)
    item.fail("needs focal_length", "give focal_length and sensor_width, or leave focus out");
  else if (!(focus.distance > *focal_length))
    distance.fail("is not beyond the focal length", "write the distance that the lens is focused at");
  return focus;
}

/// Square pixels about the middle of the picture.
void set_pinhole(Camera& camera, double focal_pixels) {
  camera.fx = camera.fy = focal_pixels;
  camera.cx = (camera.width - 1) / 2.0;
  camera.cy = (camera.height - 1) / 2.0;
}

void read_view_angle(const TomlItem& item, Camera& camera) {
  const double angle = item.quantity(Kind::angle, Sign::positive);
  if (item && !(angle < pi)) item.fail("is not below 180 degrees", "write the full angle across the width");
  set_pinhole(camera, camera.width / (2 * std::tan(angle / 2)));
}

void read_matrix(const TomlItem& item, Camera& camera) {
  const TomlTable table = item.table({"fx", "fy", "cx", "cy"});
  camera.fx = table.required("fx").number(Sign::positive);
  camera.fy = table.required("fy").number(Sign::positive);
  camera.cx = table.required("cx").number();
  camera.cy = table.required("cy").number();
}

/// Fills fx, fy, cx, cy, focal_length and focus; the resolution is already there.
void read_lens(const TomlTable& table, Camera& camera) {
  const std::string_view way = table.exactly_one({"view_angle", "focal_length", "matrix"});
  if (way != "focal_length" && table.has("sensor_width"))
    table.optional("sensor_width")->fail("serves only with focal_length", "leave sensor_width out");
  if (way == "focal_length")
    camera.focal_length = table.required("focal_length").quantity(Kind::length, Sign::positive);
  if (const auto focus = table.optional("focus")) camera.focus = read_focus(*focus, camera.focal_length);
  if (way == "view_angle") read_view_angle(table.required("view_angle"), camera);
  if (way == "matrix") read_matrix(table.required("matrix"), camera);
  if (way != "focal_length") return;
  const double sensor_width = table.required("sensor_width").quantity(Kind::length, Sign::positive);
  set_pinhole(camera, image_distance(*camera.focal_length, camera.focus) * camera.width / sensor_width);
}

void read_range(const TomlItem& item, Camera& camera) {
  const auto ends = item.list_of(2, "[nearest, furthest]");
  camera.near_mm = ends[0].quantity(Kind::length, Sign::positive);
  camera.far_mm = ends[1].quantity(Kind::length, Sign::positive);
  if (item && !(camera.near_mm < camera.far_mm))
    item.fail("has its ends the wrong way round", "write [nearest, furthest]");
}

}  // namespace

Camera read_camera(const TomlItem& item) {
  const TomlTable table = item.table({"name", "on", "at", "resolution", "view_angle", "focal_length", "sensor_width",
                                      "matrix", "distortion", "range", "lens_radius", "front", "housing", "focus"});
  Camera camera;
  camera.origin = table.where();
  camera.name = read_name(table, Sort::camera);
  camera.placed = read_placed(table, "world");
  const auto resolution = table.required("resolution").list_of(2, "[width, height] in pixels");
  camera.width = resolution[0].whole_number(1, most_pixels);
  camera.height = resolution[1].whole_number(1, most_pixels);
  read_lens(table, camera);
  if (const auto distortion = table.optional("distortion")) {
    const auto terms = distortion->list_of(5, "[k1, k2, p1, p2, k3]");
    for (std::size_t i = 0; i < 5; ++i) camera.distortion[i] = terms[i].number();
  }
  read_range(table.required("range"), camera);
  camera.lens_radius = optional_quantity(table, "lens_radius", Kind::length, Sign::not_negative, 0);
  camera.front = optional_quantity(table, "front", Kind::length, Sign::not_negative, 0);
  if (const auto housing = table.optional("housing")) camera.housing = read_uses(*housing, Wanted::body);
  return camera;
}

Target read_target(const TomlItem& item) {
  const TomlTable table = item.table({"name", "on", "at", "size"});
  Target target;
  target.origin = table.where();
  target.name = read_name(table, Sort::target);
  target.placed = read_placed(table, "world");
  const Vector2d size = read_lengths2(table.required("size"), Sign::positive);
  target.size = {size.x(), size.y()};
  return target;
}

}  // namespace cellproof
