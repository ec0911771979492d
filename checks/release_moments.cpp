// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/release_moments.hpp"

namespace cellproof {

namespace {

bool present(const Scene& scene, const Arrangement& arrangement, PartId part) {
  for (const BodyId b : ids_of(scene.bodies))
    if (scene.bodies[b].owner_part == part && !scene.bodies[b].copy_of_seat) return arrangement.present[b] != 0;
  return false;
}

/// The hold that has the part's seat in its grip during a stretch, if any.
HoldId hold_during(const Scene& scene, const CycleRun& run, std::size_t stretch, const Arrangement& now, PartId part) {
  const FrameId lies_on = now.parent[scene.frame_of(part)];
  for (const HoldSpan& span : hold_spans(scene, run)) {
    const Hold& hold = scene.cell.holds[span.hold];
    if (span.taken <= stretch && stretch < span.let_go &&
        true_seat(scene, now, scene.frame_named(hold.seat)) == true_seat(scene, now, lies_on))
      return span.hold;
  }
  return {};
}

/// The part that begins to lie by itself at the end of a stretch, if any does.
PartId part_let_go(const Scene& scene, const Stretch& stretch) {
  if (stretch.kind == StretchKind::release) return stretch.contact->part;
  if (stretch.kind == StretchKind::bring) return id_named(scene.cell.parts, action_of<BringStep>(scene, stretch)->part);
  if (stretch.kind == StretchKind::machine)
    return id_named(scene.cell.parts, action_of<MachineStep>(scene, stretch)->into);
  return {};
}

}  // namespace

std::vector<ReleaseMoment> release_moments(const Scene& scene, const CycleRun& run) {
  std::vector<ReleaseMoment> moments;
  if (run.stretches.empty()) return moments;
  const Stretch& first = run.stretches.front();
  for (const PartId part : ids_of(scene.cell.parts))
    if (present(scene, *first.arrangement, part))
      moments.push_back({"", 0, part, {}, {}, nullptr, *first.arrangement, first.motion.path.start()});
  for (std::size_t s = 0; s < run.stretches.size(); ++s) {
    const Stretch& stretch = run.stretches[s];
    ReleaseMoment moment;
    moment.part = part_let_go(scene, stretch);
    if (!moment.part) continue;
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
