// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof look: where else a camera could look from.
#include <algorithm>
#include <memory>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/interrupt.hpp"
#include "app/look_output.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "app/progress_line.hpp"
#include "app/threads_option.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/clearance/pair_results.hpp"

namespace cellproof {

namespace {

struct LookOptions {
  std::string cell, step, json;
  int threads = 0;
};

/// The looks that fail. Error: a sentence.
tl::expected<std::vector<StepId>, std::string> failing_steps(const LookOptions& options, const Scene& scene,
                                                             const Run& run) {
  const auto& steps = scene.cell.cycle->steps;
  if (std::ranges::none_of(steps, [](const Step& step) { return std::holds_alternative<LookStep>(step.action); }))
    return tl::unexpected(fmt::format("{}: the cycle has no look; add a step with `look`", options.cell));
  LooksOfCycle looks = looks_of_cycle(scene, run);
  if (looks.failing.empty() && !looks.never_reached.empty() && !run.stop.stop_requested())
    return tl::unexpected(
        fmt::format("{}: the cycle never comes to the look \"{}\"; mend what `check` finds before it first",
                    options.cell, steps[looks.never_reached.front()].name));
  return std::move(looks.failing);
}

/// The looks with this name; those that fail if it is empty. Error: a sentence.
tl::expected<std::vector<StepId>, std::string> asked_steps(const LookOptions& options, const Scene& scene,
                                                           const Run& run) {
  if (options.step.empty()) return failing_steps(options, scene, run);
  const auto& steps = scene.cell.cycle->steps;
  std::vector<StepId> looks;
  for (const StepId i : ids_of(steps))
    if (steps[i].name == options.step && std::holds_alternative<LookStep>(steps[i].action)) looks.push_back(i);
  if (looks.empty())
    return tl::unexpected(
        fmt::format("--step: there is no look named '{}' in {}; give the `name` of a step with `look`", options.step,
                    options.cell));
  return looks;
}

int answer(const LookOptions& options, const Cell& cell, const std::vector<OtherLooks>& found) {
  Outputs outputs;
  outputs.add("--json", options.json, looks_json(cell, found));
  outputs.tell(looks_text(cell, found));
  const bool helped = std::ranges::none_of(found, [](const OtherLooks& looks) { return looks.passing.empty(); });
  return deliver(outputs, helped ? exit_pass : exit_fail);
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
  run.threads = options.threads;
  run.stop = stopped_by_interrupt();
  run.progress = terminal_progress();
  run.results = std::make_shared<PairResults>();
  const auto scene = build_scene(*cell, run.stop, run.threads);
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

void add_look(CommandLine& program) {
  auto options = std::make_shared<LookOptions>();
  Command command = program.command("look", "where else a camera could look from, proved with the whole cycle");
  command.word("CELL", options->cell, "the cell file");
  command.option("--step", options->step, "the look with this name (default: every look that fails)");
  command.option("--json", options->json, "write the poses as JSON to this file; - is standard output");
  add_threads(command, options->threads);
  command.closing("Example: cellproof look mycell.toml --step \"read the mark\" --threads 4");
  command.runs([options] { return look(*options); });
}

}  // namespace cellproof
