// SPDX-License-Identifier: GPL-3.0-or-later
// Lips against closed forms, and random grips against springs and motions.
#include "scene/forces/suction_grip.hpp"

#include <cstdlib>
#include <random>

#include <catch2/catch.hpp>

#include "scene/cell/suction_force.hpp"
#include "scene/cell/zone_shape.hpp"
#include "tests/support/suction_oracle.hpp"

using namespace cellproof;

namespace {

PlacedZone cup(double x, double y, double radius, double kpa = 60, double friction = 0.5) {
  Suction zone;
  zone.circle = radius;
  zone.vacuum = 1000 * kpa;
  zone.friction = friction;
  return {zone, Pose(Eigen::Translation3d(x, y, 0))};
}

PlacedZone plate(const Outline& outline, double kpa = 60, double friction = 0.5) {
  Suction zone;
  zone.outline = outline;
  zone.vacuum = 1000 * kpa;
  zone.friction = friction;
  return {zone, Pose::Identity()};
}

Load load_of(const Vector3d& force, const Vector3d& at, const Vector3d& moment = Vector3d::Zero()) {
  Load load;
  load.force = force;
  load.at = at;
  load.moment = moment;
  return load;
}

/// The numbers agree to half a percent, and ours is not above.
void held_as(double ours, double expected) {
  CHECK(ours <= expected * (1 + 1e-9));
  CHECK(ours >= expected * 0.995);
}

}  // namespace

TEST_CASE("a ring that is twisted holds friction times force times radius") {
  // derived: M = µ N R
  const SuctionGrip grip = suction_grip({cup(7, -3, 15)});
  const double held = 0.5 * grip.force * 15;
  held_as(grip_factors(grip, load_of({0, 0, 0}, {0, 0, 0}, {0, 0, held / 3})).slip, 3);
}

TEST_CASE("a ring that slides and spins holds as published") {
  // Z. Farkas et al., Phys. Rev. Lett. 90:248302 (2003), from memory, recomputed: at v/(wR) = 0.5 F/µN = .25866 and
  // T/µNR = .93422, at 2 the two change places; at 1, where the centre of turning lies on the lip, both are 2/π
  const double rows[][2] = {{0.25866, 0.93422}, {0.93422, 0.25866}, {2 / pi, 2 / pi}};
  const SuctionGrip grip = suction_grip({cup(0, 0, 15)});
  const double friction = 0.5 * grip.force;
  for (const auto& [force, twist] : rows)
    for (const double angle : {0.0, 0.3, 2.0}) {
      const Vector3d side = friction * force * Vector3d(std::cos(angle), std::sin(angle), 0);
      held_as(grip_factors(grip, load_of(side, {0, 0, 0}, {0, 0, friction * 15 * twist})).slip, 1.00001);
    }
}

TEST_CASE("two rings one in the other hold a twist as an annulus between them would in the mean") {
  // derived: lips of radius 10 and 20 under even pressure q: µ q 2π (10² + 20²)
  Suction zone;
  zone.circle = 20;
  zone.vacuum = 60000;
  zone.friction = 0.5;
  Outline hole;
  for (int i = 0; i < 180; ++i) hole.emplace_back(10 * std::cos(radians(2 * i)), 10 * std::sin(radians(2 * i)));
  zone.holes = {hole};
  const SuctionGrip grip = suction_grip({{zone, Pose::Identity()}});
  const double even = grip.force / (2 * pi * 30);
  const double held = 0.5 * even * 2 * pi * (10 * 10 + 20 * 20);
  held_as(grip_factors(grip, load_of({0, 0, 0}, {0, 0, 0}, {0, 0, held})).slip, 1.0002);
}

TEST_CASE("a ring that is tipped peels at half its force times its radius") {
  // derived: q = F/(2πR) - M/(πR²) = 0 at M = F R/2, where a stiff rim alone would hold F R
  const SuctionGrip grip = suction_grip({cup(0, 0, 15)});
  CHECK(grip_factors(grip, load_of({0, 0, 0}, {0, 0, 0}, {grip.force * 15 / 2, 0, 0})).peel == Approx(1));
}

TEST_CASE("a square lip that is tipped peels at its edge, or at its corner") {
  // derived: side 2a, length 8a, second moment 16/3 a³: about an edge's direction M = F/(8a) 16/3 a² = 2/3 F a; along
  // the diagonal the corner is √2 further
  const double a = 20;
  const SuctionGrip grip = suction_grip({plate({{-a, -a}, {a, -a}, {a, a}, {-a, a}})});
  const double held = 2.0 / 3 * grip.force * a;
  CHECK(grip_factors(grip, load_of({0, 0, 0}, {0, 0, 0}, {held, 0, 0})).peel == Approx(1));
  const Vector3d diagonal = held * Vector3d(1, 1, 0).normalized();
  CHECK(grip_factors(grip, load_of({0, 0, 0}, {0, 0, 0}, diagonal)).peel == Approx(1 / std::sqrt(2)));
}

