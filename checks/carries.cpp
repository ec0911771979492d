// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/carries.hpp"

#include <algorithm>

#include "scene/forces/holder.hpp"

namespace cellproof {

namespace {

/// mm/s, of the faster of tcp and centre of mass, over a whole move; a hundredth on top for what lies between instants.
double greatest_speed(const Scene& scene, const Stretch& stretch, const HeldPart& part) {
  constexpr int pieces = 64;
  constexpr double between_instants = 1.01;
  std::vector<double> times = stretch.motion.law.switches();
  for (int i = 0; i <= pieces; ++i) times.push_back(stretch.motion.duration() * i / pieces);
  double greatest = 0;
  for (const double time : times)
    greatest =
        std::max(greatest, held_speed(scene.cell.arm.arm, part, motion_at(scene.cell.arm.arm, stretch.motion, time)));
  return between_instants * greatest;
}

bool has_even_law(const Stretch& stretch) {
  return stretch.kind == StretchKind::joint || (stretch.line && stretch.line->held_back.joint < 0);
}

std::optional<double> turning_time(const Scene& scene, const BodyMasses& masses, const Stretch& stretch) {
  if (!scene.cell.rules.stop || !has_even_law(stretch)) return std::nullopt;
  const MassSum mass = part_mass(scene, masses, *stretch.arrangement, stretch.held_part);
  if (!mass.known()) return std::nullopt;
  const auto switches = stretch.motion.law.switches();
  const double ramp = switches.size() > 1 ? switches[1] - switches[0] : 0;
  const double to_rest = greatest_speed(scene, stretch, held_part(scene, stretch, mass.mass)) / *scene.cell.rules.stop;
  return 2 * to_rest + ramp / 2;
}

bool changes_the_cell(StretchKind kind) {
  return kind == StretchKind::shift || kind == StretchKind::machine || kind == StretchKind::bring ||
         kind == StretchKind::remove;
}

}  // namespace

std::vector<Carry> carries(const CycleRun& run) {
  std::vector<Carry> all;
  for (std::size_t s = 0; s < run.stretches.size(); ++s) {
    const Stretch& stretch = run.stretches[s];
    if (stretch.kind == StretchKind::grip && stretch.contact)
      all.push_back({stretch.contact->tcp, stretch.contact->part, s, run.stretches.size()});
    const bool lies = stretch.kind == StretchKind::hold || stretch.kind == StretchKind::release;
    if (lies && !all.empty() && !all.back().let_go) {
      all.back().down = s;
      all.back().let_go = true;
    }
  }
  return all;
}

std::vector<CarryPiece> carry_pieces(const Scene& scene, const BodyMasses& masses, const CycleRun& run,
                                     const Carry& carry) {
  std::vector<CarryPiece> pieces;
  for (std::size_t s = carry.grip + 1; s < carry.down; ++s) {
    const Stretch& stretch = run.stretches[s];
    CarryPiece piece;
    piece.duration = stretch.end_s - stretch.start_s;
    piece.moves = stretch.kind == StretchKind::joint || stretch.kind == StretchKind::linear;
    piece.bars_way_back = changes_the_cell(stretch.kind);
    if (piece.moves) piece.turning = turning_time(scene, masses, stretch);
    pieces.push_back(piece);
  }
  return pieces;
}

}  // namespace cellproof
