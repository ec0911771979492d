// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof look: where else a camera could look from.
#include <algorithm>
#include <memory>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/interrupt.hpp"
#include "app/look_output.hpp"
#include "app/output_files.hpp"
#include "app/progress_line.hpp"
#include "app/whole_file.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/clearance/pair_results.hpp"

namespace cellproof {

namespace {

struct LookOptions {
  std::string cell, step, json;
};

/// The looks that fail (into the cell's steps). Error: a sentence.
tl::expected<std::vector<StepId>, std::string> failing_steps(const LookOptions& options, const Scene& scene,
                                                             const Run& run) {
  const auto& steps = scene.cell.cycle->steps;
  if (std::ranges::none_of(steps, [](const Step& step) { return std::holds_alternative<LookStep>(step.action); }))
    return tl::unexpected(fmt::format("{}: the cycle has no look; add a step with `look`", options.cell));
  LooksOfCycle looks = looks_of_cycle(scene, run);
  if (looks.failing.empty() && !looks.never_reached.empty() && !run.stop.stop_requested())
    return tl::unexpected(
        fmt::format("{}: the cycle never comes to the look \"{}\"; mend what `check` finds before it first",
                    options.cell, scene.cell[looks.never_reached.front()].name));
  return std::move(looks.failing);
}

/// The looks with this name (into the cell's steps); those that fail if it is empty. Error: a sentence.
tl::expected<std::vector<StepId>, std::string> asked_steps(const LookOptions& options, const Scene& scene,
                                                           const Run& run) {
  if (options.step.empty()) return failing_steps(options, scene, run);
  const auto& steps = scene.cell.cycle->steps;
  std::vector<StepId> looks;
  for (const StepId step : ids_of(steps))
    if (scene.cell[step].name == options.step && std::holds_alternative<LookStep>(scene.cell[step].action))
      looks.push_back(step);
  if (looks.empty())
    return tl::unexpected(
        fmt::format("--step: there is no look named '{}' in {}; give the `name` of a step with `look`", options.step,
                    options.cell));
  return looks;
}

int answer(const LookOptions& options, const Cell& cell, const std::vector<OtherLooks>& found) {
  if (!options.json.empty())
    if (const auto written = write_whole(options.json, looks_json(cell, found)); !written)
      return refuse("--json: " + written.error());
  if (options.json != "-") put(looks_text(cell, found));
  const bool helped = std::ranges::none_of(found, [](const OtherLooks& looks) { return looks.passing.empty(); });
  return helped ? exit_pass : exit_fail;
}

int look(const LookOptions& options) {
  const auto cell = read_cell_file(options.cell);
  if (!cell) return refuse(cell.error().text());
  if (const std::string trouble = trouble_with_outputs(*cell, {{"--json", options.json}}); !trouble.empty())
    return refuse(trouble);
  if (!cell->cycle)
    return refuse(
        fmt::format("{}: there is no [cycle] with a look in it; add one with `start` and its steps", options.cell));
  Run run;
  run.stop = stopped_by_interrupt();
  run.progress = terminal_progress();
  run.results = std::make_shared<PairResults>();
  const auto scene = build_scene(*cell, run.stop);
  if (!scene) return refuse(scene.error().text());
  const auto steps = asked_steps(options, *scene, run);
  if (!steps) {
    end_progress();
    return refuse(steps.error());
  }
  std::vector<OtherLooks> found;
  for (const StepId step : *steps) {
    auto looks = other_looks(*scene, step, run);
    if (!looks) {
      end_progress();
      return refuse(fmt::format("{}: {}; {}", options.cell, looks.error().what, looks.error().mend));
    }
    found.push_back(std::move(*looks));
  }
  end_progress();
  if (run.stop.stop_requested()) {
    fmt::print(stderr, "stopped; nothing written\n");
    return exit_interrupted;
  }
  return answer(options, *cell, found);
}

}  // namespace

void add_look(CLI::App& program, int& status) {
  auto options = std::make_shared<LookOptions>();
  CLI::App* command =
      program.add_subcommand("look", "where else a camera could look from, proved with the whole cycle");
  command->add_option("CELL", options->cell, "the cell file")->required();
  command->add_option("--step", options->step, "the look with this name (default: every look that fails)");
  command->add_option("--json", options->json, "write the poses as JSON to this file; - is standard output");
  command->footer("Example: cellproof look mycell.toml --step \"read the mark\"");
  command->callback([options, &status] { status = look(*options); });
}

}  // namespace cellproof
