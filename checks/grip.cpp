// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/grip_mend.hpp"
#include "checks/pad_findings.hpp"
#include "checks/seal_findings.hpp"
#include "checks/told_apart.hpp"

namespace cellproof {

namespace {

const Tcp& tcp_of(const Scene& scene, const Stretch& stretch) {
  return scene.cell.tcps[stretch.holding_tcp];
}

const std::string& part_of(const Scene& scene, const Stretch& stretch) {
  return scene.cell.parts[stretch.held_part].name;
}

std::string demand_text(const GripInstant& instant, GripLimit limit) {
  const Vector3d& force = instant.load.force;
  if (limit == GripLimit::peel)
    return fmt::format("a lip begins to lift under {:.2f} N that act {:.1f} mm from the tcp", force.norm(),
                       instant.load.at.norm());
  return fmt::format("the part pulls with {:.2f} N, {:.2f} N of it along the tool", force.norm(), std::abs(force.z()));
}

std::string mend_text(const Evidence& evidence, const Stretch& stretch, const GripMeasure& measure, double asked) {
  const Scene& scene = evidence.scene;
  const Tcp& tcp = tcp_of(scene, stretch);
  const GripMend mend = mend_grip(scene, evidence.measures.masses, stretch, asked);
  std::string text;
  if (mend.slowness && *mend.slowness < 1) text = "slower: " + slower_step(scene, stretch, *mend.slowness) + "; or ";
  if (measure.least.stop_is_least() && mend.stop && *mend.stop < *scene.cell.rules.stop)
    text += fmt::format("a softer stop: {:g} m/s^2; or ", rounded_down(*mend.stop / 1000));
  if (!(measure.force > 0)) return text + "give the grip a force";
  if (!std::isfinite(mend.force_times))
    return text + (tcp.suction.empty() ? "grip nearer to the centre of mass, or with larger pads"
                                       : "the vacuum alone lifts a lip: make the zones' vacuums more alike");
  text += tcp.suction.empty() ? stronger_jaw(scene.cell.jaws[id_named(scene.cell.jaws, tcp.jaw)], mend.force_times)
                              : stronger_suction(scene.cell, tcp.suction, mend.area_times, mend.force_times);
  if (!mend.slowness) text += "; slower alone can't do it";
  return text;
}

std::string stop_text(const Scene& scene, const GripLeast& least) {
  if (!least.stop_is_least()) return "";
  if (least.stop_by_joints) return ", in an emergency stop by the joints, as the tcp only turns";
  return fmt::format(", in an emergency stop at {:g} m/s^2", *scene.cell.rules.stop / 1000);
}

Finding weak_grip(const Evidence& evidence, const CycleRun& run, const Stretch& stretch, const GripMeasure& measure) {
  const Scene& scene = evidence.scene;
  const GripInstant& worst = measure.least.least();
  const GripLimit limit = worst.factors.limited_by();
  Finding finding = finding_at(Check::grip, Severity::fail, run, stretch, stretch.start_s + worst.time);
  finding.between = {tcp_of(scene, stretch).name, part_of(scene, stretch)};
  finding.judged = {worst.factors.least(), scene.cell.rules.grip_factor, "times"};
  finding.message =
      fmt::format("'{}' holds '{}' {} times, {:g} asked, limited by {}{}: {}", finding.between[0], finding.between[1],
                  told_from(worst.factors.least(), scene.cell.rules.grip_factor, 2), scene.cell.rules.grip_factor,
                  limit_name(limit), stop_text(scene, measure.least), demand_text(worst, limit));
  finding.mend = mend_text(evidence, stretch, measure, scene.cell.rules.grip_factor);
  return finding;
}

/// A zone that carries more than it pulls lets go first, whatever all together hold.
std::optional<Finding> overloaded_zone(const Scene& scene, const CycleRun& run, const Stretch& stretch,
                                       const GripMeasure& measure) {
  const auto holder = holder_of(scene, *stretch.arrangement, stretch.holding_tcp, stretch.held_part);
  for (std::size_t i = 0; i < measure.zone_loads.size(); ++i) {
    const double held = holder->suction()->pads[i].force;
    if (!(measure.zone_loads[i] > held)) continue;
    const GripInstant& worst = measure.least.least();
    Finding finding = finding_at(Check::grip, Severity::caution, run, stretch, stretch.start_s + worst.time);
    finding.between = {tcp_of(scene, stretch).suction[i], part_of(scene, stretch)};
    finding.judged = {held / measure.zone_loads[i], 1, "times"};
    finding.message =
        fmt::format("'{}' carries {} N of the load but pulls with {} N: it lets go first", finding.between[0],
                    told_from(measure.zone_loads[i], held, 1), told_from(held, measure.zone_loads[i], 1));
    finding.mend = "grip nearer to the centre of mass, or give this zone more area";
    return finding;
  }
  return std::nullopt;
}

/// The file's zones are to ride with the tcp and to lie in one plane.
void look_at_zones(const Scene& scene, const CycleRun& run, const Stretch& grip, std::vector<Finding>& findings) {
  const Tcp& tcp = scene.cell.tcps[grip.contact->tcp];
  const auto add = [&](Severity severity, std::string message, std::string mend) {
    Finding finding = finding_at(Check::grip, severity, run, grip, grip.start_s);
    finding.between = {tcp.name, scene.cell.parts[grip.contact->part].name};
    finding.message = std::move(message);
    finding.mend = std::move(mend);
    findings.push_back(std::move(finding));
  };
  std::vector<std::string> holders = tcp.suction;
  if (!tcp.jaw.empty()) holders.push_back(tcp.jaw);
  for (const auto& name : holders)
    if (!rides_on(*grip.arrangement, scene.frame_named(name), scene.link_frame[6]))
      add(Severity::fail, fmt::format("'{}' is to hold for '{}' but does not ride on the arm", name, tcp.name),
          "put it on the flange");
  const auto holder = holder_of(scene, *grip.arrangement, grip.contact->tcp, grip.contact->part);
  if (!holder || !holder->suction()) return;
  const SuctionGrip& zones = *holder->suction();
  constexpr double one_degree = pi / 180;
  if (zones.greatest_tilt > one_degree || zones.greatest_step_mm > seal_tolerance_mm(scene.cell.rules))
    add(Severity::caution,
        fmt::format("the suction zones of '{}' do not lie in one plane: tilted by up to {:.1f} deg, {:.2f} mm apart; "
                    "figures are for their projection onto the first",
                    tcp.name, degrees(zones.greatest_tilt), zones.greatest_step_mm),
        "enter them in one plane, or judge this grip by hand");
}

}  // namespace

std::vector<Finding> check_grip(const Evidence& evidence) {
  std::vector<Finding> findings;
  const Scene& scene = evidence.scene;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (stretch.kind == StretchKind::grip && stretch.contact) {
      look_at_zones(scene, run, stretch, findings);
      add_seal_findings(scene, Check::grip, finding_at(Check::grip, Severity::fail, run, stretch, stretch.start_s),
                        stretch.contact->part, measures.covers, findings);
      if (measures.pads)
        add_pad_findings(scene, Check::grip, finding_at(Check::grip, Severity::fail, run, stretch, stretch.end_s),
                         *measures.pads, findings);
    }
    if (!measures.grip) return;
    if (!(measures.grip->least.least().factors.least() >= scene.cell.rules.grip_factor))
      findings.push_back(weak_grip(evidence, run, stretch, *measures.grip));
    if (auto overloaded = overloaded_zone(scene, run, stretch, *measures.grip)) findings.push_back(*overloaded);
  });
  return findings;
}

}  // namespace cellproof
