// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof check: runs the cycle, prints the findings.
#include <memory>

#include <fmt/format.h>

#include "app/command_proof.hpp"
#include "app/commands.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "app/report_json.hpp"
#include "app/report_text.hpp"
#include "app/threads_option.hpp"
#include "checks/prove.hpp"
#include "scene/cell/cell_file.hpp"
#include "viewer/page/page.hpp"

namespace cellproof {

namespace {

struct CheckOptions {
  std::string cell, json, page;
  bool curves = false;
  int threads = 0;
};

int check(const CheckOptions& options) {
  const auto cell = read_cell_file(options.cell);
  if (!cell) return refuse(cell.error().text());
  if (const std::string trouble = trouble_with_outputs(*cell, {{"--json", options.json}, {"--page", options.page}});
      !trouble.empty())
    return refuse(trouble);
  Run run = command_run(options.threads);
  run.curves = options.curves || !options.page.empty();
  const auto proof = command_proof(*cell, run);
  if (!proof) return proof.error();
  Outputs outputs;
  if (!options.json.empty()) outputs.add("--json", options.json, report_json(*proof));
  if (!options.page.empty()) outputs.add("--page", options.page, page_of(*proof));
  outputs.tell(report_text(*proof));
  return deliver(outputs, proof->report.pass ? exit_pass : exit_fail);
}

}  // namespace

void add_check(CommandLine& program) {
  auto options = std::make_shared<CheckOptions>();
  Command command = program.command("check", "run the cycle and print what fails, where, when and by how much");
  command.word("CELL", options->cell, "the cell file");
  command.option("--json", options->json, "write the report as JSON to this file; - is standard output");
  command.option("--page", options->page,
                 "write the report as a page with pictures to this file (HTML); - is standard output");
  command.flag("--curve", options->curves, "also write the clearance of each step along time (with --json)");
  add_threads(command, options->threads);
  command.closing("Example: cellproof check mycell.toml --json report.json --threads 4");
  command.runs([options] { return check(*options); });
}

}  // namespace cellproof
