// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/prover.hpp"

#include <exception>

#include "scene/cell/cell_file.hpp"

namespace cellproof {

namespace {

void prove_into(ProofAnswer& answer, const Cell& cell, const Run& run) {
  auto proof = prove(cell, run);
  if (proof)
    answer.proof = std::make_shared<const Proof>(std::move(*proof));
  else
    answer.error = proof.error().text();
}

}  // namespace

void Prover::begin(std::function<ProofAnswer(const Run&)> prove) {
  work_.cancel();
  work_.ask([prove = std::move(prove), results = results_, share = share_](const std::stop_token& stop) {
    share->store(0);
    Run run;
    run.stop = stop;
    run.curves = true;
    run.results = results;
    run.progress = [share](double done, const std::string&) { share->store(done); };
    try {
      return prove(run);
    } catch (const std::exception& bug) {  // the window stays, with what it last showed
      ProofAnswer answer;
      answer.error = std::string("internal error: ") + bug.what();
      return answer;
    }
  });
}

void Prover::prove_file(const std::filesystem::path& file) {
  begin([file](const Run& run) {
    ProofAnswer answer;
    answer.watch.emplace(std::vector{file});
    const auto cell = read_cell_file(file);
    if (!cell) {
      answer.error = cell.error().text();
      return answer;
    }
    answer.watch.emplace(files_of(*cell));
    prove_into(answer, *cell, run);
    return answer;
  });
}

void Prover::prove_moved(const Cell& cell, const std::string& mover, const Placement& placement) {
  begin([cell, mover, placement](const Run& run) {
    ProofAnswer answer;
    answer.watch.emplace(files_of(cell));
    answer.mover = mover;
    answer.placement = placement;
    prove_into(answer, moved(cell, mover, placement), run);
    return answer;
  });
}

}  // namespace cellproof
