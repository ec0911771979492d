// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/other_looks.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/measured_cycle.hpp"
#include "checks/studies/looks.hpp"
#include "kinematics/inverse/inverse.hpp"
#include "scene/basics/parallel.hpp"
#include "scene/cell/frame_rides.hpp"
#include "scene/cell/pose_text.hpp"
#include "scene/clearance/pair_results.hpp"
#include "scene/sight/sight.hpp"

namespace cellproof {

namespace {

constexpr std::size_t wanted = 3, most_proved = 40, round_size = 64;

/// The whole cycle with its failing findings.
struct Outcome {
  MeasuredCycle measured;
  std::vector<Finding> failing;
};

Outcome outcome_of(const Scene& scene, const Run& run) {
  Outcome outcome{measured_cycle(scene, run), {}};
  measure_forces(scene, outcome.measured.cycle, run, outcome.measured.measures);
  measure_sightlines(scene, outcome.measured.cycle, run, outcome.measured.measures);
  const Evidence evidence{scene, outcome.measured.cycle, outcome.measured.measures};
  for (const std::span<const Question> group :
       {std::span<const Question>(questions_of_motion), std::span<const Question>(questions_of_forces),
        std::span<const Question>(questions_of_gaps), std::span<const Question>(questions_of_sight)})
    for (auto& finding : asked(group, evidence))
      if (finding.severity == Severity::fail) outcome.failing.push_back(std::move(finding));
  return outcome;
}

bool has(const std::vector<Finding>& findings, const Finding& wanted_one) {
  return std::ranges::any_of(findings, [&](const Finding& known) { return identity(known) == identity(wanted_one); });
}

/// A look of the cycle, with how well it sees.
struct MeasuredLook {
  const CycleRun* run;
  const Stretch* stretch;
  double visible;  ///< the least of its targets'
};

std::vector<MeasuredLook> looks_in(const MeasuredCycle& measured, StepId step_index) {
  std::vector<MeasuredLook> looks;
  for (std::size_t r = 0; r < measured.cycle.runs.size(); ++r)
    for (std::size_t s = 0; s < measured.cycle.runs[r].stretches.size(); ++s) {
      const Stretch& stretch = measured.cycle.runs[r].stretches[s];
      const auto& view = measured.measures.runs[r][s].view;
      if (stretch.step_index != step_index || !view) continue;
      double least = 1;
      for (const auto& target : view->targets) least = std::min(least, target.visible);
      looks.push_back({&measured.cycle.runs[r], &stretch, least});
    }
  return looks;
}

/// The stated look where it is worst, ready to be changed.
struct Stated {
  const Scene& scene;
  StepId step_index;
  ViewRequest view;  ///< there
  Pose camera_in_flange;
  Vector3d centre_in_camera;     ///< of all targets
  std::optional<PoseTarget> to;  ///< in what the new pose is to be said: nothing for joint values
  Pose camera_in_tcp;            ///< of `to`