TEST_CASE("a pull along the middle peels all lips at once") {
  const SuctionGrip grip = suction_grip({cup(-30, 0, 15), cup(30, 0, 15)});
  const GripFactors factors = grip_factors(grip, load_of({0, 0, 10}, {0, 0, 25}));
  CHECK(factors.peel == Approx(grip.force / 10));
  CHECK(factors.limited_by() == GripLimit::peel);
  CHECK(std::isinf(factors.slip));
}

TEST_CASE("what pulls off takes from the friction, as it takes from the pressure") {
  // derived: µ (F - t P) = t S at t = F/(P + S/µ)
  const SuctionGrip grip = suction_grip({cup(0, 0, 15)});
  held_as(grip_factors(grip, load_of({5, 0, 10}, {0, 0, 0})).slip, grip.force / (10 + 5 / 0.5));
}

TEST_CASE("a load that presses into the lips earns nothing, and tips where it acts off the middle") {
  const SuctionGrip grip = suction_grip({cup(0, 0, 15)});
  const GripFactors middle = grip_factors(grip, load_of({5, 0, -30}, {0, 0, 0}));
  CHECK(std::isinf(middle.peel));
  held_as(middle.slip, 0.5 * grip.force / 5);
  const GripFactors aside = grip_factors(grip, load_of({0, 0, -30}, {20, 0, 0}));
  CHECK(aside.peel == Approx(grip.force * 15 / 2 / (30 * 20)));
}

TEST_CASE("a weak cup in a row of strong ones is lifted by their vacuum alone") {
  // derived: 10, 10 and 100 in even steps: a straight line through them is at -5 under the first
  const SuctionGrip grip = suction_grip({cup(-100, 0, 1, 8), cup(0, 0, 1, 8), cup(100, 0, 1, 80)});
  const GripFactors factors = grip_factors(grip, load_of({0, 0, 1e-3}, {0, 0, 0}));
  CHECK(factors.peel == 0);
  CHECK(factors.least() == 0);
}

TEST_CASE("what carries a zone is its vacuum less its own lip's pressure") {
  const SuctionGrip grip = suction_grip({cup(-30, 0, 15), cup(30, 0, 15)});
  // derived: two rings at ±30, each with r²/2 of its own: P/2 ± P 10 30/(2 (30² + 15²/2))
  const auto loads = zone_loads(grip, load_of({0, 0, 8}, {10, 0, 0}));
  CHECK(loads[0] == Approx(4 - 8 * 10 * 30 / (2 * 1012.5)));
  CHECK(loads[1] == Approx(4 + 8 * 10 * 30 / (2 * 1012.5)));
}

TEST_CASE("a load that is not known is never held, and without vacuum nothing is") {
  const double unknown = std::numeric_limits<double>::quiet_NaN();
  CHECK(std::isnan(grip_factors(suction_grip({cup(0, 0, 15)}), load_of({unknown, 0, 1}, {0, 0, 0})).least()));
  CHECK(grip_factors(suction_grip({cup(0, 0, 15, 0)}), load_of({0, 0, 1}, {0, 0, 0})).least() == 0);
  CHECK(grip_factors(SuctionGrip{}, load_of({0, 0, 1}, {0, 0, 0})).least() == 0);
}

TEST_CASE("of lips without friction nothing is held sideways") {
  const SuctionGrip grip = suction_grip({cup(0, 0, 15, 60, 0), cup(40, 0, 15, 60, 0)});
  CHECK(grip_factors(grip, load_of({1, 0, 1}, {20, 0, 0})).slip == 0);
}

namespace {

struct Case {
  std::vector<PlacedZone> zones;
  Load load;
};

class Cases {
 public:
  explicit Cases(unsigned seed) : random_(seed), kind_(seed % 12) {}

  Case next() {
    Case made;
    const int count = kind_ == 0 ? 1 : 1 + static_cast<int>(6 * share());
    const double kpa = 20 + 60 * share(), friction = 0.1 + 0.7 * share();
    const bool alike = share() < 0.5;
    for (int i = 0; i < count; ++i)
      made.zones.push_back(zone(i, alike ? kpa : kpa * (0.8 + 0.4 * share()), alike ? friction : 0.1 + 0.7 * share()));
    if (kind_ == 2) made.zones.push_back(made.zones.front());  // one on the other
    const double size = kind_ == 3 ? 1000.0 : kind_ == 4 ? 1e-3 : 1.0;
    for (PlacedZone& placed : made.zones) stretch(placed, size);
    made.load = load(suction_grip(made.zones), size);
    return made;
  }

 private:
  double share() { return std::uniform_real_distribution<double>(0, 1)(random_); }
  double either() { return 2 * share() - 1; }

  PlacedZone zone(int number, double kpa, double friction) {
    const Vector2d at = kind_ == 1 ? Vector2d(70 * number, 0) : Vector2d(90 * either(), 90 * either());
    PlacedZone placed = share() < 0.65 ? cup(0, 0, 6 + 20 * share(), kpa, friction) : plate(polygon(), kpa, friction);
    placed.in_grip = Eigen::Translation3d(at.x(), at.y(), 0) * Eigen::AngleAxisd(6 * share(), Vector3d::UnitZ());
    return placed;
  }

