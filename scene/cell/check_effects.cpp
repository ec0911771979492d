// SPDX-License-Identifier: GPL-3.0-or-later
// What is stated and could not be honoured is refused; what is stated and does nothing is told.
#include <algorithm>

#include <fmt/format.h>

#include "kinematics/inverse/configuration_name.hpp"
#include "scene/basics/atmosphere.hpp"
#include "scene/cell/cell_tables.hpp"
#include "scene/cell/frame_names.hpp"
#include "scene/cell/frame_rides.hpp"
#include "scene/cell/zone_overlap.hpp"

namespace cellproof {
namespace {

class EffectCheck {
 public:
  EffectCheck(const Cell& cell, Reading& reading) : cell_(cell), reading_(reading), rides_(frame_rides(cell)) {}

  void run() {
    for (const Tcp& tcp : cell_.tcps) check_tool(tcp);
    for (const Hold& hold : cell_.holds) check_fixture(hold);
    for (const Jaw& jaw : cell_.jaws) check_fingers(jaw);
    for (const Tcp& tcp : cell_.tcps) check_apart(tcp.origin, tcp.suction);
    for (const Hold& hold : cell_.holds) check_apart(hold.origin, hold.suction);
    check_ways_have_names();
    if (reading_.failed()) return;
    tell_idle_holders();
    tell_idle_supplies();
    tell_idle_figures();
    tell_soft_stops();
    tell_shared_fingers();
    tell_frictions();
    tell_idle_centres();
    if (cell_.cycle) tell_idle_in_cycle(*cell_.cycle);
    tell_catalogue_vacuum();
    tell_nearly_empty();
  }

 private:
  void fail(const Origin& entry, const std::string& key, std::string what, std::string mend) {
    Origin where{entry.line, entry.key + "." + key};
    for (const UsedName& used : reading_.names.used)
      if (used.where.key == where.key || used.where.key.starts_with(where.key + "[")) where.line = used.where.line;
    reading_.fail(where, std::move(what), std::move(mend));
  }
  void tell(const Origin& entry, const std::string& what) {
    reading_.cautions.push_back(fmt::format("line {}: {}: {}", entry.line, entry.key, what));
  }
  const Jaw* jaw_named(const std::string& name) const {
    const auto found = std::ranges::find(cell_.jaws, name, &Jaw::name);
    return found == cell_.jaws.end() ? nullptr : &*found;
  }
  const Suction* zone_named(const std::string& name) const {
    const auto found = std::ranges::find(cell_.suctions, name, &Suction::name);
    return found == cell_.suctions.end() ? nullptr : &*found;
  }

  // ---- refused ----

  void check_tool(const Tcp& tcp) {
    const auto check = [&](const std::string& key, const std::string& name, const std::string& on) {
      if (!rides_on(rides_, on, "flange"))
        fail(tcp.origin, key,
             fmt::format("\"{}\" does not ride on the flange, so that the tool can't hold with it", name),
             "name what rides on the flange; what a fixture holds with belongs into a [[hold]]");
    };
    if (const Jaw* jaw = jaw_named(tcp.jaw)) check("jaw", jaw->name, jaw->placed.on);
    for (const std::string& name : tcp.suction)
      if (const Suction* zone = zone_named(name)) check("suction", zone->name, zone->placed.on);
  }

  void check_fixture(const Hold& hold) {
    const auto check = [&](const std::string& key, const std::string& name, const std::string& on) {
      if (rides_on(rides_, on, "link1"))
        fail(hold.origin, key, fmt::format("\"{}\" rides on the arm, so that it can't hold in a seat", name),
             "name what stands in the fixture; what the arm holds with belongs into a [[tcp]]");
    };
    if (const Jaw* jaw = jaw_named(hold.jaw)) check("jaw", jaw->name, jaw->placed.on);
    for (const std::string& name : hold.suction)
      if (const Suction* zone = zone_named(name)) check("suction", zone->name, zone->placed.on);
  }

  void check_fingers(const Jaw& jaw) {
    const bool on_arm = rides_on(rides_, jaw.placed.on, "link1");
    for (const Finger& finger : jaw.fingers) {
      if (rides_on(rides_, finger.body, "link1") == on_arm) continue;
      fail(jaw.origin, "fingers",
           fmt::format("\"{}\" {} the arm, and the jaw {}", finger.body, on_arm ? "does not ride on" : "rides on",
                       on_arm ? "does" : "does not"),
           "let the jaw and its fingers ride on the same thing");
    }
  }

