// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/fillings.hpp"
#include "checks/handover.hpp"

namespace cellproof {

namespace {

/// True for a seat that a slot stands for in this run.
bool is_seat_of_run(const Scene& scene, const Arrangement& arrangement, FrameId seat) {
  const auto& each = scene.cell.cycle->each;
  return std::any_of(each.begin(), each.end(),
                     [&](const Each& slot) { return arrangement.parent[scene.frame_named(slot.slot)] == seat; });
}

/// Seats with a part in them, the run's own excepted.
std::set<std::string> taken_seats(const Scene& scene, const Arrangement& arrangement, PartId held_part) {
  std::set<std::string> taken;
  for (const BodyId b : ids_of(scene.bodies)) {
    const SceneBody& body = scene.bodies[b];
    if (!body.owner_part || body.copy_of_seat || !arrangement.present[b]) continue;
    if (body.owner_part == held_part) continue;
    if (body.name != scene.cell.parts[body.owner_part].name) continue;
    FrameId seat = arrangement.parent[body.frame];
    if (scene.frames[seat].name.starts_with("@")) seat = arrangement.parent[seat];
    if (!is_seat_of_run(scene, arrangement, seat)) taken.insert(scene.frames[seat].name);
  }
  return taken;
}

std::string joined(const std::set<std::string>& names) {
  std::string text;
  for (const auto& name : names) text += fmt::format("{}'{}'", text.empty() ? "" : ", ", name);
  return text;
}

/// What is not as it was at the start, or nothing.
std::string not_returned(const Scene& scene, const CycleRun& run) {
  const Stretch &first = run.stretches.front(), &last = run.stretches.back();
  std::string text;
  const double off = (last.motion.path.end() - scene.cell.cycle->start).cwiseAbs().maxCoeff();
  if (off > 1e-6) text += fmt::format("the arm stands up to {:.2f} deg of a joint away from its start", degrees(off));
  if (last.held_part)
    text += fmt::format("{}the tool still holds '{}'", text.empty() ? "" : ", ", scene.cell.parts[last.held_part].name);
  const Arrangement& end = run.at_end;
  for (const auto& step : scene.cell.cycle->steps)
    if (const auto* shift = std::get_if<ShiftStep>(&step.action))
      for (const auto& body : shift->bodies) {
        const FrameId f = scene.frame_named(body);
        if (end.in_parent[f].isApprox(first.arrangement->in_parent[f], 1e-9)) continue;
        const std::string note = fmt::format("'{}' is not back in its place", body);
        if (text.find(note) == std::string::npos) text += (text.empty() ? "" : ", ") + note;
      }
  const auto before = taken_seats(scene, *first.arrangement, {}), after = taken_seats(scene, end, last.held_part);
  if (before != after)
    text += fmt::format("{}other seats are taken (at the start {}; at the end {})", text.empty() ? "" : ", ",
                        before.empty() ? "none" : joined(before), after.empty() ? "none" : joined(after));
  return text;
}

Finding without_steps(const CycleRun& run) {
  Finding finding;
  finding.check = Check::sequence;
  finding.severity = Severity::caution;
  finding.run = run.name;
  finding.message = "the cycle has no steps: nothing moves, and nothing of the way is proved";
  finding.mend = "add [[step]] tables";
  return finding;
}

}  // namespace

std::vector<Finding> check_sequence(const Evidence& evidence) {
  std::vector<Finding> findings = filling_findings(evidence.cycle);
  for (const auto& run : evidence.cycle.runs) {
    add_handover_findings(evidence.scene, run, findings);
    if (run.stretches.empty() && !run.failure) {
      findings.push_back(without_steps(run));
      return findings;
    }
    if (run.failure || run.stretches.empty()) continue;
    const std::string what = not_returned(evidence.scene, run);
    if (what.empty()) continue;
    Finding finding;
    finding.check = Check::sequence;
    finding.severity = Severity::caution;
    finding.run = run.name;
    finding.others = run.others;
    finding.step = run.stretches.back().step;
    finding.time_s = run.duration_s;
    finding.message = "the cycle does not end where it starts: " + what;
    finding.mend = "add the steps that lead back, if the cycle is to repeat";
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace cellproof
