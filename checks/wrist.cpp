// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/told_apart.hpp"
#include "checks/wrist_limits.hpp"

namespace cellproof {

namespace {

std::string mend_of(const WristLimit& limit, const WristMeasure& wrist) {
  if (limit.allowed <= 0) return "bring the centre of mass nearer to the flange: `offsets` allows nothing out there";
  const double share = limit.allowed / limit.carried;
  if (limit.what == "mass" || limit.what.starts_with("mass with"))
    return fmt::format(
        "take off {:.3f} kg, or {}", wrist.mass_kg - limit.allowed,
        limit.what == "mass" ? "choose an arm that carries more" : "bring the centre of mass nearer to the flange");
  if (limit.what.starts_with("moment"))
    return fmt::format("take off {:.3f} kg where the centre of mass is, or bring it {:.0f} % nearer to the axis",
                       (1 - share) * wrist.mass_kg, std::ceil(100 * (1 - share)));
  return fmt::format("bring the masses {:.0f} % nearer to the axis, or take off {:.3f} kg in proportion",
                     std::ceil(100 * (1 - std::sqrt(share))), (1 - share) * wrist.mass_kg);
}

/// With four digits, or as many as tell it from what is allowed.
std::string carried_text(const WristLimit& limit) {
  const std::string short_text = fmt::format("{:.4g}", limit.carried);
  return short_text == fmt::format("{:.4g}", limit.allowed) ? told_from(limit.carried, limit.allowed, 3) : short_text;
}

Finding finding_of(const Scene& scene, const CycleRun& run, const Stretch& stretch, const WristLimit& limit,
                   const WristMeasure& wrist) {
  Finding finding = finding_at(Check::wrist, Severity::fail, run, stretch, stretch.start_s);
  finding.between = {"end effector"};
  if (stretch.held_part) finding.between.push_back(scene.cell.parts[stretch.held_part].name);
  finding.judged = {limit.carried, limit.allowed, limit.unit};
  finding.message = fmt::format("{}: {} {} carried, {:.4g} {} allowed by `payload`", limit.what, carried_text(limit),
                                limit.unit, limit.allowed, limit.unit);
  finding.mend = mend_of(limit, wrist);
  return finding;
}

}  // namespace

std::vector<Finding> check_wrist(const Evidence& evidence) {
  const Scene& scene = evidence.scene;
  std::vector<Finding> findings;
  if (!scene.cell.arm.payload) return findings;
  std::map<std::pair<const CycleRun*, std::string>, std::size_t> known;  // the worst of each limit in each run
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (!measures.wrist) return;
    for (const WristLimit& limit : wrist_limits(*scene.cell.arm.payload, *measures.wrist)) {
      if (limit.carried <= limit.allowed) continue;
      const auto [place, is_new] = known.try_emplace({&run, limit.what}, findings.size());
      if (is_new)
        findings.push_back(finding_of(scene, run, stretch, limit, *measures.wrist));
      else if (limit.carried > findings[place->second].judged->measured)
        findings[place->second] = finding_of(scene, run, stretch, limit, *measures.wrist);
    }
  });
  return findings;
}

}  // namespace cellproof