  /// Zones that hold together: each counts with all of its area.
  void check_apart(const Origin& holder, const std::vector<std::string>& names) {
    constexpr double by_rounding = 0.01;
    for (std::size_t i = 0; i < names.size(); ++i)
      for (std::size_t j = 0; j < i; ++j) {
        const Suction *one = zone_named(names[j]), *other = zone_named(names[i]);
        if (!one || !other) continue;
        const double share = overlap_share(*one, *other);
        if (share > by_rounding)
          fail(holder, "suction",
               fmt::format("\"{}\" and \"{}\" cover the same place, {:.0f} % of the smaller: it would count twice",
                           one->name, other->name, 100 * share),
               "draw them side by side, or leave one out; a zone within another stands in a hole of it");
      }
  }

  void check_ways_have_names() {
    if (!cell_.cycle || !cell_.cycle->same_configuration) return;
    if (!configuration_name(cell_.arm.arm, cell_.cycle->start).empty()) return;
    Origin where = cell_.cycle->origin;
    where.key += ".same_configuration";
    reading_.fail(where, "asks for one way to stand, but this arm's ways have no names that could be compared",
                  "leave it out, and give the moves `near`");
  }

  // ---- told ----

  bool of_tcp(const std::string& name) const {
    return std::ranges::any_of(cell_.tcps, [&](const Tcp& tcp) {
      return tcp.jaw == name || std::ranges::find(tcp.suction, name) != tcp.suction.end();
    });
  }

  void tell_idle_holders() {
    const auto of_hold = [&](const std::string& name) {
      return std::ranges::any_of(cell_.holds, [&](const Hold& hold) {
        return hold.jaw == name || std::ranges::find(hold.suction, name) != hold.suction.end();
      });
    };
    const std::string idle = "has no effect: no [[tcp]] and no [[hold]] names it";
    for (const Jaw& jaw : cell_.jaws)
      if (!of_tcp(jaw.name) && !of_hold(jaw.name)) tell(jaw.origin, idle);
    for (const Suction& zone : cell_.suctions)
      if (!of_tcp(zone.name) && !of_hold(zone.name)) tell(zone.origin, idle);
  }

  void tell_idle_supplies() {
    for (const Supply& supply : cell_.supplies)
      if (std::ranges::find(cell_.suctions, supply.name, &Suction::supply) == cell_.suctions.end())
        tell(supply.origin, "has no effect: no [[suction]] names it in `supply`");
  }

  void tell_idle_figures() {
    for (const Jaw& jaw : cell_.jaws)
      if (jaw.pad && !of_tcp(jaw.name))
        tell(jaw.origin, "pad has no effect: how a part turns in a jaw is judged where a [[tcp]] carries it only");
    const auto& times = cell_.arm.stop_times;
    const bool any_time = std::ranges::any_of(times, [](const auto& time) { return time.has_value(); });
    if (any_time && !cell_.rules.stop)
      tell(cell_.arm.origin, "stop_time has no effect without [rules] stop: no emergency stop is asked for");
  }

  /// A stop that is softer than the plan's own slowing makes grips look better: more likely a slip of the pen.
  void tell_soft_stops() {
    constexpr double by_rounding = 1 - 1e-9;
    for (std::size_t j = 0; j < cell_.arm.stop_times.size(); ++j) {
      const auto& time = cell_.arm.stop_times[j];
      const JointLimits& limits = cell_.arm.arm.limits[j];
      if (!time || limits.speed / *time >= by_rounding * limits.acceleration) continue;
      tell(cell_.arm.origin,
           fmt::format("joint {}: stop_time of {:g} s from full speed is {:.4g} deg/s^2, softer than the acceleration "
                       "of {:.4g} that it moves with: a stop is as a rule harder",
                       j + 1, *time, degrees(limits.speed / *time), degrees(limits.acceleration)));
    }
  }

