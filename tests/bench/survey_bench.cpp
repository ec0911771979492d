// SPDX-License-Identifier: GPL-3.0-or-later
// A survey of the flange cell: placements a second, how many reach the last question, and what a second core gains.
#include <chrono>
#include <filesystem>
#include <stdexcept>

#include <benchmark/benchmark.h>

#include "checks/studies/judge.hpp"
#include "checks/studies/survey.hpp"
#include "scene/cell/cell_file.hpp"

using namespace cellproof;

namespace {

struct Surveyed {
  double seconds = 0;
  std::size_t spots = 0, to_the_last = 0, passing = 0;
};

Surveyed survey_on(const std::shared_ptr<const Scene>& scene, const SurveyGrid& grid, int threads) {
  const auto begin = std::chrono::steady_clock::now();
  SurveyRun run;
  run.threads = threads;
  const auto spots = survey_spots(grid, judge_of(scene, grid, {}), {}, run);
  Surveyed surveyed;
  surveyed.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  surveyed.spots = spots.size();
  for (const Spot& spot : spots) {
    surveyed.passing += spot.verdict.pass;
    surveyed.to_the_last += spot.verdict.pass || spot.verdict.reason == "sightline";
  }
  return surveyed;
}

void survey_flange_cell(benchmark::State& state) {
  const auto file = std::filesystem::path(CELLPROOF_SOURCE_DIR) / "models" / "flange-cell" / "mended.toml";
  const auto cell = read_cell_file(file);
  if (!cell) throw std::runtime_error(cell.error().text());
  auto built = build_scene(*cell);
  if (!built) throw std::runtime_error(built.error().text());
  const auto scene = std::make_shared<const Scene>(std::move(*built));
  Survey survey;
  survey.move = "infeed stand";
  survey.x = Range{-250, 250, 50};
  survey.y = Range{-250, 250, 50};
  const SurveyGrid grid = survey_grid(*cell, survey);
  Surveyed one, two;
  for (auto _ : state) {
    one = survey_on(scene, grid, 1);
    two = survey_on(scene, grid, 2);
  }
  state.counters["placements"] = static_cast<double>(two.spots);
  state.counters["passing"] = static_cast<double>(two.passing);
  state.counters["reached the last question"] = static_cast<double>(two.to_the_last);
  state.counters["placements a second, 2 threads"] = static_cast<double>(two.spots) / two.seconds;
  state.counters["1 thread over 2"] = one.seconds / two.seconds;
}
BENCHMARK(survey_flange_cell)->Name("survey of the flange cell")->Iterations(1)->Unit(benchmark::kMillisecond);

}  // namespace