  Outline polygon() {
    Outline outline;
    const int corners = 3 + static_cast<int>(9 * share());
    for (int i = 0; i < corners; ++i) {
      const double angle = 2 * pi * i / corners, radius = 8 + 25 * share();
      outline.emplace_back(radius * std::cos(angle), radius * std::sin(angle));
    }
    return outline;
  }

  static void stretch(PlacedZone& placed, double by) {
    if (placed.zone.circle) *placed.zone.circle *= by;
    for (Vector2d& corner : placed.zone.outline) corner *= by;
    placed.in_grip.translation() *= by;
  }

  Load load(const SuctionGrip& grip, double size) {
    const double n = grip.force / 4;
    const Vector3d middle = grip.plane_in_grip * Vector3d(grip.bed.middle.x(), grip.bed.middle.y(), 0);
    const Vector3d off = size * Vector3d(40 * either(), 40 * either(), 60 * share());
    Load made;
    made.at = middle + (kind_ == 5 ? Vector3d::Zero().eval() : off);
    made.force = n * Vector3d(0.5 * either(), 0.5 * either(), either());
    made.moment = 20 * size * n * Vector3d(0.3 * either(), 0.3 * either(), either());
    if (kind_ == 6) made.force.setZero();
    if (kind_ == 6) made.moment.head<2>().setZero();  // a twist alone
    if (kind_ == 7) made.force.head<2>().setZero();
    if (kind_ == 7) made.moment.setZero();  // a pull alone
    if (kind_ == 8) made.force.z() = -std::abs(made.force.z());
    return made;
  }

  std::mt19937 random_;
  unsigned kind_;
};

suction_oracle::Factors oracle(const Case& asked) {
  const Pose to_plane = asked.zones.front().in_grip.inverse();
  suction_oracle::Grip grip;
  for (const PlacedZone& placed : asked.zones) {
    const auto at = [&](const Vector2d& point) -> Vector3d {
      return to_plane * (placed.in_grip * Vector3d(point.x(), point.y(), 0));
    };
    const Vector3d middle = at(zone_area(placed.zone).centroid);
    grip.vacuums.push_back({middle.x(), middle.y(), suction_force(placed.zone)});
    const Outline& outline = placed.zone.outline;
    if (placed.zone.circle)
      suction_oracle::add_circle(grip, at({0, 0}).x(), at({0, 0}).y(), *placed.zone.circle, placed.zone.friction);
    for (std::size_t i = 0; i < outline.size(); ++i) {
      const Vector3d a = at(outline[i]), b = at(outline[(i + 1) % outline.size()]);
      suction_oracle::add_edge(grip, a.x(), a.y(), b.x(), b.y(), placed.zone.friction);
    }
  }
  suction_oracle::Load load;
  const Vector3d force = to_plane.linear() * asked.load.force, moment = to_plane.linear() * asked.load.moment;
  const Vector3d place = to_plane * asked.load.at;
  for (std::size_t i = 0; i < 3; ++i) {
    const auto row = static_cast<Eigen::Index>(i);
    load.force[i] = force[row];
    load.moment[i] = moment[row];
    load.at[i] = place[row];
  }
  return suction_oracle::Oracle(grip, load).factors();
}

}  // namespace

TEST_CASE("random grips hold as often as springs and every motion say: never 0.1 % more, nor 2 % less") {
  const unsigned seeds = std::getenv("CELLPROOF_LONG") != nullptr ? 1200 : 120;
  int slipping = 0, peeling = 0;
  for (unsigned seed = 0; seed < seeds; ++seed) {
    INFO("seed " << seed);
    const Case asked = Cases(seed).next();
    const GripFactors ours = grip_factors(suction_grip(asked.zones), asked.load);
    const suction_oracle::Factors theirs = oracle(asked);
    if (std::isfinite(theirs.peel) && theirs.peel < 1e8) {
      CHECK(ours.peel <= theirs.peel * 1.001);
      CHECK(ours.peel >= theirs.peel * 0.98);
    }
    const double slip = std::min(theirs.slip, theirs.peel);
    if (std::isfinite(theirs.slip) && slip < 1e8) {
      CHECK(ours.slip <= slip * 1.001);
      CHECK(ours.slip >= slip * 0.98);
    }
    slipping += ours.slip < 0.99 * ours.peel;
    peeling += ours.peel <= ours.slip;
  }
  CHECK(slipping > static_cast<int>(seeds / 4));
  CHECK(peeling > static_cast<int>(seeds / 10));
}

TEST_CASE("the order of the zones is no matter") {
  for (unsigned seed = 0; seed < 20; ++seed) {
    INFO("seed " << seed);
    Case asked = Cases(seed).next();
    const GripFactors one = grip_factors(suction_grip(asked.zones), asked.load);
    std::reverse(asked.zones.begin(), asked.zones.end());
    const GripFactors other = grip_factors(suction_grip(asked.zones), asked.load);
    CHECK(other.peel == Approx(one.peel).epsilon(1e-6));
    if (std::isfinite(one.slip)) CHECK(other.slip == Approx(one.slip).epsilon(2e-3));
  }
}
