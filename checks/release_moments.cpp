// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/release_moments.hpp"

#include "scene/basics/named_entry.hpp"

namespace cellproof {

namespace {

bool present(const Scene& scene, const Arrangement& arrangement, int part) {
  for (std::size_t b = 0; b < scene.bodies.size(); ++b)
    if (scene.bodies[b].owner_part == part && scene.bodies[b].copy_of_seat < 0) return arrangement.present[b] != 0;
  return false;
}

/// The hold that has the part's seat in its grip during a stretch; -1 if none.
int hold_during(const Scene& scene, const CycleRun& run, std::size_t stretch, const Arrangement& now, int part) {
  const int lies_on =
      now.parent[static_cast<std::size_t>(scene.frame_named(scene.cell.parts[static_cast<std::size_t>(part)].name))];
  for (const HoldSpan& span : hold_spans(scene, run)) {
    const Hold& hold = scene.cell.holds[static_cast<std::size_t>(span.hold)];
    if (span.taken <= stretch && stretch < span.let_go &&
        true_seat(scene, now, scene.frame_named(hold.seat)) == true_seat(scene, now, lies_on))
      return span.hold;
  }
  return -1;
}

/// The part that begins to lie by itself at the end of a stretch; -1 if none does.
int part_let_go(const Scene& scene, const Stretch& stretch) {
  if (stretch.kind == StretchKind::release) return stretch.contact->part;
  if (stretch.kind == StretchKind::bring)
    return index_named(scene.cell.parts, action_of<BringStep>(scene, stretch)->part);
  if (stretch.kind == StretchKind::machine)
    return index_named(scene.cell.parts, action_of<MachineStep>(scene, stretch)->into);
  return -1;
}

}  // namespace

std::vector<ReleaseMoment> release_moments(const Scene& scene, const CycleRun& run) {
  std::vector<ReleaseMoment> moments;
  if (run.stretches.empty()) return moments;
  const Stretch& first = run.stretches.front();
  for (std::size_t part = 0; part < scene.cell.parts.size(); ++part)
    if (present(scene, *first.arrangement, static_cast<int>(part)))
      moments.push_back(
          {"", 0, static_cast<int>(part), -1, {}, nullptr, *first.arrangement, first.motion.path.start()});
  for (std::size_t s = 0; s < run.stretches.size(); ++s) {
    const Stretch& stretch = run.stretches[s];
    ReleaseMoment moment;
    moment.part = part_let_go(scene, stretch);
    if (moment.part < 0) continue;
    moment.step = stretch.step;
    moment.time_s = stretch.end_s;
    moment.arrangement = s + 1 < run.stretches.size() ? *run.stretches[s + 1].arrangement : run.at_end;
    moment.joints = stretch.motion.path.end();
    moment.hold = hold_during(scene, run, s, moment.arrangement, moment.part);
    moment.place = action_of<PlaceStep>(scene, stretch);
    if (moment.place) moment.drop_mm = moment.place->drop;
    moments.push_back(std::move(moment));
  }
  return moments;
}

}  // namespace cellproof
