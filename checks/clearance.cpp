// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/told_apart.hpp"
#include "scene/fingers.hpp"

namespace cellproof {

namespace {

/// No way of the arm parts what the flange carries.
bool ride_together(const Scene& scene, const Stretch& stretch, const PairAsked& asked) {
  const auto on_flange = [&](BodyId body) {
    return rides_on(*stretch.arrangement, scene.bodies[body].frame, scene.flange_frame);
  };
  return on_flange(asked.a) && on_flange(asked.b);
}

/// The part that is brought or taken, and a finger of its hold that stands open.
bool meets_open_hold(const Scene& scene, const Stretch& stretch, const PairAsked& asked) {
  if (!stretch.contact || !stretch.contact->hold_jaw) return false;
  const auto is_part = [&](BodyId body) { return scene.bodies[body].owner_part == stretch.contact->part; };
  const auto is_finger = [&](BodyId body) {
    return bool(finger_of(scene, *stretch.arrangement, stretch.contact->hold_jaw, body));
  };
  return (is_part(asked.a) && is_finger(asked.b)) || (is_part(asked.b) && is_finger(asked.a));
}

std::string mend_of(const Scene& scene, const Stretch& stretch, const PairAsked& asked, const WayOut& way) {
  const std::string& name = scene.bodies[way.body].name;
  if (!way.by_hand && ride_together(scene, stretch, asked))
    return fmt::format(
        "both ride on the flange, where no move of the arm parts them: shape one of '{}' and '{}' otherwise or set it "
        "elsewhere on the flange, change the jaw's `open` if it is a finger, or name the two in a [[contact]] if they "
        "are meant to touch",
        scene.bodies[asked.a].name, scene.bodies[asked.b].name);
  if (!way.by_hand)
    return fmt::format("lead '{}' {} there, as it can't be set elsewhere by itself, or take metal off the drawing",
                       name, shift_text(way));
  const std::string moved =
      fmt::format("move '{}' {}: {}", name, shift_text(way),
                  way.all_along ? "that gains what is asked all along this step"
                                : "that gains what is asked at this instant; elsewhere in the step more is needed");
  if (!meets_open_hold(scene, stretch, asked)) return moved;
  return moved + ". Or have the jaw's `open` wider" +
         (owes_a_distance(asked) ? ", or, if they are to pass so near, raise `seat_zone` to the height of the jaws"
                                 : "");
}

bool is_steady(const Measures& measures, const PairAsked& asked) {
  return std::ranges::any_of(measures.steady,
                             [&](const SteadyPair& pair) { return pair.a == asked.a && pair.b == asked.b; });
}

/// Two bodies that stand to each other all through the cycle as they are drawn: how the file says that they may.
std::string mend_of_steady(const Scene& scene, const PairAsked& asked, double lower_mm) {
  const std::string &a = scene.bodies[asked.a].name, &b = scene.bodies[asked.b].name;
  const double least = std::floor(lower_mm * 10 - 1e-9) / 10;
  if (!(least > 0))
    return fmt::format(
        "they stand so all through the cycle: shape one of '{}' and '{}' otherwise, or, if they are meant "
        "to touch, name the two in a [[contact]]",
        a, b);
  return fmt::format(
      "they stand so all through the cycle: shape one of them otherwise, or, if one stands back by design, state it "
      "once: "
      "[[clearance]] between = [\"{}\", \"{}\"], least = \"{:g} mm\"",
      a, b, least);
}

}  // namespace

/// One for a pair in a step; of a steady pair one in a run, the worst.
std::vector<Finding> check_clearance(const Evidence& evidence) {
  std::vector<Finding> findings;
  const Scene& scene = evidence.scene;
  std::map<std::tuple<const CycleRun*, BodyId, BodyId>, std::size_t> steady;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    auto way = measures.ways_out.begin();
    for (std::size_t i = 0; i < measures.pairs.size(); ++i) {
      const PairAsked& asked = measures.pairs[i];
      const PairClearance& pair = measures.clearance.pairs[i];
      if (pair.lower_mm >= asked.least_mm) continue;
      const bool a_moves = scene.bodies[asked.a].kind != BodyKind::surroundings;
      const BodyId first = a_moves ? asked.a : asked.b, second = a_moves ? asked.b : asked.a;
      const std::string &a = scene.bodies[first].name, &b = scene.bodies[second].name;
      const double rule = owes_a_distance(asked) ? asked.least_mm : 0;
      Finding finding = finding_at(Check::clearance, Severity::fail, run, stretch, time_at(stretch, pair.share));
      finding.between = {a, b};
      finding.judged = {pair.lower_mm, rule, "mm"};
      finding.message = pair.upper_mm == 0
                            ? fmt::format("'{}' and '{}' touch or cut each other; {:g} mm asked", a, b, rule)
                            : fmt::format("'{}' comes within {} mm of '{}'; {:g} mm asked", a,
                                          told_from(pair.lower_mm, rule, 2), b, rule);
      if (way != measures.ways_out.end()) finding.mend = mend_of(scene, stretch, asked, *way++);
      if (is_steady(evidence.measures, asked)) {
        finding.mend = mend_of_steady(scene, asked, pair.lower_mm);
        const auto [known, is_new] = steady.try_emplace({&run, asked.a, asked.b}, findings.size());
        if (!is_new) {
          if (is_worse(finding, findings[known->second])) findings[known->second] = std::move(finding);
          continue;
        }
      }
      findings.push_back(std::move(finding));
    }
  });
  return findings;
}

}  // namespace cellproof
