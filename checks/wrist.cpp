// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"

namespace cellproof {

namespace {

struct Limit {
  std::string what, unit;
  double carried, allowed;
};

/// What the stretch carries against each limit that `payload` gives.
std::vector<Limit> limits_of(const Payload& payload, const WristMeasure& wrist) {
  std::vector<Limit> limits;
  if (payload.mass) limits.push_back({"mass", "kg", wrist.mass_kg, *payload.mass});
  for (const auto& axis : payload.axes) {
    const AxisLoad& load = wrist.load[static_cast<std::size_t>(axis.axis - 4)];
    if (axis.moment)
      limits.push_back({fmt::format("moment about axis {}", axis.axis), "N m", load.moment_nm, *axis.moment});
    if (axis.inertia && !std::isnan(load.inertia_kgm2))
      limits.push_back({fmt::format("inertia about axis {}", axis.axis), "kg m^2", load.inertia_kgm2, *axis.inertia});
  }
  if (!payload.offsets.empty())
    limits.push_back({fmt::format("mass with its centre {:.1f} mm from the flange", wrist.offset_mm), "kg",
                      wrist.mass_kg, mass_allowed(payload.offsets, wrist.offset_mm)});
  return limits;
}

std::string mend_of(const Limit& limit, const WristMeasure& wrist) {
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

Finding finding_of(const Scene& scene, const CycleRun& run, const Stretch& stretch, const Limit& limit,
                   const WristMeasure& wrist) {
  Finding finding = finding_at("wrist", Severity::fail, run, stretch, stretch.start_s);
  finding.between = {"end effector"};
  if (stretch.held_part >= 0)
    finding.between.push_back(scene.cell.parts[static_cast<std::size_t>(stretch.held_part)].name);
  finding.measured = limit.carried;
  finding.required = limit.allowed;
  finding.message = fmt::format("{}: {:.4g} {} carried, {:.4g} {} allowed by `payload`", limit.what, limit.carried,
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
    for (const Limit& limit : limits_of(*scene.cell.arm.payload, *measures.wrist)) {
      if (limit.carried <= limit.allowed) continue;
      const auto [place, is_new] = known.try_emplace({&run, limit.what}, findings.size());
      if (is_new)
        findings.push_back(finding_of(scene, run, stretch, limit, *measures.wrist));
      else if (limit.carried > *findings[place->second].measured)
        findings[place->second] = finding_of(scene, run, stretch, limit, *measures.wrist);
    }
  });
  return findings;
}

}  // namespace cellproof
