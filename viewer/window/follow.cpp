// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/follow.hpp"

#include <cstdio>
#include <string_view>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace cellproof {

namespace {

using nlohmann::json;

std::string verdict_of(const Desk& desk) {
  if (!desk.trouble().empty()) return "trouble";
  if (desk.proving()) return "proving";
  if (!desk.proof()) return "none";
  if (!desk.proved()) return "unproved";
  return desk.proof()->report.pass ? "pass" : "fail";
}

void tell_instant(const Desk& desk, json& line) {
  const Moment& moment = desk.moment();
  line["run"] = desk.timeline().run;
  line["time_s"] = moment.time_s;
  line["duration_s"] = desk.timeline().duration_s;
  line["playing"] = desk.playhead().playing;
  line["step"] = moment.stretch ? moment.stretch->step : "";
  for (int joint = 0; joint < 6; ++joint) line["joints"].push_back(degrees(moment.joints[joint]));
}

void tell_choices(const CellWindow& window, json& line) {
  const Desk& desk = window.desk();
  const auto& cameras = desk.proof()->scene->cell.cameras;
  line["unit"] = unit_name(desk.unit());
  line["camera"] = desk.camera() ? cameras[desk.camera()].name : "";
  line["finding"] = desk.chosen_group() ? static_cast<int>(*desk.chosen_group()) : -1;
  line["findings"] = desk.groups().size();
  line["mover"] = desk.mover();
  line["offset"] = {desk.placement().offset.x(), desk.placement().offset.y(), desk.placement().offset.z()};
  line["placement_proved"] = desk.placement_proved();
  line["ruler"] = ruler_text(*desk.proof()->scene, desk.moment().at, desk.ruler(), desk.unit());
  line["hidden"] = json::array();
  for (const SceneBody& body : desk.proof()->scene->bodies)
    if (desk.hidden(body.name)) line["hidden"].push_back(body.name);
  line["see_through"] = window.see_through();
  line["labels"] = window.labels();
}

}  // namespace

std::string shown_line(const CellWindow& window) {
  constexpr std::array<const char*, 3> page_names{"findings", "bodies", "move"};
  json line;
  line["cell"] = window.desk().file().string();
  line["verdict"] = verdict_of(window.desk());
  line["page"] = page_names[static_cast<std::size_t>(window.panels().page)];
  if (window.desk().proof()) {
    tell_instant(window.desk(), line);
    tell_choices(window, line);
  }
  const Orbit& orbit = window.orbit();
  line["eye"] = {orbit.at.x(), orbit.at.y(), orbit.at.z(), orbit.heading, orbit.dip, orbit.distance};
  for (const Control& control : window.controls())
    line["controls"][control.name] = {control.frame.x, control.frame.y, control.frame.width, control.frame.height};
  return line.dump(-1, ' ', false, json::error_handler_t::replace);
}

void Follow::tell(const CellWindow& window) {
  if (drawings_ == window.drawings()) return;
  drawings_ = window.drawings();
  std::string line = shown_line(window);
  if (line == last_) return;
  last_ = std::move(line);
  fmt::print("{}\n", last_);
  std::fflush(stdout);
}

}  // namespace cellproof
