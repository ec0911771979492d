// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/prover.hpp"

#include <exception>
#include <utility>

#include "scene/cell/cell_file.hpp"
#include "scene/cycle/plan.hpp"

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

std::optional<ProofAnswer> Prover::take() {
  {
    const std::lock_guard<std::mutex> lock(told_->mutex);
    if (told_->cell) return std::exchange(told_->cell, std::nullopt);
  }
  return work_.take();
}

ProofProgress Prover::progress() const {
  const std::lock_guard<std::mutex> lock(told_->mutex);
  return told_->progress;
}

/// The cell as it was read and planned. It opens the models once more than the proof does: what a proof begins with is
/// its own.
void Prover::show_cell(const Cell& cell, const ProofAnswer& answer, const Run& run, SharedNews& told) {
  if (!cell.cycle) return;
  auto scene = build_scene(cell, run.stop);
  if (!scene || run.stop.stop_requested()) return;
  Proof proof;
  proof.scene = std::make_shared<const Scene>(std::move(*scene));
  proof.cycle = std::make_shared<const Cycle>(plan_cycle(*proof.scene));
  proof.report.cell = cell.name;
  ProofAnswer shown = answer;
  shown.proved = false;
  shown.proof = std::make_shared<const Proof>(std::move(proof));
  const std::lock_guard<std::mutex> lock(told.mutex);
  if (!run.stop.stop_requested()) told.cell = std::move(shown);
}

void Prover::begin(std::function<ProofAnswer(const Run&)> prove) {
  work_.cancel();
  {
    const std::lock_guard<std::mutex> lock(told_->mutex);
    told_->cell.reset();  // of a request before: what ran has been told to stop, and tells nothing any more
    told_->progress = {0, "reading"};
  }
  work_.ask([prove = std::move(prove), results = results_, told = told_](const std::stop_token& stop) {
    Run run;
    run.stop = stop;
    run.curves = true;
    run.results = results;
    run.progress = [told, stop](double done, const std::string& what) {
      const std::lock_guard<std::mutex> lock(told->mutex);
      if (!stop.stop_requested()) told->progress = {done, what};
    };
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
  begin([file, told = told_](const Run& run) {
    ProofAnswer answer;
    answer.watch.emplace(std::vector{file});
    const auto cell = read_cell_file(file);
    if (!cell) {
      answer.error = cell.error().text();
      return answer;
    }
    answer.watch.emplace(files_of(*cell));
    show_cell(*cell, answer, run, *told);
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
