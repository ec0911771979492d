// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/supply_measure.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "checks/carries.hpp"
#include "checks/hold_spans.hpp"
#include "scene/basics/atmosphere.hpp"
#include "scene/cell/supply.hpp"

namespace cellproof {

namespace {

/// From the stretch in which a holder's vacuum comes on to the one at whose end it goes off.
struct VacuumSpan {
  std::string holder;
  std::size_t on = 0, off = 0;
};

class SupplyLook {
 public:
  SupplyLook(const Scene& scene, const BodyMasses& masses, const Cycle& cycle, const GripsOfRuns& grips, SupplyId id)
      : scene_(scene), cell_(scene.cell), masses_(masses), cycle_(cycle), grips_(grips), supply_(cell_.supplies[id]) {
    const double ambient = ambient_pressure(cell_.rules.altitude);
    line_ = line_of(supply_, ambient);
    measure_.supply = id;
    measure_.reached = vacuum_reached(line_);
    measure_.counted = counted_vacuum(supply_, ambient);
    measure_.evacuation = evacuation_time(cell_, supply_);
  }

  SupplyMeasure take() {
    if (!measure_.evacuation) lack("how long its vacuum takes, and how much air", volume_lacks());
    if (holders() > 1)
      lack("what those that hold nothing let in", "each is taken to be shut by a valve of its own meanwhile");
    look_at_carries();
    for (std::size_t r = 0; r < cycle_.runs.size(); ++r) look_at_spans(r);
    return std::move(measure_);
  }

 private:
  void lack(const std::string& what, const std::string& why) {
    const std::string line = fmt::format("'{}': {}: {}", supply_.name, what, why);
    if (std::ranges::count(measure_.open, line) == 0) measure_.open.push_back(line);
  }

  std::string volume_lacks() const { return "it states no `volume`, and not all zones that name it do"; }

  bool rides(const std::vector<std::string>& zones) const {
    return std::ranges::any_of(zones, [&](const std::string& name) { return is_mine(name); });
  }
  bool is_mine(const std::string& zone) const {
    return cell_.suctions[id_named(cell_.suctions, zone)].supply == supply_.name;
  }

  /// Tcps and holds that hang on it.
  long holders() const {
    const auto hangs = [&](const auto& holder) { return rides(holder.suction); };
    return std::ranges::count_if(cell_.tcps, hangs) + std::ranges::count_if(cell_.holds, hangs);
  }

  void look_at_carries() {
    bool all_kept = true, all_laid = true;
    for (std::size_t r = 0; r < cycle_.runs.size(); ++r)
      for (const Carry& carry : carries(cycle_.runs[r])) {
        if (!rides(cell_.tcps[carry.tcp].suction)) continue;
        all_kept = look_at_loss(r, carry) && all_kept;
        all_laid = look_at_way(r, carry) && all_laid;
      }
    if (!all_kept) measure_.kept.reset();
    if (!all_laid) measure_.lay_down.reset();
  }

  /// The instant of a carry at which the grip holds least. Nothing where that is not known all along.
  std::optional<KeptMeasure> least_held(std::size_t r, const Carry& carry) const {
    KeptMeasure least;
    least.tcp = carry.tcp;
    least.factor = std::numeric_limits<double>::infinity();
    least.at = {r, carry.grip, cycle_.runs[r].stretches[carry.grip].end_s};
    for (std::size_t s = carry.grip + 1; s < carry.down; ++s) {
      const GripMeasure* grip = grips_[r][s];
      if (!grip) return std::nullopt;
      const GripInstant& worst = grip->least.least();
      if (worst.factors.least() >= least.factor) continue;
      least.factor = worst.factors.least();
      least.at = {r, s, cycle_.runs[r].stretches[s].start_s + worst.time};
    }
    return least;
  }

  /// What a grip holds with falls in proportion to its vacuum, and so do all its factors.
  bool look_at_loss(std::size_t r, const Carry& carry) {
    const Tcp& tcp = cell_.tcps[carry.tcp];
    const std::string what = "how long it keeps a part once it draws no more";
    auto kept = least_held(r, carry);
    if (!supply_.check_valve) {
      if (!kept) kept = KeptMeasure{0, 0, carry.tcp, {r, carry.grip, cycle_.runs[r].stretches[carry.grip].end_s}};
      take_kept(*kept);
      return true;
    }
    const auto volume = kept_volume(cell_, supply_, tcp.suction);
    if (!std::ranges::all_of(tcp.suction, [&](const std::string& zone) { return is_mine(zone); }))
      lack(what, fmt::format("'{}' holds with other vacuum beside it", tcp.name));
    else if (!kept)
      lack(what, fmt::format("how '{}' is held in '{}' is not known", cell_.parts[carry.part].name, tcp.name));
    else if (!volume)
      lack(what, volume_lacks());
    else {
      const double held_once = kept->factor > 1 ? measure_.counted / kept->factor : measure_.counted;
      kept->seconds = decay_time(line_, *volume, measure_.counted, held_once);
      take_kept(*kept);
      return true;
    }
    return false;
  }

