// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof survey: where a body or the arm can stand.
#include <algorithm>
#include <chrono>
#include <memory>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/interrupt.hpp"
#include "app/option_values.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "app/progress_line.hpp"
#include "app/survey_journal.hpp"
#include "app/survey_output.hpp"
#include "app/threads_option.hpp"
#include "checks/studies/judge.hpp"
#include "checks/studies/survey_result.hpp"
#include "scene/cell/cell_file.hpp"
#include "viewer/pictures/survey_map.hpp"

namespace cellproof {

namespace {

struct SurveyOptions {
  std::string cell, survey, csv, json, map, keep, slice;
  std::vector<std::string> join;
  int threads = 0;
};

/// "2/5": the second of five. Error: a sentence.
tl::expected<Slice, std::string> slice_of(const std::string& text) {
  if (text.empty()) return Slice{};
  std::size_t part = 0, parts = 0;
  int read = 0;
  if (text.size() < 20 && std::sscanf(text.c_str(), "%zu/%zu%n", &part, &parts, &read) == 2 &&
      static_cast<std::size_t>(read) == text.size() && text.front() != '-' && part >= 1 && part <= parts)
    return Slice{part - 1, parts};
  return tl::unexpected(fmt::format("--slice: '{}' is no part of a whole; write K/N such as 2/5, K from 1 to N", text));
}

/// What can't be asked together, or nothing.
std::string contradiction(const SurveyOptions& options, const Survey& survey) {
  const bool writes = !options.csv.empty() || !options.json.empty() || !options.map.empty();
  if (!options.slice.empty() && options.keep.empty()) return "--slice: a slice is only kept; add --keep FILE";
  if (!options.slice.empty() && writes)
    return "--slice: a slice is not the whole survey; leave --csv, --json and --map to the --join of all slices";
  if (!options.slice.empty() && !options.join.empty()) return "--join: goes without --slice; leave one of them out";
  if (!options.keep.empty() && !options.join.empty()) return "--join: goes without --keep; leave one of them out";
  if (survey.budget && (!options.slice.empty() || !options.join.empty()))
    return "--slice, --join: where a survey with a budget looks next depends on all it has found; leave `budget` out";
  if ((options.csv == "-") + (options.json == "-") + (options.map == "-") > 1)
    return "--csv, --json, --map: only one of them can go to standard output";
  if (!options.map.empty() && !names_png(options.map))
    return fmt::format("--map: '{}' is not a PNG file's name; let it end in .png", options.map);
  return {};
}

/// Tells how much is done and how long the rest takes, on a terminal only.
std::function<void(std::size_t, std::size_t)> progress_with_time_left(std::size_t known) {
  const auto tell = terminal_progress();
  if (!tell) return {};
  const auto begun = std::chrono::steady_clock::now();
  return [tell, begun, known](std::size_t done, std::size_t of) {
    const double spent = std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
    const double fresh = static_cast<double>(done) - static_cast<double>(std::min(known, done));
    const double left = fresh > 0 ? spent / fresh * static_cast<double>(of - done) : 0;
    tell(static_cast<double>(done) / static_cast<double>(of),
         fmt::format("{} of {} spots, about {:.0f} s left", done, of, left));
  };
}

int stopped(const SurveyOptions& options, std::size_t kept) {
  if (options.keep.empty())
    fmt::print(stderr, "stopped; nothing written, nothing kept (with --keep FILE it could be gone on with)\n");
  else
    fmt::print(stderr, "stopped; {} spots are kept in '{}': the same command goes on from there\n", kept, options.keep);
  return exit_interrupted;
}

/// The spots of all joined files. Error: a sentence.
tl::expected<std::vector<Spot>, std::string> joined_spots(const SurveyOptions& options, const std::string& key,
                                                          std::size_t size) {
  std::vector<Spot> all;
  for (const auto& file : options.join) {
    auto spots = journal_spots(file, key);
    if (!spots) return tl::unexpected("--join: " + spots.error());
    all.insert(all.end(), spots->begin(), spots->end());
  }
  std::vector<char> there(size, 0);
  for (const Spot& spot : all)
    if (spot.index < size) there[spot.index] = 1;
  const auto missing = static_cast<std::size_t>(std::count(there.begin(), there.end(), 0));
  if (missing > 0)
    return tl::unexpected(fmt::format(
        "--join: {} of {} spots are in none of these files; name the files of all slices, each run to its end", missing,
        size));
  return all;
}

int finish(const SurveyOptions& options, const Scene& scene, const SurveyResult& result) {
  Outputs outputs;
  if (!options.map.empty()) {
    auto png = png_of(render_survey_map({scene, result}));
    if (!png) return refuse("--map: " + png.error());
    outputs.add("--map", options.map, std::move(*png));
  }
  outputs.add("--csv", options.csv, survey_csv(result));
  outputs.add("--json", options.json, survey_json(result));
  outputs.tell(survey_text(scene, result));
  return deliver(outputs, result.best ? exit_pass : exit_fail);
}

int finish_slice(const SurveyOptions& options, const Survey& survey, std::size_t spots) {
  put(fmt::format("slice {} of survey \"{}\": {} spots are kept in '{}'; put all slices together with --join\n",
                  options.slice, survey.name, spots, options.keep));
  return exit_pass;
}

/// What is known before the survey begins, and where what it finds is kept.
struct SpotStore {
  std::vector<Spot> known;
  std::optional<SurveyJournal> journal;
  std::size_t kept() const { return journal ? journal->count() : 0; }
};

tl::expected<SpotStore, std::string> open_store(const SurveyOptions& options, const std::string& key,
                                                std::size_t size) {
  SpotStore store;
  if (!options.join.empty()) {
    auto spots = joined_spots(options, key, size);
    if (!spots) return tl::unexpected(spots.error());
    store.known = std::move(*spots);
  } else if (!options.keep.empty()) {
    auto journal = SurveyJournal::open(options.keep, key);
    if (!journal) return tl::unexpected("--keep: " + journal.error());
    store.known = journal->known();
    store.journal.emplace(std::move(*journal));
  }
  return store;
}

int run_survey(const SurveyOptions& options, const Cell& cell, const Survey& survey, SurveyRun run) {
  const auto key = survey_key(cell, survey);
  if (!key) return refuse(key.error());
  auto built = build_scene(cell, run.stop, run.threads);
  if (!built) return refuse(built.error().text());
  if (run.stop.stop_requested()) return stopped(options, 0);
  const auto scene = std::make_shared<const Scene>(std::move(*built));
  const SurveyGrid grid = survey_grid(cell, survey);
  const SpotJudge judge = judge_of(scene, grid, run.stop);
  auto store = open_store(options, *key, grid.size());
  if (!store) return refuse(store.error());
  if (store->journal) run.keep = [&](std::span<const Spot> spots) { return store->journal->add(spots); };
  run.told = progress_with_time_left(store->known.size());

  auto spots = survey_spots(grid, judge, store->known, run);
  end_progress();
  if (store->journal && !store->journal->trouble().empty()) return refuse("--keep: " + store->journal->trouble());
  if (run.stop.stop_requested()) return stopped(options, store->kept());
  if (!options.slice.empty()) return finish_slice(options, survey, spots.size());
  const SurveyResult result = sum_up(survey.name, grid, std::move(spots), judge, run);
  if (run.stop.stop_requested()) return stopped(options, store->kept());
  return finish(options, *scene, result);
}

/// The run that the options ask for. Error: a sentence.
tl::expected<SurveyRun, std::string> run_of(const SurveyOptions& options, const Survey& survey) {
  if (const std::string wrong = contradiction(options, survey); !wrong.empty()) return tl::unexpected(wrong);
  const auto slice = slice_of(options.slice);
  if (!slice) return tl::unexpected(slice.error());
  SurveyRun run;
  run.stop = stopped_by_interrupt();
  run.threads = options.threads;
  run.slice = *slice;
  if (survey.budget) run.budget = static_cast<std::size_t>(*survey.budget);
  return run;
}

int survey(const SurveyOptions& options) {
  const auto cell = read_cell_file(options.cell);
  if (!cell) return refuse(cell.error().text());
  if (const std::string trouble = trouble_with_outputs(
          *cell, {{"--csv", options.csv}, {"--json", options.json}, {"--map", options.map}, {"--keep", options.keep}});
      !trouble.empty())
    return refuse(trouble);
  const auto found = std::find_if(cell->surveys.begin(), cell->surveys.end(),
                                  [&](const Survey& entry) { return entry.name == options.survey; });
  if (found == cell->surveys.end())
    return refuse(
        fmt::format("{}: there is no survey '{}'; name one of its [[survey]] tables", options.cell, options.survey));
  if (!cell->cycle)
    return refuse(
        fmt::format("{}: cycle: there is no [cycle] to prove; add one with `start` and its steps", options.cell));
  const auto run = run_of(options, *found);
  if (!run) return refuse(run.error());
  return run_survey(options, *cell, *found, *run);
}

}  // namespace

void add_survey(CommandLine& program) {
  auto options = std::make_shared<SurveyOptions>();
  Command command = program.command("survey", "prove the cycle with a body or the arm in many places");
  command.word("CELL", options->cell, "the cell file");
  command.word("NAME", options->survey, "which of its [[survey]] tables");
  command.option("--csv", options->csv, "write a line a spot to this file");
  command.option("--json", options->json, "write spots, best, slack and front as JSON; - is standard output");
  command.option("--map", options->map, "draw the map to this PNG file");
  command.option("--keep", options->keep, "keep spots in this file as they are found, and go on from there");
  command.option("--slice", options->slice, "only every N-th spot, from the K-th: K/N; with --keep");
  command.list("--join", options->join, "put the kept files of all slices together");
  add_threads(command, options->threads);
  command.closing(
      "Example: cellproof survey mycell.toml \"pallet spots\" --map spots.png --threads 4\n"
      "On three machines: --slice 1/3 --keep part1 … --slice 3/3 --keep part3, then --join part1 part2 part3");
  command.runs([options] { return survey(*options); });
}

}  // namespace cellproof