  const LookStep& look() const { return std::get<LookStep>(scene.cell.cycle->steps[step_index].action); }
};

tl::unexpected<ModelError> refused(std::string what, std::string mend) {
  return tl::unexpected(ModelError{std::move(what), std::move(mend)});
}

/// Where the step, or the move before it that it stands at, says to go.
std::optional<MoveTarget> stated_target(const Scene& scene, StepId step_index) {
  const auto& steps = scene.cell.cycle->steps;
  if (const auto& to = std::get<LookStep>(steps[step_index].action).to) return to;
  for (std::size_t before = step_index.index(); before-- > 0;) {
    const Action& action = steps[StepId(before)].action;
    if (const auto* move = std::get_if<MoveStep>(&action)) return move->to;
    if (std::holds_alternative<PickStep>(action) || std::holds_alternative<PlaceStep>(action)) return std::nullopt;
    if (const auto* look = std::get_if<LookStep>(&action); look && look->to) return look->to;
  }
  return std::nullopt;
}

bool stand_alike(const std::vector<MeasuredLook>& looks) {
  return std::ranges::all_of(looks, [&](const MeasuredLook& look) {
    return (look.stretch->motion.path.start() - looks.front().stretch->motion.path.start()).cwiseAbs().maxCoeff() <
           1e-9;
  });
}

tl::expected<Stated, ModelError> stated_look(const Scene& scene, StepId step_index,
                                             const std::vector<MeasuredLook>& looks, const Run& run) {
  Stated stated{scene, step_index, {}, Pose::Identity(), Vector3d::Zero(), {}, Pose::Identity()};
  const LookStep& look = stated.look();
  const auto worst = std::ranges::min_element(looks, {}, &MeasuredLook::visible);
  stated.view.camera = id_named(scene.cell.cameras, look.camera);
  for (const auto& name : look.targets) stated.view.targets.push_back(id_named(scene.cell.targets, name));
  stated.view.arrangement = *worst->stretch->arrangement;
  stated.view.joints = worst->stretch->motion.path.start();
  stated.view.threads = 1;
  stated.view.stop = run.stop;

  const Instant at = instant(scene, stated.view.arrangement, stated.view.joints);
  const Pose camera_in_world = pose_in_world(scene, at, scene.cell.cameras[stated.view.camera].placed);
  const auto frame = [&](FrameId id) { return at.frame_in_world[id]; };
  stated.camera_in_flange = frame(scene.flange_frame).inverse() * camera_in_world;
  for (const TargetId target : stated.view.targets)
    stated.centre_in_camera += camera_in_world.inverse() *
                               pose_in_world(scene, at, scene.cell.targets[target].placed).translation() /
                               static_cast<double>(stated.view.targets.size());
  const auto to = stated_target(scene, step_index);
  if (const auto* pose = to ? std::get_if<PoseTarget>(&*to) : nullptr) {
    stated.to = *pose;
    stated.camera_in_tcp = frame(scene.frame_named(pose->tcp)).inverse() * camera_in_world;
  } else if (!stand_alike(looks)) {
    return refused(fmt::format("at \"{}\" the arm stands elsewhere in each run, and the step does not say where",
                               worst->stretch->step),
                   "give the look a `to` of its own");
  }
  return stated;
}

/// A changed look, whether it is in reach and what it sees, where the stated one is worst.
struct LookAttempt {
  LookChange change;
  MoveTarget to;
  bool in_reach = false, sees = false;
};

std::optional<Joints> nearest_solution(const Stated& stated, const Pose& camera_in_stated_camera) {
  const Scene& scene = stated.scene;
  const Instant at = instant(scene, stated.view.arrangement, stated.view.joints);
  const Pose flange_in_base = at.frame_in_world[scene.base_frame].inverse() * at.frame_in_world[scene.flange_frame] *
                              stated.camera_in_flange * camera_in_stated_camera * stated.camera_in_flange.inverse();
  const auto solutions = inverse(scene.cell.arm.arm, flange_in_base, stated.view.joints);
  std::optional<Joints> nearest;
  const auto away = [&](const Joints& joints) { return (joints - stated.view.joints).cwiseAbs().maxCoeff(); };
  if (solutions)
    for (const Solution& solution : solutions->all)
      for (const Joints& joints : whole_turns(scene.cell.arm.arm, solution.values))
        if (!nearest || away(joints) < away(*nearest)) nearest = joints;
  return nearest;
}

bool sees_all(const Stated& stated, const Joints& joints) {
  ViewRequest request = stated.view;
  request.joints = joints;
  return std::ranges::all_of(measure_targets(stated.scene, request), [&](const TargetView& view) {
    return sees_enough(view, stated.scene.cell.rules.visible) && view.in_range >= 1;
  });
}

LookAttempt attempt(const Stated& stated, const LookChange& change) {
  LookAttempt made{change, {}, false, false};
  Pose moved = moved_camera(change, stated.centre_in_camera);
  if (stated.to) {
    PoseTarget to = *stated.to;
    to.at = as_written(to.at * stated.camera_in_tcp * moved * stated.camera_in_tcp.inverse());
    moved = stated.camera_in_tcp.inverse() * stated.to->at.inverse() * to.at * stated.camera_in_tcp;
    made.to = to;
  }
  const auto joints = nearest_solution(stated, moved);
  if (!joints) return made;
  made.in_reach = true;
  if (!stated.to) made.to = JointTarget{as_written(*joints), ""};
  made.sees = sees_all(stated, *joints);
  return made;
}

Scene with_target(const Scene& stated, StepId step_index, const MoveTarget& to) {
  Scene scene = stated;
  std::get<LookStep>(scene.cell.cycle->steps[step_index].action).to = to;
  return scene;
}

/// What comes of a changed look in the whole cycle; nothing if something fails that did not before, or this look still.
std::optional<OtherLook> proved(const Stated& stated, const LookAttempt& made, const Outcome& before, const Run& run) {
  const Outcome after = outcome_of(with_target(stated.scene, stated.step_index, made.to), run);
  const std::string& step = looks_in(before.measured, stated.step_index).front().stretch->step;
  for (const Finding& finding : after.failing)
    if (!has(before.failing, finding) || (finding.check == Check::sightline && finding.step == step))
      return std::nullopt;
  OtherLook other{made.change, made.to, 1, cycle_time(after.measured.cycle), after.failing.size()};
  for (const MeasuredLook& look : looks_in(after.measured, stated.step_index))
    other.visible = std::min(other.visible, look.visible);
  return other;
}

/// Fills in what is found.
void search(const Stated& stated, const Outcome& before, const Run& run, OtherLooks& found) {
  const std::vector<LookChange> changes = look_changes(stated.centre_in_camera.norm());
  for (std::size_t begin = 0; begin < changes.size() && !run.stop.stop_requested(); begin += round_size) {
    std::vector<LookAttempt> attempts(std::min(round_size, changes.size() - begin));
    parallel_for(attempts.size(), run.threads, run.stop,
                 [&](std::size_t i) { attempts[i] = attempt(stated, changes[begin + i]); });
    found.tried += attempts.size();
    for (const LookAttempt& made : attempts) {
      found.in_reach += made.in_reach;
      found.seeing += made.sees;
      if (!made.sees || found.passing.size() == wanted || found.proved == most_proved) continue;
      if (run.progress)
        run.progress(static_cast<double>(found.passing.size()) / wanted,
                     fmt::format("{} poses tried, {} cycles proved", found.tried, found.proved));
      ++found.proved;
      if (const auto other = proved(stated, made, before, run)) found.passing.push_back(*other);
    }
    if (found.passing.size() == wanted || found.proved == most_proved) return;
  }
}

}  // namespace

LooksOfCycle looks_of_cycle(const Scene& scene, const Run& run) {
  const Outcome stated = outcome_of(scene, run);
  std::set<StepId> failing, reached;
  for (const auto& cycle_run : stated.measured.cycle.runs)
    for (const auto& stretch : cycle_run.stretches) {
      if (stretch.kind != StretchKind::look) continue;
      reached.insert(stretch.step_index);
      for (const Finding& finding : stated.failing)
        if (finding.check == Check::sightline && finding.step == stretch.step) failing.insert(stretch.step_index);
    }
  LooksOfCycle looks{{failing.begin(), failing.end()}, {}};
  const auto& steps = scene.cell.cycle->steps;
  for (const StepId step : ids_of(steps))
    if (std::holds_alternative<LookStep>(steps[step].action) && !reached.contains(step))
      looks.never_reached.push_back(step);
  return looks;
}

tl::expected<OtherLooks, ModelError> other_looks(const Scene& scene, StepId step_index, const Run& run) {
  const auto* look = std::get_if<LookStep>(&scene.cell.cycle->steps[step_index].action);
  if (!look) return refused("this step is no look", "name a step with `look`");
  const Camera& camera = scene.cell.cameras[id_named(scene.cell.cameras, look->camera)];
  if (!rides_on(frame_rides(scene.cell), camera.placed.on, "flange"))
    return refused(fmt::format("'{}' does not ride on the arm: the arm can't take it elsewhere", camera.name),
                   "move the camera in the file, or what stands before it");
  Run sharing = run;
  if (!sharing.results) sharing.results = std::make_shared<PairResults>();
  sharing.curves = false;
  const Outcome before = outcome_of(scene, sharing);
  const auto looks = looks_in(before.measured, step_index);
  if (looks.empty()) return refused("the cycle never comes to this look", "mend what `check` finds before it first");
  if (look->targets.empty()) return refused("this look has no targets", "name what it is to see in `targets`");
  const auto stated = stated_look(scene, step_index, looks, run);
  if (!stated) return tl::unexpected(stated.error());

  const auto worst = std::ranges::min_element(looks, {}, &MeasuredLook::visible);
  OtherLooks found{camera.name,
                   worst->stretch->step,
                   worst->run->name,
                   worst->run->others,
                   worst->visible,
                   cycle_time(before.measured.cycle),
                   0,
                   0,
                   0,
                   0,
                   {}};
  search(*stated, before, sharing, found);
  return found;
}

}  // namespace cellproof
