// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/seal_findings.hpp"

#include <fmt/format.h>

namespace cellproof {

namespace {

std::string leak_text(const std::string& zone, const std::string& part, const SealCover& cover) {
  if (cover.bare_mm >= 0.999 * cover.seal_mm)
    return fmt::format("'{}' leaks: nothing of '{}' lies against its seal", zone, part);
  if (cover.bare_mm > 0)
    return fmt::format(
        "'{}' leaks: {:.2f} mm of its {:.1f} mm seal have no surface of '{}' against them, the most, {:.2f} mm, about "
        "({:.1f}, {:.1f}) in the zone's plane",
        zone, cover.bare_mm, cover.seal_mm, part, cover.widest_mm, cover.widest_at.x(), cover.widest_at.y());
  return fmt::format("'{}' leaks: '{}' is open through at ({:.1f}, {:.1f}) in the zone's plane", zone, part,
                     cover.open_at.x(), cover.open_at.y());
}

}  // namespace

void add_seal_findings(const Scene& scene, Check check, const Finding& place, PartId part,
                       const std::vector<ZoneCover>& covers, std::vector<Finding>& findings) {
  const std::string& part_name = scene.cell.parts[part].name;
  for (const auto& [zone, cover] : covers) {
    const std::string& zone_name = scene.cell.suctions[zone].name;
    Finding finding = place;
    finding.check = check;
    finding.between = {zone_name, part_name};
    if (cover.leaks()) {
      finding.severity = Severity::fail;
      if (cover.bare_mm > 0) {  // the covered share of the seal
        finding.judged = {1 - cover.bare_mm / cover.seal_mm, 1.0, "share"};
      }
      finding.message = leak_text(zone_name, part_name, cover);
      finding.mend = cover.bare_mm > 0
                         ? "move or shrink the zone until the part's flat face covers its whole border"
                         : "move the zone off the opening, or draw a hole with a seal of its own around it";
      findings.push_back(finding);
    }
    if (cover.recess_mm > 0) {
      finding.severity = Severity::caution;
      finding.judged = {cover.recess_mm, seal_tolerance_mm(scene.cell.rules), "mm"};
      finding.message = fmt::format("under '{}' the surface of '{}' lies {:.2f} mm back at ({:.1f}, {:.1f})", zone_name,
                                    part_name, cover.recess_mm, cover.recess_at.x(), cover.recess_at.y());
      finding.mend = "see that this recess has no way out under the seal";
      findings.push_back(finding);
    }
  }
}

}  // namespace cellproof