  /// What draws by a jet or a pump reaches less in thinner air, in proportion to ambient pressure.
  void tell_catalogue_vacuum() {
    constexpr double hardly_less = 0.99;
    const double share = ambient_pressure(cell_.rules.altitude) / ambient_pressure(0);
    if (share > hardly_less) return;
    const auto check = [&](const Origin& origin, const std::string& key, double vacuum) {
      tell(origin,
           fmt::format("{} {:.4g} kPa: if that is a catalogue's figure, for sea level, the gauge reads {:.4g} kPa at "
                       "{:.4g} m; enter what it reads there",
                       key, vacuum / 1000, share * vacuum / 1000, cell_.rules.altitude / 1000));
    };
    for (const Suction& zone : cell_.suctions)
      if (zone.supply.empty()) check(zone.origin, "vacuum is", zone.vacuum);
    for (const Supply& supply : cell_.supplies) check(supply.origin, "flow ends at", supply.flow.back().vacuum);
  }

  /// As where a gauge of absolute pressure was read, or a full vacuum was meant as "all that there is".
  void tell_nearly_empty() {
    constexpr double hardly_reached = 0.95;
    const double ambient = ambient_pressure(cell_.rules.altitude);
    for (const Suction& zone : cell_.suctions)
      if (zone.supply.empty() && zone.vacuum > hardly_reached * ambient)
        tell(zone.origin, fmt::format("vacuum is {:.4g} kPa below ambient, which is {:.4g} kPa: hardly any source "
                                      "reaches that; enter what the gauge reads with the part on",
                                      zone.vacuum / 1000, ambient / 1000));
  }

  /// Jaws may share fingers, to grip within and without: then they can stand open in one way only.
  void tell_shared_fingers() {
    for (const JawId i : ids_of(cell_.jaws))
      for (const JawId j : ids_of(cell_.jaws))
        for (const Finger& mine : cell_.jaws[i].fingers)
          for (const Finger& theirs : cell_.jaws[j].fingers)
            if (i < j && mine.body == theirs.body && mine.open != theirs.open)
              tell(cell_.jaws[j].origin,
                   fmt::format("\"{}\" is a finger of \"{}\" too and opens otherwise there; until one of them has "
                               "worked, it stands as one of the two has it",
                               mine.body, cell_.jaws[i].name));
  }

  /// Of a hold its own friction counts; a smaller one of what it holds with would be passed over.
  void tell_frictions() {
    const auto check = [&](const Hold& hold, const std::string& name, double friction) {
      if (friction < hold.friction)
        tell(hold.origin,
             fmt::format("its friction of {:g} counts, not the {:g} of \"{}\"", hold.friction, friction, name));
    };
    for (const Hold& hold : cell_.holds) {
      if (const Jaw* jaw = jaw_named(hold.jaw)) check(hold, jaw->name, jaw->friction);
      for (const std::string& name : hold.suction)
        if (const Suction* zone = zone_named(name)) check(hold, name, zone->friction);
    }
  }

  void tell_idle_centres() {
    const auto check = [&](const auto& thing) {
      if (thing.com && !thing.mass && !thing.density) tell(thing.origin, "com has no effect without mass or density");
    };
    for (const Body& body : cell_.bodies) check(body);
    for (const Part& part : cell_.parts) check(part);
  }

  void tell_idle_in_cycle(const CycleEntry& cycle) {
    const auto any_step = [&](const auto& named) {
      return std::ranges::any_of(cycle.steps, [&](const Step& step) { return std::visit(named, step.action); });
    };
    for (const Hold& hold : cell_.holds)
      if (!any_step([&](const auto& action) {
            if constexpr (requires { action.hold; })
              return action.hold == hold.name;
            else
              return false;
          }))
        tell(hold.origin, "has no effect: no place names it in `hold`");
    for (const Zone& zone : cell_.zones)
      if (!any_step([&](const auto& action) {
            if constexpr (requires { action.clear; })
              return action.clear == zone.name;
            else
              return false;
          }))
        tell(zone.origin, "has no effect: no step asks for it in `clear`");
    for (const Each& each : cycle.each) {
      const auto names_it = [&](const UsedName& used) { return used.name == each.slot; };
      if (std::ranges::none_of(reading_.names.used, names_it))
        tell(cycle.origin,
             fmt::format("each: nothing stands in \"{}\", so that all its seats are proved alike", each.slot));
    }
  }

  const Cell& cell_;
  Reading& reading_;
  FrameRides rides_;
};

}  // namespace

void check_effects(const Cell& cell, Reading& reading) {
  EffectCheck(cell, reading).run();
}

}  // namespace cellproof
