// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"

namespace cellproof {

namespace {

std::string mend_of(const ZoneIntrusion& found) {
  if (!(found.out_mm > 0)) return "draw the arm back before this step";
  return fmt::format("draw the arm back before this step: {:.2f} mm along ({:.2f}, {:.2f}, {:.2f}) clears it",
                     found.out_mm, found.way.x() + 0.0, found.way.y() + 0.0, found.way.z() + 0.0);
}

}  // namespace

std::vector<Finding> check_zones(const Evidence& evidence) {
  std::vector<Finding> findings;
  const Scene& scene = evidence.scene;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    for (const auto& found : measures.in_zone) {
      const std::string& zone = scene.cell.zones[found.zone].name;
      const std::string& body = scene.bodies[found.body].name;
      Finding finding = finding_at(Check::sequence, Severity::fail, run, stretch, time_at(stretch, found.share));
      finding.between = {body, zone};
      finding.judged = {-std::max(found.out_mm, 0.0), 0, "mm"};
      finding.message = fmt::format("'{}' stands in zone '{}', which has to be clear for this step; {:.2f} mm lead out",
                                    body, zone, std::max(found.out_mm, 0.0));
      finding.mend = mend_of(found);
      findings.push_back(std::move(finding));
    }
  });
  return findings;
}

}  // namespace cellproof