  void take_kept(const KeptMeasure& kept) {
    const bool sooner = !measure_.kept || kept.seconds < measure_.kept->seconds ||
                        (kept.seconds == measure_.kept->seconds && kept.factor < measure_.kept->factor);
    if (sooner) measure_.kept = kept;
  }

  bool look_at_way(std::size_t r, const Carry& carry) {
    const CycleRun& run = cycle_.runs[r];
    const auto longest = longest_to_lay_down(carry_pieces(scene_, masses_, run, carry), carry.let_go);
    if (!longest) {
      lack("how long laying a part down takes",
           fmt::format("'{}' is never laid down, and the way back is not open", cell_.parts[carry.part].name));
      return false;
    }
    const std::size_t stretch = std::min(carry.grip + 1 + longest->piece, run.stretches.size() - 1);
    if (!measure_.lay_down || longest->seconds > measure_.lay_down->seconds)
      measure_.lay_down = {longest->seconds, {r, stretch, run.stretches[stretch].start_s + longest->into_piece}};
    return true;
  }

  std::vector<VacuumSpan> spans_of(const CycleRun& run) {
    std::vector<VacuumSpan> spans;
    for (const Carry& carry : carries(run)) {
      const Tcp& tcp = cell_.tcps[carry.tcp];
      std::size_t off = carry.down;
      while (off < run.stretches.size() && run.stretches[off].kind != StretchKind::release) ++off;
      if (rides(tcp.suction)) spans.push_back({tcp.name, carry.grip, off});
    }
    for (const HoldSpan& held : hold_spans(scene_, run)) {
      const Hold& hold = cell_.holds[held.hold];
      if (!rides(hold.suction)) continue;
      spans.push_back({hold.name, held.taken, held.let_go});
      lack(fmt::format("how long '{}' keeps its part once it draws no more", hold.name),
           "that is computed for what a tool carries only");
    }
    return spans;
  }

  void look_at_spans(std::size_t r) {
    const CycleRun& run = cycle_.runs[r];
    const auto spans = spans_of(run);
    const auto volume = drawn_volume(cell_, supply_);
    double air = 0;
    for (const VacuumSpan& span : spans) {
      const double end = span.off < run.stretches.size() ? run.stretches[span.off].end_s : run.duration_s;
      air +=
          volume.value_or(0) * measure_.reached / line_.ambient + supply_.leak * (end - run.stretches[span.on].start_s);
      for (const VacuumSpan& other : spans) look_at_pair(r, span, other);
    }
    if (volume || spans.empty()) measure_.air = std::max(measure_.air.value_or(0), air);
  }

  /// Open to ambient is a holder up to its coming on, and from its going off.
  void look_at_pair(std::size_t r, const VacuumSpan& opened, const VacuumSpan& holds) {
    const CycleRun& run = cycle_.runs[r];
    const auto add = [&](std::size_t stretch, double time_s) {
      const auto same = [&](const OpenedBeside& one) {
        return one.at.run == r && ((one.opened == opened.holder && one.holds == holds.holder) ||
                                   (one.opened == holds.holder && one.holds == opened.holder));
      };
      const OpenedBeside now{{r, stretch, time_s}, opened.holder, holds.holder};
      const auto known = std::ranges::find_if(measure_.opened, same);
      if (known == measure_.opened.end())
        measure_.opened.push_back(now);
      else if (time_s < known->at.time_s)
        *known = now;
    };
    if (holds.on < opened.on && opened.on <= holds.off) add(opened.on, run.stretches[opened.on].start_s);
    if (opened.off < run.stretches.size() && holds.on <= opened.off && opened.off < holds.off)
      add(opened.off, run.stretches[opened.off].end_s);
  }

  const Scene& scene_;
  const Cell& cell_;
  const BodyMasses& masses_;
  const Cycle& cycle_;
  const GripsOfRuns& grips_;
  const Supply& supply_;
  VacuumLine line_;
  SupplyMeasure measure_;
};

}  // namespace

std::vector<SupplyMeasure> measure_supplies(const Scene& scene, const BodyMasses& masses, const Cycle& cycle,
                                            const GripsOfRuns& grips) {
  std::vector<SupplyMeasure> all;
  for (const SupplyId id : ids_of(scene.cell.supplies))
    all.push_back(SupplyLook(scene, masses, cycle, grips, id).take());
  return all;
}

}  // namespace cellproof
