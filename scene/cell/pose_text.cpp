// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/pose_text.hpp"

#include <cmath>

#include <fmt/format.h>

#include "kinematics/roll_pitch_yaw.hpp"

namespace cellproof {

namespace {

double hundredths(double value) {
  return std::round(value * 100) / 100;
}

/// A list of bare numbers, or of strings with their unit.
template <class Values>
std::string list_text(const Values& values, const char* unit, bool bare) {
  std::string text;
  for (Eigen::Index i = 0; i < values.size(); ++i) {
    const std::string number = plain_number(values[i]);
    text += fmt::format("{}{}", i ? ", " : "[", bare ? number : fmt::format("\"{} {}\"", number, unit));
  }
  return text + "]";
}

Vector3d turn_in_degrees(const Pose& pose) {
  return roll_pitch_yaw(pose.linear()).unaryExpr([](double angle) { return degrees(angle); });
}

}  // namespace

std::string plain_number(double value) {
  std::string text = fmt::format("{:.2f}", value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

std::string pose_text(const Pose& pose, const DefaultUnits& units) {
  const Vector3d turn = turn_in_degrees(pose);
  std::string text = fmt::format("{{ xyz = {}", list_text(pose.translation(), "mm", units.length == "mm"));
  if (turn.cwiseAbs().maxCoeff() >= 0.005)
    text += fmt::format(", turn = {}", list_text(turn, "deg", units.angle == "deg"));
  return text + " }";
}

Pose as_written(const Pose& pose) {
  Pose written = Pose::Identity();
  written.translation() = pose.translation().unaryExpr(&hundredths);
  written.linear() = turned(turn_in_degrees(pose).unaryExpr([](double angle) { return radians(hundredths(angle)); }));
  return written;
}

std::string joints_text(const Joints& joints, const DefaultUnits& units) {
  const Joints in_degrees = joints.unaryExpr([](double angle) { return degrees(angle); });
  return list_text(in_degrees, "deg", units.angle == "deg");
}

Joints as_written(const Joints& joints) {
  return joints.unaryExpr([](double angle) { return radians(hundredths(degrees(angle))); });
}

}  // namespace cellproof
