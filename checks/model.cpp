// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "checks/checks.hpp"

namespace cellproof {

namespace {

constexpr double tiny_mm = 1.0, huge_mm = 20000.0;  // no gripper is smaller, no mill larger (common practice)

Finding caution(const SceneBody& body, std::string message, std::string mend) {
  Finding finding;
  finding.check = "model";
  finding.severity = Severity::caution;
  finding.between = {body.name};
  finding.message = std::move(message);
  finding.mend = std::move(mend);
  return finding;
}

std::string size_text(const Vector3d& size, double factor) {
  return fmt::format("{:.4g} x {:.4g} x {:.4g} mm", size.x() * factor, size.y() * factor, size.z() * factor);
}

}  // namespace

std::vector<Finding> check_model(const Evidence& evidence) {
  std::vector<Finding> findings;
  for (const auto& body : evidence.scene.bodies) {
    if (body.copy_of_seat >= 0) continue;
    const Vector3d size = body.solid->box().high - body.solid->box().low;
    if (size.maxCoeff() < tiny_mm)
      findings.push_back(
          caution(body, fmt::format("'{}' is only {} in all: its unit looks wrong", body.name, size_text(size, 1)),
                  fmt::format("set mesh_unit: as inches it were {}, as metres {}", size_text(size, 25.4),
                              size_text(size, 1000))));
    if (size.maxCoeff() > huge_mm)
      findings.push_back(caution(body,
                                 fmt::format("'{}' is {} in all: its unit looks wrong", body.name, size_text(size, 1)),
                                 fmt::format("set mesh_unit: a factor 1000 less it were {}, 25.4 less {}",
                                             size_text(size, 1e-3), size_text(size, 1 / 25.4))));
    const Closedness& closed = body.solid->closed();
    if (!closed.closed)
      findings.push_back(
          caution(body,
                  fmt::format("the mesh of '{}' is not closed ({} open edges): nothing can be found to lie inside it",
                              body.name, closed.open_edges),
                  "close it in CAD and export again, if it is a solid"));
    if (body.degenerate_dropped > 0)
      findings.push_back(caution(
          body, fmt::format("{} triangles of '{}' have no area and were left out", body.degenerate_dropped, body.name),
          "export again with a coarser tolerance, if the surface looks torn"));
  }
  return findings;
}

}  // namespace cellproof
