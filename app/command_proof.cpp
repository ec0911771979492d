// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command_proof.hpp"

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/interrupt.hpp"
#include "app/progress_line.hpp"

namespace cellproof {

Run command_run(int threads) {
  Run run;
  run.threads = threads;
  run.progress = terminal_progress();
  run.stop = stopped_by_interrupt();
  return run;
}

int tell_interrupted() {
  fmt::print(stderr, "stopped; nothing written\n");
  return exit_interrupted;
}

tl::expected<Proof, int> command_proof(const Cell& cell, const Run& run) {
  auto proof = prove(cell, run);
  end_progress();
  if (!proof) return tl::unexpected(refuse(proof.error().text()));
  if (proof->cancelled || run.stop.stop_requested()) return tl::unexpected(tell_interrupted());
  return std::move(*proof);
}

}  // namespace cellproof
