// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/report_json.hpp"

#include "app/json_pose.hpp"

namespace cellproof {

namespace {

Json optional_number(const std::optional<double>& value) {
  return value ? json_number(*value) : Json(nullptr);
}

/// `run` is absent without `each`, `others` unless the cell names several fillings.
void put_run(Json& entry, const std::string& run, const std::string& others) {
  if (!run.empty()) entry["run"] = run;
  if (!others.empty()) entry["others"] = others;
}

Json body_json(const BodyFigure& body) {
  return {{"name", body.name},
          {"kind", kind_name(body.kind)},
          {"triangles", body.triangles},
          {"closed", body.closed},
          {"volume_mm3", optional_number(body.volume_mm3)},
          {"area_mm2", body.area_mm2},
          {"box_mm", Json::array({json_vector(body.box.low), json_vector(body.box.high)})}};
}

Json clearance_json(const std::optional<ClearanceFigure>& clearance) {
  if (!clearance) return nullptr;
  return {{"lower_mm", json_number(clearance->lower_mm)},
          {"upper_mm", json_number(clearance->upper_mm)},
          {"between", clearance->between},
          {"time_s", clearance->time_s},
          {"points_mm", Json::array({json_vector(clearance->points[0]), json_vector(clearance->points[1])})}};
}

Json curve_json(const std::vector<CurvePoint>& curve) {
  Json list = Json::array();
  for (const auto& point : curve)
    list.push_back(Json::array({point.time_s, json_number(point.lower_mm), json_number(point.upper_mm)}));
  return list;
}

Json step_json(const StepFigure& step) {
  Json entry{{"name", step.name}};
  put_run(entry, step.run, step.others);
  entry["kind"] = kind_name(step.kind);
  entry["start_s"] = step.start_s;
  entry["end_s"] = step.end_s;
  entry["joints_end_deg"] = json_joints(step.joints_end);
  entry["configuration"] = step.configuration.empty() ? Json(nullptr) : Json(step.configuration);
  entry["limit_margin_deg"] = json_number(degrees(step.limit_margin));
  entry["manipulability"] = json_number(step.manipulability);
  if (step.grasp_turn) entry["grasp_turn_deg"] = degrees(*step.grasp_turn);
  entry["clearance"] = clearance_json(step.clearance);
  entry["clearance_to_surroundings"] = clearance_json(step.to_surroundings);
  entry["clearance_among_own"] = clearance_json(step.among_own);
  if (!step.clearance_over_time.empty()) entry["clearance_over_time"] = curve_json(step.clearance_over_time);
  return entry;
}

Json closest_json(const ClosestFigure& closest) {
  Json entry{{"between", closest.between}};
  put_run(entry, closest.run, closest.others);
  entry["step"] = closest.step;
  entry["time_s"] = closest.time_s;
  entry["lower_mm"] = json_number(closest.lower_mm);
  entry["upper_mm"] = json_number(closest.upper_mm);
  return entry;
}

Json blocked_json(const Scene& scene, const std::vector<BlockedShare>& blocked) {
  Json list = Json::array();
  for (const auto& by : blocked) list.push_back({{"body", scene.bodies[by.body].name}, {"share", by.share}});
  return list;
}

Json rim_json(const Scene& scene, const std::optional<RimView>& rim) {
  if (!rim) return nullptr;
  return {{"state", rim_word(*rim)}, {"blocked", rim->blocked}, {"blocked_by", blocked_json(scene, rim->blocked_by)}};
}

Json target_json(const Scene& scene, const TargetView& target) {
  return {{"name", scene.cell.targets[target.target].name},
          {"in_frame", target.in_frame},
          {"visible", target.visible},
          {"facing_deg", degrees(target.facing)},
          {"mm_per_pixel", json_number(target.mm_per_pixel)},
          {"in_focus", target.in_focus ? Json(*target.in_focus) : Json(nullptr)},
          {"blocked_by", blocked_json(scene, target.blocked_by)},
          {"lens_rim", rim_json(scene, target.rim)}};
}

Json view_json(const Scene& scene, const ViewFigure& figure) {
  Json entry{{"camera", scene.cell.cameras[figure.view.camera].name}};
  put_run(entry, figure.run, figure.others);
  entry["step"] = figure.step;
  entry["targets"] = Json::array();
  for (const auto& target : figure.view.targets) entry["targets"].push_back(target_json(scene, target));
  entry["blocked_by"] = Json::array();
  for (const auto& by : figure.view.blocked_by)
    entry["blocked_by"].push_back({{"body", scene.bodies[by.body].name}, {"pixels", by.pixels}, {"share", by.share}});
  return entry;
}

Json pads_json(const std::vector<PadFigure>& pads) {
  Json list = Json::array();
  for (const auto& pad : pads) list.push_back({{"bodies", pad.bodies}, {"contact_mm2", pad.contact_mm2}});
  return list;
}

Json grip_json(const GripFigure& grip) {
  Json entry{{"part", grip.part}, {"tcp", grip.tcp}};
  put_run(entry, grip.run, grip.others);
  entry["step"] = grip.step;
  entry["force_n"] = json_number(grip.force_n);
  entry["factor"] = optional_number(grip.factor);
  entry["time_s"] = grip.time_s;
  entry["limited_by"] = grip.limited_by ? Json(*grip.limited_by) : Json(nullptr);
  entry["pull_factor"] = optional_number(grip.pull);
  entry["slip_factor"] = optional_number(grip.slip);
  entry["peel_factor"] = optional_number(grip.peel);
  entry["in_stop"] = grip.in_stop;
  entry["zones"] = Json::array();
  for (const auto& zone : grip.zones)
    entry["zones"].push_back(
        {{"name", zone.name}, {"force_n", json_number(zone.force_n)}, {"load_n", json_number(zone.load_n)}});
  entry["moment_in_pads_nm"] = optional_number(grip.moment_in_pads_nm);
  entry["pads"] = pads_json(grip.pads);
  entry["pad_contact_mm2"] = optional_number(grip.pad_contact_mm2);
  return entry;
}

Json wrist_json(const WristFigure& wrist) {
  Json entry{{"step", wrist.step}};
  put_run(entry, wrist.run, wrist.others);
  entry["mass_kg"] = json_number(wrist.mass_kg);
  entry["offset_mm"] = json_number(wrist.offset_mm);
  entry["axes"] = Json::array();
  for (const auto& axis : wrist.axes)
    entry["axes"].push_back({{"axis", axis.axis},
                             {"moment_nm", json_number(axis.moment_nm)},
                             {"inertia_kgm2", optional_number(axis.inertia_kgm2)}});
  return entry;
}

Json torque_json(const TorqueFigure& torque) {
  Json entry{{"joint", torque.joint}, {"torque_nm", json_number(torque.torque_nm)}};
  put_run(entry, torque.run, "");
  entry["step"] = torque.step;
  entry["time_s"] = torque.time_s;
  return entry;
}

Json reaction_json(const ReactionFigure& reaction) {
  return {{"at_mm", {json_number(reaction.at_mm.x()), json_number(reaction.at_mm.y())}},
          {"force_n",
           {json_number(reaction.force_n.x()), json_number(reaction.force_n.y()), json_number(reaction.force_n.z())}}};
}

Json cut_json(const CutFigure& cut) {
  return {{"from", cut.from},
          {"side_force_n", json_number(cut.side_force_n)},
          {"side_force_mean_n", optional_number(cut.side_force_mean_n)},
          {"lift_force_n", json_number(cut.lift_force_n)},
          {"thrust_n", json_number(cut.thrust_n)},
          {"power_w", optional_number(cut.power_w)},
          {"feed_per_tooth_mm", optional_number(cut.feed_per_tooth_mm)},
          {"thickest_chip_mm", optional_number(cut.thickest_chip_mm)}};
}

Json hold_json(const HoldFigure& hold) {
  Json entry{{"name", hold.name}};
  put_run(entry, hold.run, hold.others);
  entry["step"] = hold.step;
  entry["part"] = hold.part;
  entry["force_n"] = json_number(hold.force_n);
  entry["factor"] = optional_number(hold.factor);
  entry["best_factor"] = optional_number(hold.best_factor);
  entry["gives_by"] = hold.gives_by.empty() ? Json(nullptr) : Json(hold.gives_by);
  entry["worst_at_mm"] = nullptr;
  if (hold.worst_at_mm) entry["worst_at_mm"] = {json_number(hold.worst_at_mm->x()), json_number(hold.worst_at_mm->y())};
  entry["worst_towards_deg"] = optional_number(hold.worst_towards_deg);
  entry["rests_found"] = hold.rests_found;
  entry["reactions"] = Json::array();
  for (const ReactionFigure& reaction : hold.reactions) entry["reactions"].push_back(reaction_json(reaction));
  entry["slip_factor"] = optional_number(hold.slip);
  entry["tip_factor"] = optional_number(hold.tip);
  entry["lift_factor"] = optional_number(hold.lift);
  entry["cut"] = hold.cut ? cut_json(*hold.cut) : Json(nullptr);
  entry["estimated"] = hold.estimated;
  entry["factor_at_more"] = optional_number(hold.factor_at_more);
  entry["slip_factor_at_more"] = optional_number(hold.slip_at_more);
  entry["tip_factor_at_more"] = optional_number(hold.tip_at_more);
  entry["lift_factor_at_more"] = optional_number(hold.lift_at_more);
  entry["pads"] = pads_json(hold.pads);
  entry["pad_contact_mm2"] = optional_number(hold.pad_contact_mm2);
  return entry;
}

Json release_json(const ReleaseFigure& release) {
  Json entry{{"part", release.part}, {"seat", release.seat}};
  put_run(entry, release.run, release.others);
  entry["step"] = release.step.empty() ? Json(nullptr) : Json(release.step);
  entry["time_s"] = release.time_s;
  entry["held_by"] = release.held_by;
  entry["hold"] = release.hold.empty() ? Json(nullptr) : Json(release.hold);
  entry["rests_on"] = release.rests_on;
  entry["centre_inside_mm"] = optional_number(release.centre_inside_mm);
  entry["friction"] = optional_number(release.friction);
  entry["friction_assumed"] = release.friction_assumed;
  entry["air_mm"] = optional_number(release.air_mm);
  return entry;
}

Json place_json(const std::optional<SupplyFigure::Place>& place) {
  if (!place) return nullptr;
  Json entry = Json::object();
  put_run(entry, place->run, place->others);
  entry["step"] = place->step;
  entry["time_s"] = place->time_s;
  return entry;
}

Json supply_json(const SupplyFigure& supply) {
  return {{"name", supply.name},
          {"zones", supply.zones},
          {"reached_kpa", json_number(supply.reached_kpa)},
          {"counted_kpa", json_number(supply.counted_kpa)},
          {"evacuation_s", optional_number(supply.evacuation_s)},
          {"timeout_s", optional_number(supply.timeout_s)},
          {"held_after_loss_s", optional_number(supply.held_after_loss_s)},
          {"weakest_factor", optional_number(supply.weakest_factor)},
          {"weakest_at", place_json(supply.weakest)},
          {"needed_to_lay_down_s", optional_number(supply.needed_to_lay_down_s)},
          {"furthest_at", place_json(supply.furthest)},
          {"air_litres", optional_number(supply.air_litres)}};
}

Json finding_json(const Finding& finding) {
  Json entry{{"check", name_of(finding.check)}, {"severity", finding.severity == Severity::fail ? "fail" : "caution"}};
  put_run(entry, finding.run, finding.others);
  entry["step"] = finding.step.empty() ? Json(nullptr) : Json(finding.step);
  entry["time_s"] = optional_number(finding.time_s);
  entry["between"] = finding.between.empty() ? Json(nullptr) : Json(finding.between);
  entry["measured"] = finding.judged ? json_number(finding.judged->measured) : Json(nullptr);
  entry["required"] = finding.judged ? optional_number(finding.judged->required) : Json(nullptr);
  entry["unit"] = finding.judged ? Json(finding.judged->unit) : Json(nullptr);
  entry["message"] = finding.message;
  entry["mend"] = finding.mend;
  entry["follows_from"] = finding.follows_from ? Json(*finding.follows_from) : Json(nullptr);
  return entry;
}

template <class Figures, class Write>
Json list_of(const Figures& figures, const Write& write) {
  Json list = Json::array();
  for (const auto& figure : figures) list.push_back(write(figure));
  return list;
}

}  // namespace

std::string report_json(const Proof& proof) {
  const Report& report = proof.report;
  const Scene& scene = *proof.scene;
  Json json;
  json["format"] = 1;
  json["cell"] = report.cell;
  json["verdict"] = report.pass ? "pass" : "fail";
  json["cycle_time_s"] = report.cycle_time_s;
  json["check_time_s"] = report.check_time_s;
  json["cautions"] = report.cautions;
  json["not_computed"] = report.not_computed;
  json["bodies"] = list_of(report.bodies, body_json);
  json["steps"] = list_of(report.steps, step_json);
  json["closest"] = list_of(report.closest, closest_json);
  json["steady"] = list_of(report.steady, [](const SteadyFigure& pair) {
    return Json{{"between", pair.between},
                {"lower_mm", json_number(pair.lower_mm)},
                {"upper_mm", json_number(pair.upper_mm)},
                {"asked_mm", pair.asked_mm}};
  });
  json["views"] = list_of(report.views, [&](const ViewFigure& view) { return view_json(scene, view); });
  json["grips"] = list_of(report.grips, grip_json);
  json["wrist"] = list_of(report.wrist, wrist_json);
  json["torques"] = list_of(report.torques, torque_json);
  json["holds"] = list_of(report.holds, hold_json);
  json["releases"] = list_of(report.releases, release_json);
  json["supplies"] = list_of(report.supplies, supply_json);
  json["controller"] = report.controller;
  json["findings"] = list_of(report.findings, finding_json);
  return json_text(json);
}

}  // namespace cellproof
