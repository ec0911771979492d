// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/desk.hpp"

#include <algorithm>

#include "checks/instant.hpp"
#include "checks/pair_rules.hpp"
#include "viewer/desk/finding_cards.hpp"

namespace cellproof {

namespace {

constexpr double look_every_s = 0.1;
constexpr double inset_every_s = 0.3;  ///< its picture takes as long as several frames of the cell
constexpr int inset_width = 320;

/// The run of the same name in another proof, else the first.
std::size_t run_like(const Cycle& cycle, const std::string& name) {
  const auto found = std::ranges::find(cycle.runs, name, &CycleRun::name);
  return found == cycle.runs.end() ? 0 : static_cast<std::size_t>(found - cycle.runs.begin());
}

bool same(const Placement& a, const Placement& b) {
  return a.offset == b.offset && a.yaw == b.yaw;
}

}  // namespace

Desk::Desk(std::filesystem::path cell_file) : file_(std::move(cell_file)) {
  reload();
}

void Desk::reload() {
  prover_.prove_file(file_);
}

void Desk::tick(double seconds) {
  clock_s_ += seconds;
  if (auto answer = prover_.take()) take_in(std::move(*answer));
  if (watch_ && clock_s_ - looked_s_ >= look_every_s) {
    looked_s_ = clock_s_;
    if (watch_->anything_new(clock_s_)) reload();
  }
  if (!proof_) return;
  if (playhead_.playing) {
    playhead_ = advanced(playhead_, timeline_, seconds);
    show_moment();
  }
  take_beside();
  ask_beside();
}

void Desk::take_in(ProofAnswer answer) {
  watch_ = std::move(answer.watch);
  trouble_ = answer.error;
  ++look_number_;
  if (!answer.proof || answer.proof->cancelled) return;
  const std::string run = proof_ ? timeline_.run : "";
  gap_work_.cancel();
  inset_work_.cancel();
  proof_ = std::move(answer.proof);
  proved_ = answer.proved;
  if (answer.mover.empty()) stated_ = build_frames(proof_->scene->cell);
  proved_mover_ = mover_ = answer.mover;
  proved_placement_ = placement_ = answer.placement;
  groups_ = gather(proof_->report.findings);
  chosen_.reset();
  chosen_finding_.reset();
  marked_.reset();
  troubled_.clear();
  ruler_ = {};
  if (camera_ && camera_.index() >= proof_->scene->cell.cameras.size()) camera_ = {};
  playhead_.run = run_like(*proof_->cycle, run);
  ++cell_number_;
  if (proved_) ++proof_number_;
  show_run();
}

void Desk::show_run(const std::string& step) {
  timeline_ = timeline_of(*proof_, playhead_.run);
  plot_ = gap_plot(*proof_, timeline_);
  playhead_.time_s = std::min(playhead_.time_s, timeline_.duration_s);
  show_moment(step);
}

void Desk::show_moment(const std::string& step) {
  marked_.reset();
  moment_ = moment_of(*proof_, playhead_.run, playhead_.time_s, step);
  if (!placement_proved()) show_placement();
  ++moment_number_;
}

/// What was proved elsewhere goes back to where the file has it, and what is placed now goes to its place.
void Desk::show_placement() {
  const auto put = [&](const std::string& mover, const Placement& placement) {
    if (mover.empty()) return;
    const FrameId frame = frame_of_mover(*stated_, mover);
    moment_.arrangement.in_parent[frame] = placed_by(stated_->frames[frame].in_parent, placement);
  };
  put(proved_mover_, Placement{});
  put(mover_, placement_);
  moment_.at = instant(*proof_->scene, moment_.arrangement, moment_.joints);
}

bool Desk::placement_proved() const {
  return !stated_ || (mover_ == proved_mover_ && same(placement_, proved_placement_));
}

void Desk::ask_beside() {
  if (gap_asked_ != moment_number_ && !gap_work_.busy()) {
    gap_asked_ = moment_number_;
    gap_work_.ask([proof = proof_, number = cell_number_, run = playhead_.run,
                   moment = moment_](const std::stop_token&) -> GapAnswer {
      GapAnswer answer{number, {moment.time_s, run, std::nullopt}};
      if (moment.stretch) answer.gap.gap = instant_clearance(*proof->scene, *moment.stretch, moment.time_s);
      return answer;
    });
  }
  if (camera_ && inset_asked_ != moment_number_ && !inset_work_.busy() && clock_s_ - inset_asked_s_ >= inset_every_s) {
    inset_asked_ = moment_number_;
    inset_asked_s_ = clock_s_;
    inset_work_.ask([proof = proof_, number = cell_number_, moment = moment_,
                     camera = camera_](const std::stop_token&) -> InsetAnswer {
      return {number, camera_inset(*proof->scene, moment, camera, inset_width)};
    });
  }
}

void Desk::take_beside() {
  if (auto answer = gap_work_.take(); answer && answer->cell_number == cell_number_) {
    gap_ = answer->gap;
    ++gap_number_;
  }
  if (auto answer = inset_work_.take(); answer && answer->cell_number == cell_number_) {
    inset_ = std::move(answer->inset);
    ++inset_number_;
  }
}

bool Desk::beside_done() const {
  const bool gap_done = gap_asked_ == moment_number_ && !gap_work_.busy();
  const bool inset_done = !camera_ || (inset_asked_ == moment_number_ && !inset_work_.busy());
  return gap_done && inset_done;
}

std::optional<std::size_t> Desk::chosen_finding() const {
  return chosen_finding_;
}

double Desk::gap_rule_mm() const {
  if (!proof_ || !gap_ || !gap_->gap) return std::numeric_limits<double>::quiet_NaN();
  const Scene& scene = *proof_->scene;
  const auto& [one, other] = gap_->gap->between;
  const BodyId a = id_named(scene.bodies, one), b = id_named(scene.bodies, other);
  if (!a || !b) return scene.cell.rules.clearance;
  return rule_of_pair(scene, a, b).least_mm.value_or(0);
}

bool Desk::shown(BodyId body) const {
  return moment_.at.present[body] != 0 && !hidden_.contains(proof_->scene->bodies[body].name);
}

bool Desk::in_trouble(BodyId body) const {
  return std::ranges::find(troubled_, body) != troubled_.end();
}

void Desk::toggle_play() {
  if (!proof_) return;
  playhead_ = toggled(playhead_, timeline_);
  show_moment();
}

void Desk::scrub(double share) {
  if (!proof_) return;
  playhead_ = scrubbed(playhead_, timeline_, share);
  show_moment();
}

void Desk::go_to(std::size_t run, double time_s, const std::string& step) {
  if (!proof_ || run >= proof_->cycle->runs.size()) return;
  playhead_.playing = false;
  playhead_.run = run;
  playhead_.time_s = time_s;
  show_run(step);
}

void Desk::choose_finding(std::size_t finding) {
  if (!proof_ || finding >= proof_->report.findings.size()) return;
  chosen_finding_ = finding;
  for (std::size_t i = 0; i < groups_.size(); ++i)
    if (std::ranges::count(groups_[i].all, finding) > 0) chosen_ = i;
  marked_.reset();
  troubled_ = bodies_of_finding(*proof_, finding);
  ++look_number_;
  const auto place = place_of_finding(*proof_, finding);
  if (!place) return;
  const Finding& found = proof_->report.findings[finding];
  go_to(place->run, place->time_s, found.step);
  if (found.check != Check::clearance || !moment_.stretch) return;
  auto gap = instant_clearance(*proof_->scene, *moment_.stretch, moment_.time_s);
  if (gap && gap->points[0].allFinite()) marked_ = std::move(gap);
}

void Desk::choose_group(std::size_t group) {
  if (group < groups_.size()) choose_finding(groups_[group].worst);
}

void Desk::step_group(bool backwards) {
  if (const auto group = next_group(groups_.size(), chosen_, backwards)) choose_group(*group);
}

void Desk::hide(const std::string& body, bool hidden) {
  if (hidden)
    hidden_.insert(body);
  else
    hidden_.erase(body);
  ++look_number_;
}

void Desk::choose_camera(CameraId camera) {
  camera_ = camera;
  inset_.reset();
  inset_asked_ = 0;
  ++inset_number_;
}

void Desk::set_unit(LengthUnit unit) {
  unit_ = unit;
  ++look_number_;
}

void Desk::set_ruler(const Ruler& ruler) {
  ruler_ = ruler;
  ++look_number_;
}

void Desk::place(const std::string& mover, const Placement& placement) {
  if (!proof_ || (!mover.empty() && !frame_of_mover(*proof_->scene, mover))) return;
  mover_ = mover;
  placement_ = mover.empty() ? Placement{} : placement;
  show_moment();
  ++look_number_;
}

std::string Desk::line_to_keep() const {
  return mover_.empty() || !stated_ ? "" : line_to_write(stated_->cell, mover_, placement_);
}

void Desk::prove_placement() {
  if (!proof_ || (placement_proved() && !proving())) return;
  if (mover_.empty())
    reload();
  else
    prover_.prove_moved(stated_->cell, mover_, placement_);
}

}  // namespace cellproof
