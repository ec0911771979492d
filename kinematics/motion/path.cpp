// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/path.hpp"

#include <algorithm>
#include <cmath>

#include "kinematics/motion/line_point.hpp"

namespace cellproof {

Path Path::joint(const Joints& from, const Joints& to) {
  Path path;
  path.knots_ = {{0, from}, {1, to}};
  path.sum_up_travel();
  return path;
}

void Path::sum_up_travel() {
  travelled_.assign(1, Joints::Zero());
  for (std::size_t i = 1; i < knots_.size(); ++i) {
    travelled_.push_back(travelled_.back() + (knots_[i].values - knots_[i - 1].values).cwiseAbs());
  }
}

Path Path::turned(const Joints& offset) const {
  Path path = *this;
  for (Knot& knot : path.knots_) knot.values += offset;
  return path;
}

bool Path::goes_nowhere() const {
  return travelled_.back().maxCoeff() < 1e-12;
}

const LineShape& Path::shape() const {
  static const LineShape none;
  return shape_ ? *shape_ : none;
}

Path::OnPiece Path::place_of(double s) const {
  s = std::clamp(s, 0.0, 1.0);
  const auto after = std::upper_bound(knots_.begin() + 1, knots_.end() - 1, s,
                                      [](double at, const Knot& knot) { return at < knot.s; });
  const auto piece = static_cast<std::size_t>(after - knots_.begin()) - 1;
  return {piece, (s - knots_[piece].s) / (knots_[piece + 1].s - knots_[piece].s)};
}

Joints Path::on_chain(double s) const {
  const OnPiece place = place_of(s);
  const Joints &from = knots_[place.piece].values, &to = knots_[place.piece + 1].values;
  return (1 - place.share) * from + place.share * to;
}

Joints Path::travel(double s0, double s1) const {
  const auto up_to = [this](double s) -> Joints {
    const OnPiece place = place_of(s);
    return (1 - place.share) * travelled_[place.piece] + place.share * travelled_[place.piece + 1];
  };
  return (up_to(s1) - up_to(s0)).cwiseMax(0.0);
}

PathPoint Path::at(const Arm& arm, double s) const {
  s = std::clamp(s, 0.0, 1.0);
  const Joints values = on_chain(s);
  if (goes_nowhere()) return {values, Joints::Zero(), Joints::Zero()};
  if (!linear_) return {values, end() - start(), Joints::Zero()};
  const double length = length_scale(arm);
  return line_point(arm, target_, settle_on_line(arm, target_, s, values, length).value_or(values), length);
}

}  // namespace cellproof
