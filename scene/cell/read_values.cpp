// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "kinematics/entry.hpp"
#include "kinematics/roll_pitch_yaw.hpp"
#include "scene/cell/cell_tables.hpp"

namespace cellproof {
namespace {

template <int N>
Eigen::Matrix<double, N, 1> read_quantities(const TomlItem& item, Kind kind, std::string_view shape, Sign sign) {
  Eigen::Matrix<double, N, 1> values;
  const auto entries = item.list_of(N, shape);
  for (int i = 0; i < N; ++i) values[i] = entry(entries, i).quantity(kind, sign);
  return values;
}

Eigen::Matrix3d turn_matrix(const TomlItem& item) {
  return turned(read_quantities<3>(item, Kind::angle, "[roll, pitch, yaw]", Sign::any));
}

Eigen::Matrix3d quat_matrix(const TomlItem& item) {
  std::array<double, 4> wxyz{};
  const auto entries = item.list_of(4, "[w, x, y, z]");
  for (std::size_t i = 0; i < 4; ++i) wxyz[i] = entries[i].number();
  Eigen::Vector4d vector(wxyz[0], wxyz[1], wxyz[2], wxyz[3]);
  const double largest = vector.cwiseAbs().maxCoeff();
  if (!(largest > 1e-9)) {
    item.fail("is a zero quaternion, which is no rotation", "write [1, 0, 0, 0] for none");
    return Eigen::Matrix3d::Identity();
  }
  vector /= largest;  // so that the norm of huge entries stays finite
  vector.normalize();
  return Eigen::Quaterniond(vector[0], vector[1], vector[2], vector[3]).toRotationMatrix();
}

Eigen::Matrix3d rotvec_matrix(const TomlItem& item) {
  const auto rotvec = read_quantities<3>(item, Kind::angle, "[x, y, z], the axis times the angle", Sign::any);
  const double angle = rotvec.norm();
  if (!(angle > 0) || !std::isfinite(angle)) return Eigen::Matrix3d::Identity();
  return Eigen::AngleAxisd(angle, rotvec / angle).toRotationMatrix();
}

}  // namespace

Pose read_pose(const TomlItem& item) {
  const TomlTable table = item.table({"xyz", "turn", "quat", "rotvec"});
  Pose pose = Pose::Identity();
  if (const auto xyz = table.optional("xyz")) pose.translation() = read_lengths3(*xyz);
  const auto turn = table.optional("turn"), quat = table.optional("quat"), rotvec = table.optional("rotvec");
  if ((turn ? 1 : 0) + (quat ? 1 : 0) + (rotvec ? 1 : 0) > 1)
    table.fail("gives the rotation twice", "keep one of turn, quat, rotvec");
  if (turn) pose.linear() = turn_matrix(*turn);
  if (quat) pose.linear() = quat_matrix(*quat);
  if (rotvec) pose.linear() = rotvec_matrix(*rotvec);
  return pose;
}

Pose optional_pose(const TomlTable& table, std::string_view key) {
  const auto item = table.optional(key);
  return item ? read_pose(*item) : Pose::Identity();
}

Joints read_joint_values(const TomlItem& item) {
  return read_quantities<6>(item, Kind::angle, "six joint values", Sign::any);
}

Vector3d read_lengths3(const TomlItem& item, Sign sign) {
  return read_quantities<3>(item, Kind::length, "[x, y, z]", sign);
}

Vector2d read_lengths2(const TomlItem& item, Sign sign) {
  return read_quantities<2>(item, Kind::length, "[x, y]", sign);
}

std::optional<double> optional_quantity(const TomlTable& table, std::string_view key, Kind kind, Sign sign) {
  const auto item = table.optional(key);
  if (!item) return std::nullopt;
  return item->quantity(kind, sign);
}

double optional_quantity(const TomlTable& table, std::string_view key, Kind kind, Sign sign, double otherwise) {
  return optional_quantity(table, key, kind, sign).value_or(otherwise);
}

double optional_number(const TomlTable& table, std::string_view key, Sign sign, double otherwise) {
  const auto item = table.optional(key);
  return item ? item->number(sign) : otherwise;
}

double read_friction_value(const TomlItem& item) {
  constexpr double rarely_more = 1;
  const double friction = item.number(Sign::positive);
  if (friction > rarely_more)
    item.reading().cautions.push_back(
        fmt::format("line {}: {}: friction of {:g} is more than dry rubber has: is it per cent? 0.3 is 30 %",
                    item.where().line, item.where().key, friction));
  return friction;
}

double read_friction(const TomlTable& table) {
  if (const auto item = table.optional("friction")) return read_friction_value(*item);
  table.reading().cautions.push_back(fmt::format(
      "{}: friction is left out; 0.1 is taken, that of an oily contact; measure it and enter it", table.where().key));
  return 0.1;
}

Placed read_placed(const TomlTable& table, std::optional<std::string> otherwise, Wanted wanted) {
  Placed placed;
  if (table.has("on") || !otherwise)
    placed.on = read_use(table.required("on"), wanted);
  else
    placed.on = *otherwise;
  placed.at = optional_pose(table, "at");
  return placed;
}

std::string read_name(const TomlTable& table, Sort sort) {
  const TomlItem item = table.required("name");
  const std::string name = item.text();
  if (!name.empty()) table.reading().names.given.push_back({name, sort, item.where()});
  return name;
}

std::string read_use(const TomlItem& item, Wanted wanted, const std::string& of) {
  const std::string name = item.text();
  if (!name.empty()) item.reading().names.used.push_back({name, wanted, of, item.where()});
  return name;
}

std::string optional_use(const TomlTable& table, std::string_view key, Wanted wanted) {
  const auto item = table.optional(key);
  return item ? read_use(*item, wanted) : std::string();
}

std::vector<std::string> read_uses(const TomlItem& item, Wanted wanted) {
  std::vector<std::string> names;
  for (const TomlItem& entry : item.list()) {
    const std::string name = read_use(entry, wanted);
    if (std::find(names.begin(), names.end(), name) != names.end())
      entry.fail(fmt::format("names \"{}\" a second time", name), "name each once");
    names.push_back(name);
  }
  if (item && names.empty()) item.fail("is an empty list", "name at least one, or leave the key out");
  return names;
}

}  // namespace cellproof
