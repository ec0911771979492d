// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/option_values.hpp"

#include <filesystem>

#include <fmt/format.h>

#include "scene/basics/units.hpp"

namespace cellproof {

namespace {

template <std::size_t count>
tl::expected<Eigen::Matrix<double, count, 1>, std::string> values_of(const std::string& text, Kind kind) {
  const auto values = parse_quantities(text, kind, DefaultUnits{});
  if (!values) return tl::unexpected(values.error());
  if (values->size() != count)
    return tl::unexpected(fmt::format("{} values in '{}'; give {}, separated by commas", values->size(), text, count));
  return Eigen::Matrix<double, count, 1>(values->data());
}

}  // namespace

tl::expected<Joints, std::string> joints_of_option(const std::string& text) {
  return values_of<6>(text, Kind::angle);
}
tl::expected<Vector3d, std::string> lengths_of_option(const std::string& text) {
  constexpr double furthest = 1e9;
  const auto values = values_of<3>(text, Kind::length);
  if (values && values->cwiseAbs().maxCoeff() > furthest)
    return tl::unexpected(fmt::format("'{}' is more than 1000 km away; correct it or its unit", text));
  return values;
}
tl::expected<double, std::string> length_of_option(const std::string& text) {
  const auto value = values_of<1>(text, Kind::length);
  if (!value) return tl::unexpected(value.error());
  return value->x();
}
tl::expected<Vector3d, std::string> angles_of_option(const std::string& text) {
  return values_of<3>(text, Kind::angle);
}

bool names_png(const std::string& file) {
  const std::string ending = std::filesystem::path(file).extension().string();
  return ending.empty() || ending == ".png" || ending == ".PNG";
}

}  // namespace cellproof
