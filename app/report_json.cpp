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

Json target_json(const Scene& scene, const TargetView& target) {
  Json blocked = Json::array();
  for (const auto& by : target.blocked_by)
    blocked.push_back({{"body", scene.bodies[static_cast<std::size_t>(by.body)].name}, {"share", by.share}});
  return {{"name", scene.cell.targets[static_cast<std::size_t>(target.target)].name},
          {"in_frame", target.in_frame},
          {"visible", target.visible},
          {"facing_deg", degrees(target.facing)},
          {"mm_per_pixel", json_number(target.mm_per_pixel)},
          {"in_focus", target.in_focus ? Json(*target.in_focus) : Json(nullptr)},
          {"blocked_by", blocked}};
}

Json view_json(const Scene& scene, const ViewFigure& figure) {
  Json entry{{"camera", scene.cell.cameras[static_cast<std::size_t>(figure.view.camera)].name}};
  put_run(entry, figure.run, figure.others);
  entry["step"] = figure.step;
  entry["targets"] = Json::array();
  for (const auto& target : figure.view.targets) entry["targets"].push_back(target_json(scene, target));
  entry["blocked_by"] = Json::array();
  for (const auto& by : figure.view.blocked_by)
    entry["blocked_by"].push_back(
        {{"body", scene.bodies[static_cast<std::size_t>(by.body)].name}, {"pixels", by.pixels}, {"share", by.share}});
  return entry;
}

Json finding_json(const Finding& finding) {
  Json entry{{"check", finding.check}, {"severity", finding.severity == Severity::fail ? "fail" : "caution"}};
  put_run(entry, finding.run, finding.others);
  entry["step"] = finding.step.empty() ? Json(nullptr) : Json(finding.step);
  entry["time_s"] = optional_number(finding.time_s);
  entry["between"] = finding.between.empty() ? Json(nullptr) : Json(finding.between);
  entry["measured"] = optional_number(finding.measured);
  entry["required"] = optional_number(finding.required);
  entry["message"] = finding.message;
  entry["mend"] = finding.mend;
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
  json["views"] = list_of(report.views, [&](const ViewFigure& view) { return view_json(scene, view); });
  json["grips"] = Json::array();
  json["wrist"] = Json::array();
  json["holds"] = Json::array();
  json["findings"] = list_of(report.findings, finding_json);
  return json.dump(2) + "\n";
}

}  // namespace cellproof
