// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof poses: the poses and joint values to enter at the controller.
#include <algorithm>
#include <memory>

#include <fmt/format.h>

#include "app/command_proof.hpp"
#include "app/commands.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "app/poses_output.hpp"
#include "app/threads_option.hpp"
#include "scene/cell/cell_file.hpp"

namespace cellproof {

namespace {

struct PosesOptions {
  std::string cell, csv;
  int threads = 0;
};

/// What stands between these figures and a robot that runs.
std::string closing(const Proof& proof) {
  const auto& findings = proof.report.findings;
  const auto fails = std::count_if(findings.begin(), findings.end(),
                                   [](const Finding& finding) { return finding.severity == Severity::fail; });
  std::string text;
  if (!proof.report.pass)
    text += fmt::format(
        "FAIL, findings of this cycle that fail: {}; see cellproof check before any of this is entered\n", fails);
  return text +
         "Roll, pitch and yaw turn about fixed x, y and z, in that order.\n"
         "These are the poses of the models and the table as the file states them; the machines in the shop differ. "
         "Touch each up at\nreduced speed. A competent, where required licensed, person assesses the cell under local "
         "codes.\n";
}

int poses(const PosesOptions& options) {
  const auto cell = read_cell_file(options.cell);
  if (!cell) return refuse(cell.error().text());
  if (const std::string trouble = trouble_with_outputs(*cell, {{"--csv", options.csv}}); !trouble.empty())
    return refuse(trouble);
  const auto proof = command_proof(*cell, command_run(options.threads));
  if (!proof) return proof.error();
  const auto runs = run_poses(*proof);
  Outputs outputs;
  outputs.add("--csv", options.csv, poses_csv(*proof, runs));
  outputs.tell(poses_text(*proof, runs) + closing(*proof));
  return deliver(outputs, proof->report.pass ? exit_pass : exit_fail);
}

}  // namespace

void add_poses(CommandLine& program) {
  auto options = std::make_shared<PosesOptions>();
  Command command =
      program.command("poses", "prove the cycle and list the poses and joint values to enter at the controller");
  command.word("CELL", options->cell, "the cell file");
  command.option("--csv", options->csv, "write a line a pose to this file; - is standard output");
  add_threads(command, options->threads);
  command.closing("Example: cellproof poses mycell.toml --csv poses.csv --threads 4");
  command.runs([options] { return poses(*options); });
}

}  // namespace cellproof
