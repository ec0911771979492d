// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/zone_covers.hpp"

namespace cellproof {

namespace {

/// "'chute' and 'table'"
std::string names_of(const Scene& scene, const std::vector<BodyId>& bodies) {
  std::string names;
  for (std::size_t i = 0; i < bodies.size(); ++i)
    names += fmt::format("{}'{}'", i == 0 ? "" : i + 1 == bodies.size() ? " and " : ", ", scene.bodies[bodies[i]].name);
  return names;
}

std::string below_text(const Scene& scene, const FacesGap& air) {
  return fmt::format("{:.2f} mm above '{}'", air.gap_mm, scene.bodies[air.opposite].name);
}

/// A way in the world's plane as words: "along x", "along -y", "towards 37 deg from x".
std::string way_text(const Vector2d& way) {
  constexpr double straight = 0.9999;
  for (const auto& [axis, name] :
       {std::pair{Vector2d(1, 0), "x"}, {Vector2d(-1, 0), "-x"}, {Vector2d(0, 1), "y"}, {Vector2d(0, -1), "-y"}})
    if (way.dot(axis) > straight) return fmt::format("along world {}", name);
  return fmt::format("at {:.0f} deg from world x", degrees(std::atan2(way.y(), way.x())));
}

class Judge {
 public:
  Judge(const Scene& scene, const CycleRun& run, const ReleaseMeasure& measure, std::vector<Finding>& findings)
      : scene_(scene), measure_(measure), findings_(findings) {
    stub_.check = Check::release;
    stub_.run = run.name;
    stub_.others = run.others;
    stub_.step = measure.step;
    stub_.time_s = measure.time_s;
    stub_.between = {part(), other()};
  }

  void judge() {
    if (measure_.hold) return;
    if (measure_.drop_mm)
      judge_drop();
    else if (measure_.rests_on.empty())
      judge_mid_air();
    else if (measure_.support)
      judge_support(*measure_.support);
  }

 private:
  const std::string& part() const { return scene_.cell.parts[measure_.part].name; }
  /// What it is about beside the part: seats of one body have one cause.
  const std::string& other() const {
    const auto name = [&](BodyId body) -> const std::string& { return scene_.bodies[body].name; };
    if (!measure_.rests_on.empty()) return name(measure_.rests_on.front());
    return measure_.near_something && measure_.air ? name(measure_.air->opposite) : measure_.seat;
  }
  const char* lies() const { return measure_.placed ? "is let go" : "lies"; }

  void add(Severity severity, std::optional<Judged> judged, std::string message, std::string mend) {
    Finding finding = stub_;
    finding.severity = severity;
    finding.judged = std::move(judged);
    finding.message = std::move(message);
    finding.mend = std::move(mend);
    findings_.push_back(std::move(finding));
  }

  void judge_drop() {
    if (!measure_.rests_on.empty()) return;
    const double asked = *measure_.drop_mm;
    if (!measure_.air)
      add(Severity::fail, {}, fmt::format("'{}' is dropped in '{}', and nothing is below it", part(), measure_.seat),
          "let it go over what is to catch it, or draw that as a body");
    else if (measure_.air->gap_mm > asked)
      add(Severity::fail, Judged{measure_.air->gap_mm, asked, "mm"},
          fmt::format("'{}' is dropped {}, {:g} mm are meant", part(), below_text(scene_, *measure_.air), asked),
          fmt::format("let it go {:.2f} mm lower", measure_.air->gap_mm - asked));
  }

  void judge_mid_air() {
    if (!measure_.near_something) {
      add(Severity::caution, {}, fmt::format("nothing modelled holds '{}' in '{}'", part(), measure_.seat),
          "draw what it lies on as a body, and let the seat ride on it");
      return;
    }
    if (!measure_.air) {
      add(Severity::fail, {},
          fmt::format("'{}' {} in mid-air in '{}': nothing touches it, and nothing is below", part(), lies(),
                      measure_.seat),
          "put it where something holds it");
      return;
    }
    const double air = measure_.air->gap_mm;
    add(Severity::fail, Judged{air, seal_tolerance_mm(scene_.cell.rules), "mm"},
        fmt::format("'{}' {} in mid-air in '{}', {}", part(), lies(), measure_.seat, below_text(scene_, *measure_.air)),
        fmt::format("put it {:.2f} mm lower, or raise what is below{}", air,
                    measure_.placed
                        ? fmt::format("; or drop = \"{:g} mm\", if it is to fall so far", std::ceil(10 * air) / 10)
                        : std::string()));
  }

  void judge_support(const Support& support) {
    const std::string on = names_of(scene_, measure_.rests_on);
    const Balance& balance = support.balance;
    if (!balance.possible) {
      add(Severity::fail, {},
          fmt::format("'{}' {} in '{}', and what it touches, {}, can't carry it: it slides or falls", part(), lies(),
                      measure_.seat, on),
          "give it something to lie on, stops on the low side, or a `hold`");
    } else if (!(balance.inside_mm > 0)) {
      add(Severity::fail, Judged{balance.inside_mm, 0.0, "mm"},
          fmt::format("'{}' {} in '{}' with its centre of mass {:.2f} mm past the edge of what carries it, {}", part(),
                      lies(), measure_.seat, -balance.inside_mm, on),
          fmt::format("move the part {:.2f} mm at least {}, or what carries it the other way; or a `hold`",
                      -balance.inside_mm, way_text(-balance.edge_way)));
    } else if (balance.inside_mm <= measure_.resolution_mm) {
      add(Severity::caution, Judged{balance.inside_mm, measure_.resolution_mm, "mm"},
          fmt::format("'{}' {} in '{}' with its centre of mass only {:.2f} mm within the edge of what carries it, {}; "
                      "the meshes tell no better than {:.2f} mm: it may tip or roll",
                      part(), lies(), measure_.seat, balance.inside_mm, on, measure_.resolution_mm),
          "carry it on a wider base, or with stops beside it");
    } else if (support.assumed) {
      add(Severity::caution, {},
          fmt::format("'{}' {} in '{}' and stays there by friction alone, on {}: {:g} is assumed, the file gives none",
                      part(), lies(), measure_.seat, on, support.friction),
          "give it stops on the low side, or a `hold`");
    }
  }

  const Scene& scene_;
  const ReleaseMeasure& measure_;
  std::vector<Finding>& findings_;
  Finding stub_;
};

}  // namespace

std::vector<Finding> check_release(const Evidence& evidence) {
  std::vector<Finding> findings;
  for (std::size_t r = 0; r < evidence.measures.releases.size(); ++r)
    for (const ReleaseMeasure& measure : evidence.measures.releases[r])
      Judge(evidence.scene, evidence.cycle.runs[r], measure, findings).judge();
  return findings;
}

}  // namespace cellproof
