// SPDX-License-Identifier: GPL-3.0-or-later
// What a source of vacuum reaches, how long it takes, how long a closed volume keeps it: closed forms (derived), cases
// made to degenerate, and random sources against small steps of the mass balance.
#include "scene/cell/vacuum_flow.hpp"

#include <cmath>
#include <cstdlib>
#include <random>

#include <catch2/catch.hpp>

#include "tests/support/vacuum_oracle.hpp"

using namespace cellproof;

namespace {

constexpr double kpa = 1000, litre = 1e6, litre_per_minute = 1e6 / 60;

VacuumLine line(std::vector<FlowPoint> flow, double leak = 0) {
  VacuumLine made;
  made.ambient = 101325;
  made.flow = std::move(flow);
  made.leak = leak;
  return made;
}

/// 60 L/min at no vacuum, falling evenly to nothing at 85 kPa.
VacuumLine ejector(double leak = 0) {
  return line({{0, 60 * litre_per_minute}, {85 * kpa, 0}}, leak);
}

}  // namespace

TEST_CASE("the vacuum reached is where the source draws what leaks") {
  // derived: 60 (1 − v/85) = 0.5
  CHECK(vacuum_reached(ejector(0.5 * litre_per_minute)) == Approx(85 * kpa * (1 - 0.5 / 60)).epsilon(1e-12));
  CHECK(vacuum_reached(ejector()) == 85 * kpa);
  CHECK(vacuum_reached(ejector(60 * litre_per_minute)) == 0);
  CHECK(vacuum_reached(ejector(61 * litre_per_minute)) == 0);
  // A curve that ends while it still draws: nothing beyond is known.
  CHECK(vacuum_reached(line({{0, 100}, {50 * kpa, 40}}, 10)) == 50 * kpa);
  // In the second of two pieces: 20 − 20 (v − 40)/40 = 5.
  CHECK(vacuum_reached(line({{0, 100}, {40 * kpa, 20}, {80 * kpa, 0}}, 5)) == Approx(70 * kpa).epsilon(1e-12));
}

TEST_CASE("a pump of constant volume a second draws free air that falls evenly to nothing at full vacuum") {
  // Given S litres a second at any pressure, free air is S p/p_a = S (1 − v/p_a); then t = (V/S) ln(p_a/p_b) (derived).
  const double s = 30 * litre_per_minute, volume = 0.2 * litre;
  const VacuumLine pump = line({{0, s}, {101325, 0}});
  CHECK(evacuation_time(pump, volume, 60 * kpa) == Approx(volume / s * std::log(101325.0 / 41325)).epsilon(1e-12));
  CHECK(evacuation_time(pump, volume, 60 * kpa) == Approx(0.3588).epsilon(2e-4));
}

TEST_CASE("two pieces of a curve are run through one after the other") {
  // derived: V/p_a (Δv/(Q1 − Q2)) ln(Q1/Q2) of each, the leak taken off
  const VacuumLine two = line({{0, 110}, {40 * kpa, 30}, {80 * kpa, 10}}, 10);
  const double first = 40 * kpa / 80 * std::log(100.0 / 20), second = 20 * kpa / 10 * std::log(20.0 / 10);
  CHECK(evacuation_time(two, litre, 60 * kpa) == Approx(litre / 101325 * (first + second)).epsilon(1e-12));
}

TEST_CASE("before the first point as much is drawn as there") {
  const VacuumLine late = line({{20 * kpa, 50}, {80 * kpa, 0}});
  CHECK(evacuation_time(late, litre, 20 * kpa) == Approx(litre / 101325 * 20 * kpa / 50).epsilon(1e-12));
}

TEST_CASE("what is reached takes for ever, and so does all beyond") {
  const VacuumLine leaking = ejector(0.5 * litre_per_minute);
  const double reached = vacuum_reached(leaking);
  CHECK(std::isinf(evacuation_time(leaking, litre, reached)));
  CHECK(std::isinf(evacuation_time(leaking, litre, 90 * kpa)));
  CHECK(std::isfinite(evacuation_time(leaking, litre, 0.999 * reached)));
  CHECK(std::isinf(evacuation_time(ejector(60 * litre_per_minute), litre, 1)));
  CHECK(std::isinf(evacuation_time(line({}), litre, 1)));
  CHECK(evacuation_time(leaking, litre, 0) == 0);
  // The end of a curve that still draws is reached in time.
  CHECK(std::isfinite(evacuation_time(line({{0, 100}, {50 * kpa, 40}}, 10), litre, 50 * kpa)));
}

TEST_CASE("a leak lets the vacuum fall evenly") {
  // derived: 0.5 L at 0.5 L/min of free air fills from 60 to 30 kPa in 60 s x 30/101.325
  const VacuumLine leaking = ejector(0.5 * litre_per_minute);
  CHECK(decay_time(leaking, 0.5 * litre, 60 * kpa, 30 * kpa) == Approx(60 * 30 / 101.325).epsilon(1e-12));
  CHECK(decay_time(leaking, litre, 30 * kpa, 30 * kpa) == 0);
  CHECK(decay_time(leaking, litre, 30 * kpa, 60 * kpa) == 0);
  CHECK(std::isinf(decay_time(ejector(), litre, 60 * kpa, 30 * kpa)));
}

