// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/pair_rules.hpp"

namespace cellproof {

namespace {

/// What gained the asked distance if the two were moved apart along the line between their nearest points.
std::string mend_of(const std::string& a, const std::string& b, const Vector3d& apart, const PairClearance& pair,
                    double asked) {
  if (pair.upper_mm == 0 || !(apart.norm() > 1e-9))
    return fmt::format("move '{}' or '{}' out of the way, lead the move around, or take metal off the drawing", a, b);
  const Vector3d way = apart.normalized();
  return fmt::format("{:.2f} mm more between them, along ({:.2f}, {:.2f}, {:.2f}) for '{}', would do",
                     asked - pair.lower_mm, way.x(), way.y(), way.z(), a);
}

}  // namespace

std::vector<Finding> check_clearance(const Evidence& evidence) {
  std::vector<Finding> findings;
  const Scene& scene = evidence.scene;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    for (std::size_t i = 0; i < measures.pairs.size(); ++i) {
      const PairAsked& asked = measures.pairs[i];
      const PairClearance& pair = measures.clearance.pairs[i];
      if (pair.lower_mm >= asked.least_mm) continue;
      const bool a_moves = scene.bodies[static_cast<std::size_t>(asked.a)].kind != BodyKind::surroundings;
      const std::size_t first = static_cast<std::size_t>(a_moves ? asked.a : asked.b);
      const std::size_t second = static_cast<std::size_t>(a_moves ? asked.b : asked.a);
      const std::string &a = scene.bodies[first].name, &b = scene.bodies[second].name;
      const double rule = rule_of_pair(scene, asked.a, asked.b).least_mm.value_or(0);
      Finding finding = finding_at("clearance", Severity::fail, run, stretch, time_at(stretch, pair.share));
      finding.between = {a, b};
      finding.measured = pair.lower_mm;
      finding.required = rule;
      finding.message =
          pair.upper_mm == 0
              ? fmt::format("'{}' and '{}' touch or cut each other; {:g} mm asked", a, b, rule)
              : fmt::format("'{}' comes within {:.2f} mm of '{}'; {:g} mm asked", a, pair.lower_mm, b, rule);
      finding.mend =
          mend_of(a, b, a_moves ? Vector3d(pair.points[0] - pair.points[1]) : Vector3d(pair.points[1] - pair.points[0]),
                  pair, rule);
      findings.push_back(std::move(finding));
    }
  });
  return findings;
}

}  // namespace cellproof
