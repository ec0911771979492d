// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof compare: versions of a design side by side, every margin with its change.
#include <memory>

#include <fmt/format.h>

#include "app/command_proof.hpp"
#include "app/commands.hpp"
#include "app/compare_output.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "app/threads_option.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/clearance/pair_results.hpp"

namespace cellproof {

namespace {

struct CompareOptions {
  std::vector<std::string> cells;
  std::string json;
  int threads = 0;
};

std::vector<Proof> proofs_of(const std::vector<Version>& versions) {
  std::vector<Proof> proofs;
  for (const Version& version : versions) proofs.push_back(version.proof);
  return proofs;
}

int compare(const CompareOptions& options) {
  if (options.cells.size() < 2) return refuse("cellproof compare: names one cell; name two versions of it or more");
  std::vector<Cell> cells;
  for (const std::string& file : options.cells) {
    const auto cell = read_cell_file(file);
    if (!cell) return refuse(cell.error().text());
    if (const std::string trouble = trouble_with_outputs(*cell, {{"--json", options.json}}); !trouble.empty())
      return refuse(trouble);
    cells.push_back(*cell);
  }
  Run run = command_run(options.threads);
  run.results = std::make_shared<PairResults>();  // what two versions have in common is measured once
  std::vector<Version> versions;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const auto proof = command_proof(cells[i], run);
    if (!proof) return proof.error();
    versions.push_back({options.cells[i], *proof});
  }
  const std::vector<ComparedMargin> margins = compared(proofs_of(versions), run);
  if (run.stop.stop_requested()) return tell_interrupted();
  Outputs outputs;
  outputs.add("--json", options.json, compare_json(versions, margins));
  outputs.tell(compare_text(versions, margins));
  return deliver(outputs, exit_pass);
}

}  // namespace

void add_compare(CommandLine& program) {
  auto options = std::make_shared<CompareOptions>();
  Command command =
      program.command("compare", "prove versions of a design and show every margin side by side, with its change");
  command.words("CELL", options->cells, "the cell files; changes are told against the first");
  command.option("--json", options->json, "write the comparison as JSON to this file; - is standard output");
  add_threads(command, options->threads);
  command.closing("Example: cellproof compare gripper-a.toml gripper-b.toml --threads 4");
  command.runs([options] { return compare(*options); });
}

}  // namespace cellproof