TEST_CASE("a hose of 6 mm and 2 m") {
  const Hose hose{2000, 6};
  CHECK(hose_volume(hose) == Approx(56548.7).epsilon(1e-6));  // derived
  // From memory of ISO 6358-3, recomputed: 2.53 dm^3/(s bar), 0.333.
  CHECK(conductance(hose).sonic == Approx(2.53e-8).epsilon(2e-3));
  CHECK(conductance(hose).critical_ratio == Approx(0.333).epsilon(2e-3));
}

TEST_CASE("a hose takes time, and the thinner it is the more") {
  VacuumLine with = ejector(0.5 * litre_per_minute);
  double before = evacuation_time(with, litre, 60 * kpa);
  for (const double bore : {20.0, 8.0, 6.0, 4.0, 3.0}) {
    with.hose = Hose{2000, bore};
    const double now = evacuation_time(with, litre, 60 * kpa);
    CHECK(now > before);
    before = now;
  }
  // A wide and short one takes hardly any, but for the half of a hundredth that the bound costs.
  with.hose = Hose{10, 50};
  const double free = evacuation_time(ejector(0.5 * litre_per_minute), litre, 60 * kpa);
  CHECK(evacuation_time(with, litre, 60 * kpa) >= free);
  CHECK(evacuation_time(with, litre, 60 * kpa) < 1.006 * free);
}

TEST_CASE("a thin hose passes what its conductance lets through") {
  // Given a source far stronger than a hose of 2 mm, choked while p_behind/p < b: free air C p p_ref/p_a, so that
  // p falls as exp(−C p_ref t/V) (derived).
  VacuumLine choked = line({{0, 1e9}, {101325, 0.999e9}});
  choked.hose = Hose{2000, 2};
  const double c = conductance(*choked.hose).sonic;
  const double exact = 1e-3 / (c * 1e5) * std::log(101325.0 / 51325);
  CHECK(evacuation_time(choked, litre, 50 * kpa) >= exact * (1 - 1e-9));
}

namespace {

struct Random {
  std::mt19937 engine;
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine); }
  double by_size(double low, double high) { return std::exp(between(std::log(low), std::log(high))); }
  bool one_in(int n) { return std::uniform_int_distribution<int>(1, n)(engine) == 1; }
};

VacuumLine random_line(Random& random) {
  VacuumLine made;
  made.ambient = random.between(60 * kpa, 102 * kpa);
  const int points = std::uniform_int_distribution<int>(2, 6)(random.engine);
  double vacuum = random.one_in(4) ? random.between(0, 20 * kpa) : 0;
  double flow = random.by_size(1, 1e7);
  for (int i = 0; i < points; ++i) {
    made.flow.push_back({vacuum, i + 1 == points && !random.one_in(4) ? 0 : flow});
    vacuum += (made.ambient - vacuum) * random.between(0.05, 0.7);
    flow *= random.between(0.2, 0.95);
  }
  made.leak = random.one_in(4) ? 0 : made.flow.front().flow * random.between(0, 0.3);
  if (random.one_in(20)) made.leak = made.flow.front().flow;
  if (random.one_in(3)) made.hose = Hose{random.by_size(100, 10000), random.by_size(2, 20)};
  return made;
}

}  // namespace

TEST_CASE("random sources: never told shorter to draw down nor longer to keep than small steps have it") {
  const unsigned seeds = 1500, cases = std::getenv("CELLPROOF_LONG") != nullptr ? seeds : seeds / 10;
  int finite = 0;
  for (unsigned seed = 0; seed < cases; ++seed) {
    Random random{std::mt19937(seed)};
    const VacuumLine source = random_line(random);
    const double volume = random.by_size(1, 1e10), reached = vacuum_reached(source);
    const double to = random.one_in(20) ? 0 : reached * random.between(0.01, 0.99);
    CAPTURE(seed, volume, to, reached, source.leak, source.hose.has_value());
    const double told = evacuation_time(source, volume, to);
    const double stepped = to > 0 ? oracle::evacuation(source, volume, to, source.hose ? 2e-3 : 4e-4) : 0;
    if (to > 0 && reached > 0) CHECK(std::isfinite(told));
    finite += std::isfinite(told) && told > 0;
    CHECK(told >= stepped * (1 - 1e-3));
    CHECK(told <= stepped * (1 + (source.hose ? 0.01 : 1e-3)));
    if (!(source.leak > 0 && to > 0)) continue;
    const double low = to * random.between(0, 1), kept = oracle::loss(source.ambient, source.leak, volume, to, low);
    CHECK(decay_time(source, volume, to, low) <= kept * (1 + 1e-3));
    CHECK(decay_time(source, volume, to, low) >= kept * (1 - 1e-3));
  }
  CHECK(finite > static_cast<int>(cases) / 2);
}
