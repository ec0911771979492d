// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/survey_output.hpp"

#include <fmt/format.h>

#include "app/csv_field.hpp"
#include "app/json_pose.hpp"

namespace cellproof {

namespace {

/// mm and deg; -0 is 0.
double plain(double value) {
  return value == 0 ? 0 : value;
}

void put_placement(Json& entry, const Placement& placement) {
  entry["x"] = plain(placement.offset.x());
  entry["y"] = plain(placement.offset.y());
  entry["z"] = plain(placement.offset.z());
  entry["yaw"] = plain(degrees(placement.yaw));
}

Json text_or_null(const std::string& text) {
  return text.empty() ? Json(nullptr) : Json(text);
}

Json number_or_null(const std::optional<double>& value) {
  return value ? json_number(*value) : Json(nullptr);
}

Json spot_json(const SurveyGrid& grid, const Spot& spot) {
  const auto placements = grid.placements(spot.index);
  Json entry;
  put_placement(entry, placements.front());
  if (placements.size() > 1) put_placement(entry["with"], placements[1]);
  entry["verdict"] = spot.verdict.pass ? "pass" : "fail";
  entry["reason"] = text_or_null(spot.verdict.reason);
  entry["step"] = text_or_null(spot.verdict.step);
  entry["score"] = number_or_null(spot.verdict.score);
  entry["cycle_time_s"] = number_or_null(spot.verdict.cycle_time_s);
  return entry;
}

std::string number_field(const std::optional<double>& value) {
  return value ? fmt::format("{}", *value) : "";
}

std::string placement_fields(const Placement& placement) {
  return fmt::format("{},{},{},{}", plain(placement.offset.x()), plain(placement.offset.y()),
                     plain(placement.offset.z()), plain(degrees(placement.yaw)));
}

}  // namespace

std::string survey_json(const SurveyResult& result) {
  Json report;
  report["survey"] = result.survey;
  report["spots"] = Json::array();
  for (const Spot& spot : result.spots) report["spots"].push_back(spot_json(result.grid, spot));
  report["best"] = result.best ? Json(*result.best) : Json(nullptr);
  report["slack_mm"] = number_or_null(result.slack_mm);
  report["front"] = result.front;
  return json_text(report);
}

std::string survey_csv(const SurveyResult& result) {
  const bool two = result.grid.movers.size() > 1;
  std::string text = fmt::format("x_mm,y_mm,z_mm,yaw_deg,{}verdict,reason,step,score,cycle_time_s\r\n",
                                 two ? "with_x_mm,with_y_mm,with_z_mm,with_yaw_deg," : "");
  for (const Spot& spot : result.spots) {
    for (const Placement& placement : result.grid.placements(spot.index)) text += placement_fields(placement) + ",";
    text += fmt::format("{},{},{},{},{}\r\n", spot.verdict.pass ? "pass" : "fail", csv_field(spot.verdict.reason),
                        csv_field(spot.verdict.step), number_field(spot.verdict.score),
                        number_field(spot.verdict.cycle_time_s));
  }
  return text;
}

}  // namespace cellproof
