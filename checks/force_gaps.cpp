// SPDX-License-Identifier: GPL-3.0-or-later
// What is missing for the figures of grip, wrist and holds.
#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "checks/each_stretch.hpp"
#include "checks/force_figures.hpp"

namespace cellproof {

namespace {

/// Sentences in the order in which they are first said.
class Sentences {
 public:
  void add(const std::string& line) {
    if (said_.insert(line).second) lines_.push_back(line);
  }
  std::vector<std::string> take() { return std::move(lines_); }

 private:
  std::set<std::string> said_;
  std::vector<std::string> lines_;
};

/// "neither mass nor density: 'turret', 'forearm'; no body: 'link6'"
std::string gaps_text(const std::vector<MassGap>& gaps) {
  std::vector<std::pair<std::string, std::string>> by_missing;
  for (const auto& gap : gaps) {
    auto known = std::find_if(by_missing.begin(), by_missing.end(),
                              [&](const auto& entry) { return entry.first == gap.missing; });
    if (known == by_missing.end()) known = by_missing.insert(by_missing.end(), {gap.missing, ""});
    const std::string name = fmt::format("'{}'", gap.name);
    if (known->second.find(name) == std::string::npos) known->second += (known->second.empty() ? "" : ", ") + name;
  }
  std::string text;
  for (const auto& [missing, names] : by_missing)
    text += fmt::format("{}{}: {}", text.empty() ? "" : "; ", missing, names);
  return text;
}

/// Parts in the order in which they are met, each once: "'bar 1', 'bar 2', 'bar 3' and 5 more".
class PartNames {
 public:
  void add(const std::string& name) {
    if (std::ranges::find(names_, name) == names_.end()) names_.push_back(name);
  }
  bool empty() const { return names_.empty(); }
  std::string text() const {
    constexpr std::size_t most_named = 3;
    std::string text;
    for (std::size_t i = 0; i < std::min(names_.size(), most_named); ++i)
      text += fmt::format("{}'{}'", i ? ", " : "", names_[i]);
    return names_.size() > most_named ? fmt::format("{} and {} more", text, names_.size() - most_named) : text;
  }

