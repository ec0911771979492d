// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/look_change.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "kinematics/numbered.hpp"

namespace cellproof {

namespace {

constexpr std::array<double, 8> shares_back{0, 0.1, -0.1, 0.2, -0.2, 0.3, -0.3, 0.5};
constexpr std::array<double, 3> swings_deg{10, 20, 30};
constexpr std::array<double, 10> turns_deg{0, 30, -30, 60, -60, 90, -90, 135, -135, 180};
constexpr Numbered<const char*, 8> directions{"to the right", "to the lower right", "down", "to the lower left",
                                              "to the left",  "to the upper left",  "up",   "to the upper right"};

double cost(const LookChange& change, double distance_mm) {
  return std::abs(change.back_mm) / (0.1 * distance_mm) + change.swing / radians(10) +
         std::abs(change.turn) / radians(30);
}

}  // namespace

Pose moved_camera(const LookChange& change, const Vector3d& centre_in_camera) {
  const Vector3d axis(std::sin(change.towards), -std::cos(change.towards), 0);
  return Eigen::Translation3d(centre_in_camera) * Eigen::AngleAxisd(change.swing, axis) *
         Eigen::Translation3d(-centre_in_camera) * Eigen::Translation3d(0, 0, -change.back_mm) *
         Eigen::AngleAxisd(change.turn, Vector3d::UnitZ());
}

std::vector<LookChange> look_changes(double distance_mm) {
  std::vector<LookChange> changes;
  const auto add_all = [&](double swing, double towards) {
    for (const double share : shares_back)
      for (const double turn : turns_deg)
        if (swing != 0 || share != 0 || turn != 0)
          changes.push_back({swing, towards, std::round(share * distance_mm), radians(turn)});
  };
  add_all(0, 0);
  for (const double swing : swings_deg)
    for (std::size_t i = 0; i < directions.size(); ++i) add_all(radians(swing), static_cast<double>(i) * pi / 4);
  std::ranges::stable_sort(changes, {}, [&](const LookChange& change) { return cost(change, distance_mm); });
  return changes;
}

std::string change_text(const LookChange& change) {
  std::string text;
  const auto add = [&](const std::string& words) { text += (text.empty() ? "" : ", ") + words; };
  if (change.back_mm != 0)
    add(fmt::format("{:g} mm {}", std::abs(change.back_mm), change.back_mm > 0 ? "back" : "forward"));
  if (change.swing != 0)
    add(fmt::format("swung {:.0f} deg {}", degrees(change.swing),
                    directions[std::lround(change.towards / (pi / 4)) % std::ssize(directions)]));
  if (change.turn != 0) add(fmt::format("turned {:.0f} deg", degrees(change.turn)));
  return text;
}

}  // namespace cellproof
