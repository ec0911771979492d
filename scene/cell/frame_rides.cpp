// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/frame_rides.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "scene/cell/frame_names.hpp"

namespace cellproof {
namespace {

void add_seat(FrameRides& rides, const Seat& seat) {
  rides.parents[seat.name] = {seat.placed.on};
  if (!seat.grid) return;
  for (const std::string& name : seat_names(seat)) rides.parents[name] = {seat.placed.on};
}

void add_arm(FrameRides& rides, const ArmEntry& arm) {
  rides.parents["world"] = {};
  rides.parents["base"] = {arm.base.on};
  std::string before = "base";
  for (int link = 1; link <= 6; ++link) {
    const std::string name = fmt::format("link{}", link);
    rides.parents[name] = {before};
    before = name;
  }
  rides.parents["flange"] = {before};
}

}  // namespace

FrameRides frame_rides(const Cell& cell) {
  FrameRides rides;
  add_arm(rides, cell.arm);
  for (const Body& body : cell.bodies) rides.parents[body.name] = {body.placed.on};
  for (const Seat& seat : cell.seats) add_seat(rides, seat);
  for (const Tcp& tcp : cell.tcps) rides.parents[tcp.name] = {tcp.placed.on};
  for (const Part& part : cell.parts) {
    rides.is_part[part.name] = true;
    auto& parents = rides.parents[part.name];
    if (!part.seat.empty()) parents = {part.seat};
  }
  if (cell.cycle)
    for (const Each& each : cell.cycle->each) rides.parents[each.slot] = each.seats;
  return rides;
}

bool rides_on(const FrameRides& rides, const std::string& frame, const std::string& carrier) {
  std::vector<std::string> open = {frame};
  std::set<std::string> seen;
  while (!open.empty()) {
    const std::string name = open.back();
    open.pop_back();
    if (name == carrier) return true;
    if (!seen.insert(name).second || rides.is_part.count(name) > 0) continue;
    const auto found = rides.parents.find(name);
    if (found != rides.parents.end()) open.insert(open.end(), found->second.begin(), found->second.end());
  }
  return false;
}

std::vector<std::string> loop_through(const FrameRides& rides, const std::string& start) {
  std::map<std::string, std::string> rider;  // who rides on the frame, on the way from start
  std::vector<std::string> open = {start};
  while (!open.empty()) {
    const std::string name = open.back();
    open.pop_back();
    const auto found = rides.parents.find(name);
    if (found == rides.parents.end()) continue;
    for (const std::string& parent : found->second) {
      if (!rider.emplace(parent, name).second) continue;
      open.push_back(parent);
    }
  }
  if (rider.count(start) == 0) return {};
  std::vector<std::string> loop = {start};
  for (std::string name = rider[start]; name != start; name = rider[name]) loop.push_back(name);
  loop.push_back(start);
  std::reverse(loop.begin(), loop.end());
  return loop;
}

}  // namespace cellproof
