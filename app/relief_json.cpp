// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/json_pose.hpp"
#include "app/relief_output.hpp"

namespace cellproof {

namespace {

Json measured_json(const Measured& measured) {
  return {{"mm", json_number(measured.mm)}, {"at_mm", json_vector(measured.at)}};
}

Json mass_json(const std::optional<RigidMass>& mass) {
  if (!mass) return nullptr;
  return {{"kg", mass->kg}, {"com_mm", json_vector(mass->com)}};
}

Json zone_json(const ReliefZone& zone) {
  return {{"name", zone.name},
          {"area_mm2", zone.loss.area_mm2},
          {"lost_mm2", zone.loss.lost_mm2},
          {"seal_crossed", zone.loss.seal_crossed},
          {"force_before_n", zone.force_before_n},
          {"force_after_n", zone.force_after_n},
          {"force_lost_n", zone.force_before_n - zone.force_after_n},
          {"force_factor", json_number(zone.force_after_n / zone.force_before_n)}};
}

Json view_json(const Scene& scene, const CameraView& view) {
  Json json{{"targets", Json::array()}, {"blocked_by", Json::array()}};
  for (const TargetView& target : view.targets)
    json["targets"].push_back(
        {{"name", scene.cell.targets[target.target].name}, {"visible", json_number(target.visible)}});
  for (const BlockedPixels& blocked : view.blocked_by)
    json["blocked_by"].push_back(
        {{"body", scene.bodies[blocked.body].name}, {"pixels", blocked.pixels}, {"share", blocked.share}});
  return json;
}

Json look_json(const Scene& scene, const ReliefLook& look) {
  Json json{{"step", look.look.step}, {"time_s", look.look.time_s}};
  if (!look.look.run.empty()) json["run"] = look.look.run;
  json["before"] = view_json(scene, look.before);
  json["after"] = view_json(scene, look.after);
  return json;
}

}  // namespace

std::string relief_json(const ReliefAnswer& answer) {
  const Relief& relief = answer.relief;
  const Cell& cell = answer.scene.cell;
  Json json{{"format", 1},
            {"cell", cell.name},
            {"camera", cell.cameras[answer.request.camera].name},
            {"body", cell.bodies[answer.request.body].name},
            {"out", answer.out.empty() ? Json(nullptr) : Json(answer.out)},
            {"targets_only", answer.request.targets_only},
            {"margin_mm", answer.request.margin_mm},
            {"views", relief.views.size()},
            {"volume_before_mm3", relief.cut.before_mm3},
            {"volume_removed_mm3", relief.cut.removed_mm3},
            {"removed_centroid_mm", json_vector(relief.cut.removed_centroid)},
            {"deepest", measured_json(relief.deepest)},
            {"pieces_before", relief.pieces_before},
            {"pieces_mm3", relief.pieces_mm3},
            {"least_wall", relief.wall ? measured_json(*relief.wall) : Json(nullptr)},
            {"mass_before", mass_json(relief.mass_before)},
            {"mass_after", mass_json(relief.mass_after)},
            {"suction", Json::array()},
            {"touches", Json::array()},
            {"looks", Json::array()}};
  for (const ReliefZone& zone : relief.zones) json["suction"].push_back(zone_json(zone));
  for (const TouchLoss& touch : relief.touches)
    json["touches"].push_back({{"part", touch.part},
                               {"step", touch.step.empty() ? Json(nullptr) : Json(touch.step)},
                               {"grip", touch.grip},
                               {"before_mm2", touch.before_mm2},
                               {"after_mm2", touch.after_mm2}});
  for (const ReliefLook& look : relief.looks) json["looks"].push_back(look_json(answer.scene, look));
  return json_text(json);
}

}  // namespace cellproof
