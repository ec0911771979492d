// SPDX-License-Identifier: GPL-3.0-or-later
// How long it takes to find how many times a fixture holds.
#include <benchmark/benchmark.h>

#include "scene/forces/factor_map.hpp"

using namespace cellproof;

namespace {

/// A plate of 300 by 200 mm under 800 N, with rests on a circle and a cut anywhere on it.
FixtureCase plate_on(int rests) {
  FixtureCase fixture;
  for (int i = 0; i < rests; ++i)
    fixture.contacts.rests.emplace_back(90 * std::cos(2 * pi * (i + 0.2) / rests),
                                        90 * std::sin(2 * pi * (i + 0.2) / rests));
  fixture.contacts.friction = 0.3;
  fixture.constant = wrench_of({0, 0, -800}, {5, -3, 0});
  fixture.cut = {75, 25, 150, 12, {{-150, -100}, {150, -100}, {150, 100}, {-150, 100}}};
  return fixture;
}

void fixture_on_rests(benchmark::State& state) {
  const FixtureCase fixture = plate_on(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(fixture_limit(fixture).factor);
}

void fixture_with_clamps(benchmark::State& state) {
  FixtureCase fixture = plate_on(3);
  fixture.contacts.tips = {{-60, 0, 12}, {60, 0, 12}};
  fixture.contacts.grips = {60, 60};
  for (auto _ : state) benchmark::DoNotOptimize(fixture_limit(fixture).factor);
}

void map_of_fixture(benchmark::State& state) {
  const FixtureCase fixture = plate_on(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(factor_map(fixture, 2000).factors.front());
}

}  // namespace

BENCHMARK(fixture_on_rests)->Arg(3)->Arg(4)->Arg(8)->Arg(16)->Unit(benchmark::kMillisecond);
BENCHMARK(fixture_with_clamps)->Unit(benchmark::kMillisecond);
BENCHMARK(map_of_fixture)->Arg(3)->Arg(4)->Arg(8)->Unit(benchmark::kMillisecond);