 private:
  std::vector<std::string> names_;
};

/// What is open about the grips of a tcp: once for all its parts.
struct GripGaps {
  PartNames turning, by_nothing, open, weightless;
  std::vector<MassGap> lacking;  ///< for the weightless
};

Table<TcpId, GripGaps> grip_gaps(const Evidence& evidence) {
  const Scene& scene = evidence.scene;
  Table<TcpId, GripGaps> of_tcps(scene.cell.tcps.size());
  each_stretch(evidence, [&](const CycleRun&, const Stretch& stretch, const StretchMeasures& measures) {
    if (!stretch.held_part) return;
    const std::string& part = scene.cell.parts[stretch.held_part].name;
    const Tcp& tcp = scene.cell.tcps[stretch.holding_tcp];
    GripGaps& mine = of_tcps[stretch.holding_tcp];
    if (!tcp.jaw.empty() && measures.grip && !scene.cell.jaws[id_named(scene.cell.jaws, tcp.jaw)].pad)
      mine.turning.add(part);
    if (measures.grip) return;
    if (tcp.suction.empty() && tcp.jaw.empty()) return mine.by_nothing.add(part);
    const MassSum mass = part_mass(scene, evidence.measures.masses, *stretch.arrangement, stretch.held_part);
    (mass.known() ? mine.open : mine.weightless).add(part);
    mine.lacking.insert(mine.lacking.end(), mass.lacking.begin(), mass.lacking.end());
  });
  return of_tcps;
}

void add_grip_gaps(const Evidence& evidence, Sentences& lines) {
  const auto& tcps = evidence.scene.cell.tcps;
  const Table<TcpId, GripGaps> of_tcps = grip_gaps(evidence);
  for (const TcpId i : ids_of(tcps)) {
    const GripGaps& gaps = of_tcps[i];
    if (!gaps.turning.empty())
      lines.add(fmt::format(
          "grip: whether {} turns in '{}' about the line through the pads: the file does not give their size",
          gaps.turning.text(), tcps[i].jaw));
    if (!gaps.by_nothing.empty())
      lines.add(fmt::format("grip: '{}' names neither suction nor jaw, so whether it holds {} is open", tcps[i].name,
                            gaps.by_nothing.text()));
    if (!gaps.weightless.empty())
      lines.add(fmt::format("grip: whether '{}' holds {}: {}", tcps[i].name, gaps.weightless.text(),
                            gaps_text(gaps.lacking)));
    if (!gaps.open.empty())
      lines.add(fmt::format("grip: whether '{}' holds {}: its mesh is open, so how it resists turning is not known",
                            tcps[i].name, gaps.open.text()));
  }
}

/// Where an emergency stop is asked of a path on which the tcp only turns, and no joint tells how it stops.
void add_stop_gaps(const Evidence& evidence, Sentences& lines) {
  each_stretch(evidence, [&](const CycleRun&, const Stretch& stretch, const StretchMeasures& measures) {
    if (measures.grip && measures.grip->least.stop_by_joints && !measures.grip->least.stopped)
      lines.add(
          fmt::format("grip: an emergency stop in \"{}\": the tcp only turns there, and not every joint that moves "
                      "has a `stop_time`",
                      stretch.step));
  });
}

void add_wrist_gaps(const Evidence& evidence, Sentences& lines) {
  const Scene& scene = evidence.scene;
  std::vector<MassGap> lacking;
  const auto lack = [&](const MassSum& sum) { lacking.insert(lacking.end(), sum.lacking.begin(), sum.lacking.end()); };
  bool without_inertia = false;
  each_stretch(evidence, [&](const CycleRun&, const Stretch& stretch, const StretchMeasures& measures) {
    lack(end_effector_mass(scene, evidence.measures.masses, *stretch.arrangement));
    if (stretch.held_part) lack(part_mass(scene, evidence.measures.masses, *stretch.arrangement, stretch.held_part));
    if (measures.wrist && std::isnan(measures.wrist->load[2].inertia_kgm2)) without_inertia = true;
  });
  if (!lacking.empty()) lines.add("wrist: mass, moment and inertia carried: " + gaps_text(lacking));
  if (without_inertia)
    lines.add("wrist: inertia carried: a body has an open mesh, so how it resists turning is not known");
  if (lacking.empty() && !scene.cell.arm.payload)
    lines.add("wrist: whether the arm carries it: the file gives no `payload`");
}

void add_torque_gap(const Evidence& evidence, Sentences& lines) {
  if (evidence.cycle.runs.empty() || evidence.cycle.runs.front().stretches.empty()) return;
  const Stretch& first = evidence.cycle.runs.front().stretches.front();
  const auto links = link_masses(evidence.scene, evidence.measures.masses, *first.arrangement);
  std::vector<MassGap> lacking;
  for (const auto& link : links) lacking.insert(lacking.end(), link.lacking.begin(), link.lacking.end());
  if (!lacking.empty()) lines.add("joint torques: " + gaps_text(lacking));
  std::string open;
  for (const auto& body : evidence.scene.bodies)
    if (body.kind == BodyKind::arm && body.link > 0 && !body.solid->closed().closed)
      open += fmt::format("{}'{}'", open.empty() ? "" : ", ", body.name);
  if (lacking.empty() && !open.empty())
    lines.add("joint torques: an open mesh does not tell how it resists turning: " + open);
}

bool named_by_a_place(const Cell& cell, const std::string& hold) {
  return std::any_of(cell.cycle->steps.begin(), cell.cycle->steps.end(), [&](const auto& step) {
    const auto* place = std::get_if<PlaceStep>(&step.action);
    return place && place->hold == hold;
  });
}

void add_hold_gaps(const Evidence& evidence, Sentences& lines) {
  const Scene& scene = evidence.scene;
  for (const HoldId h : ids_of(scene.cell.holds)) {
    const Hold& hold = scene.cell.holds[h];
    bool taken = false, measured = false, rests_known = false;
    for (const auto& run : evidence.measures.holds)
      for (const auto& held : run)
        if (held.span.hold == h) {
          taken = true;
          measured = measured || held.measure;
          rests_known = rests_known || (held.measure && held.measure->rests_known);
        }
    if (!named_by_a_place(scene.cell, hold.name)) {
      lines.add(fmt::format("hold: '{}' is never taken: no place of the cycle names it", hold.name));
      continue;
    }
    if (!taken) continue;  // the cycle does not come to its place, and says so
    if (!measured) {
      const PartId part = id_named(scene.cell.parts, hold.part);
      lines.add(
          fmt::format("hold: whether '{}' holds: {}", hold.name,
                      gaps_text(part_mass(scene, evidence.measures.masses, stated_arrangement(scene), part).lacking)));
      continue;
    }
    if (!hold.jaw.empty()) {
      if (hold.rests.empty())
        lines.add(fmt::format("hold: whether '{}' tips: '{}' gives no rests", hold.part, hold.name));
      lines.add(fmt::format("hold: whether '{}' turns between the jaws of '{}': pads are judged by force alone",
                            hold.part, hold.name));
    } else if (!rests_known) {
      lines.add(
          fmt::format("hold: whether '{}' turns or tips: '{}' gives no rests, and the meshes show nothing that it "
                      "lies on",
                      hold.part, hold.name));
    }
    if (!hold.cut) lines.add(fmt::format("hold: whether '{}' holds against the cut: it gives no `cut`", hold.name));
  }
}

void add_release_gaps(const Evidence& evidence, Sentences& lines) {
  for (const auto& run : evidence.measures.releases)
    for (const ReleaseMeasure& measure : run)
      if (!measure.rests_on.empty() && !measure.support && !measure.drop_mm)
        lines.add(
            fmt::format("release: whether '{}' stays where it lies: its mesh is open, and not both mass and com are "
                        "given, so where its centre of mass is is not known",
                        evidence.scene.cell.parts[measure.part].name));
}

}  // namespace

std::vector<std::string> forces_not_computed(const Evidence& evidence) {
  Sentences lines;
  add_grip_gaps(evidence, lines);
  add_stop_gaps(evidence, lines);
  add_wrist_gaps(evidence, lines);
  add_torque_gap(evidence, lines);
  add_hold_gaps(evidence, lines);
  add_release_gaps(evidence, lines);
  for (const SupplyMeasure& measure : evidence.measures.supplies)
    for (const std::string& line : measure.open) lines.add("supply: " + line);
  return lines.take();
}

}  // namespace cellproof
