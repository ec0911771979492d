// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/hold_spans.hpp"

namespace cellproof {

namespace {

bool lies_in_seat(const Scene& scene, const Stretch& stretch, const std::string& part, const std::string& seat) {
  const Arrangement& now = *stretch.arrangement;
  const FrameId lies_on = now.parent[scene.frame_named(part)];
  return true_seat(scene, now, lies_on) == true_seat(scene, now, scene.frame_named(seat));
}

}  // namespace

FrameId true_seat(const Scene& scene, const Arrangement& arrangement, FrameId seat) {
  return scene.frames[seat].name.starts_with("@") ? arrangement.parent[seat] : seat;
}

std::vector<HoldSpan> hold_spans(const Scene& scene, const CycleRun& run) {
  std::vector<HoldSpan> spans;
  const auto open_span = [&](HoldId hold) -> HoldSpan* {
    for (auto& span : spans)
      if (span.hold == hold && span.let_go == run.stretches.size()) return &span;
    return nullptr;
  };
  for (std::size_t s = 0; s < run.stretches.size(); ++s) {
    const Stretch& stretch = run.stretches[s];
    if (stretch.kind == StretchKind::release) {
      const HoldId hold = id_named(scene.cell.holds, action_of<PlaceStep>(scene, stretch)->hold);
      if (hold && !open_span(hold)) spans.push_back({hold, s, run.stretches.size(), {}});
    } else if (stretch.kind == StretchKind::grip) {
      const HoldId hold = id_named(scene.cell.holds, action_of<PickStep>(scene, stretch)->unhold);
      if (HoldSpan* span = hold ? open_span(hold) : nullptr) span->let_go = s;
    } else if (stretch.kind == StretchKind::machine) {
      for (auto& span : spans)
        if (span.let_go == run.stretches.size() &&
            lies_in_seat(scene, stretch, action_of<MachineStep>(scene, stretch)->part,
                         scene.cell.holds[span.hold].seat))
          span.work.push_back(s);
    }
  }
  return spans;
}

}  // namespace cellproof
