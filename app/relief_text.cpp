// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <filesystem>

#include <fmt/format.h>

#include "app/relief_output.hpp"

namespace cellproof {

namespace {

const Body& body_of(const ReliefAnswer& answer) {
  return answer.scene.cell.bodies[answer.request.body];
}

const Camera& camera_of(const ReliefAnswer& answer) {
  return answer.scene.cell.cameras[answer.request.camera];
}

std::string place_text(const Vector3d& at) {
  const auto tidy = [](double value) { return std::abs(value) < 5e-3 ? 0.0 : value; };
  return fmt::format("({:.2f}, {:.2f}, {:.2f})", tidy(at.x()), tidy(at.y()), tidy(at.z()));
}

std::string line(const std::string& name, const std::string& text) {
  return fmt::format("  {:<15} {}\n", name, text);
}

std::string view_text(const ReliefAnswer& answer) {
  const Camera& camera = camera_of(answer);
  std::string text = camera.lens_radius > 0
                         ? fmt::format("from the lens's front, {:g} mm in radius, ", camera.lens_radius)
                         : std::string("from the lens's middle ");
  if (!answer.request.targets_only)
    text += fmt::format("to the picture's outline at {:g} mm", camera.far_mm);
  else
    text += fmt::format("to the targets that it looks at, {} in all", answer.relief.views.size());
  if (answer.request.margin_mm > 0) text += fmt::format(", grown by {:g} mm", answer.request.margin_mm);
  return text;
}

std::string pieces_text(const Relief& relief) {
  if (relief.pieces_mm3.size() == relief.pieces_before)
    return relief.pieces_before == 1 ? "one, as before" : fmt::format("{}, as before", relief.pieces_before);
  std::string text = fmt::format("{} where there {} {}:", relief.pieces_mm3.size(),
                                 relief.pieces_before == 1 ? "was" : "were", relief.pieces_before);
  constexpr std::size_t most = 6;
  for (std::size_t i = 0; i < std::min(most, relief.pieces_mm3.size()); ++i)
    text += fmt::format("{} {:.1f}", i ? "," : "", relief.pieces_mm3[i]);
  return text + (relief.pieces_mm3.size() > most ? " … mm^3" : " mm^3");
}

std::string wall_text(const Relief& relief) {
  if (!relief.wall) return "none stands behind the cut";
  return fmt::format(
      "{:.2f} mm at {}: straight in from the cut to a surface that faces away to within 30 deg, at points "
      "{:.2g} mm apart",
      relief.wall->mm, place_text(relief.wall->at), relief.wall_spacing_mm);
}

std::string mass_text(const Relief& relief) {
  if (!relief.mass_before) return line("mass", "not known: the body has neither mass nor density");
  return line("mass", fmt::format("{:.4g} kg before, {:.4g} kg after, its matter taken as even", relief.mass_before->kg,
                                  relief.mass_after->kg)) +
         line("centre of mass", fmt::format("{} before, {} after", place_text(relief.mass_before->com),
                                            place_text(relief.mass_after->com)));
}

std::string zones_text(const Relief& relief) {
  if (relief.zones.empty()) return line("suction", "no zone loses area");
  std::string text;
  for (const ReliefZone& zone : relief.zones)
    text += line("suction",
                 fmt::format("'{}' loses {:.1f} of {:.1f} mm^2: {:.2f} N, it holds {:.3f} times what it did{}",
                             zone.name, zone.loss.lost_mm2, zone.loss.area_mm2,
                             zone.force_before_n - zone.force_after_n, zone.force_after_n / zone.force_before_n,
                             zone.loss.seal_crossed ? "; the cut crosses its seal, which has to be led round it" : ""));
  return text;
}

/// Pads, cups and faces that parts lie on.
std::string touches_text(const ReliefAnswer& answer) {
  std::string text;
  for (const TouchLoss& touch : answer.relief.touches)
    text +=
        line(touch.grip ? "pads" : "rests",
             fmt::format("'{}' {} '{}' {} on {:.1f} mm^2 in place of {:.1f}{}", body_of(answer).name,
                         touch.grip ? "meets" : "carries", touch.part,
                         touch.step.empty() ? "at the start" : fmt::format("at \"{}\"", touch.step), touch.after_mm2,
                         touch.before_mm2, touch.after_mm2 == 0 ? ": nothing of it touches any more" : ""));
  return text.empty() ? line("touched", "no face that a part touches is cut") : text;
}

double picture_share(const CameraView& view, BodyId body) {
  const auto found = std::find_if(view.blocked_by.begin(), view.blocked_by.end(),
                                  [&](const BlockedPixels& blocked) { return blocked.body == body; });
  return found == view.blocked_by.end() ? 0 : found->share;
}

/// What is still in the way.
std::string blockers_text(const Scene& scene, const TargetView& view) {
  std::string text;
  for (const BlockedShare& blocked : view.blocked_by)
    text += fmt::format("{}'{}' covers {:.1f} %", text.empty() ? "; " : ", ", scene.bodies[blocked.body].name,
                        100 * blocked.share);
  return text;
}

std::string look_text(const ReliefAnswer& answer, const ReliefLook& look) {
  std::string text = fmt::format("  step \"{}\"\n", look.look.step);
  for (std::size_t i = 0; i < look.before.targets.size(); ++i) {
    const TargetView &before = look.before.targets[i], &after = look.after.targets[i];
    text += fmt::format("    '{}': {:.1f} % visible before, {:.1f} % after{}\n",
                        answer.scene.cell.targets[before.target].name, 100 * before.visible, 100 * after.visible,
                        blockers_text(answer.scene, after));
  }
  const BodyId body = body_in(answer.scene, answer.request);
  return text + fmt::format("    '{}' takes {:.2f} % of the picture before, {:.2f} % after\n", body_of(answer).name,
                            100 * picture_share(look.before, body), 100 * picture_share(look.after, body));
}

/// Seats whose look reads the same are told once.
std::string looks_text(const ReliefAnswer& answer) {
  if (answer.relief.looks.empty()) return "\nThe cycle comes to no look of this camera: no sightline to run again.\n";
  std::vector<std::pair<std::string, std::vector<std::string>>> told;
  for (const ReliefLook& look : answer.relief.looks) {
    std::string text = look_text(answer, look);
    auto known = std::find_if(told.begin(), told.end(), [&](const auto& entry) { return entry.first == text; });
    if (known == told.end()) known = told.insert(told.end(), {std::move(text), {}});
    if (known->second.empty() || known->second.back() != look.look.run) known->second.push_back(look.look.run);
  }
  std::string text = "\nSIGHTLINE, run again on what is left\n";
  for (const auto& [words, runs] : told) {
    const std::size_t at = words.find('\n');
    const std::string seats = runs.front().empty() ? ""
                              : runs.size() == 1
                                  ? fmt::format(", {}", runs.front())
                                  : fmt::format(", {} to {}: {} seats", runs.front(), runs.back(), runs.size());
    text += words.substr(0, at) + seats + words.substr(at);
  }
  return text;
}

/// What to write in the cell file to have it there.
std::string use_text(const ReliefAnswer& answer) {
  const auto* source = std::get_if<MeshSource>(&body_of(answer).shape);
  const auto beside = std::filesystem::absolute(answer.scene.cell.file).parent_path();
  const auto file = std::filesystem::proximate(std::filesystem::absolute(answer.out), beside);
  std::string keys = fmt::format("mesh = \"{}\"", file.string());
  if (!answer.request.as_step)
    keys += fmt::format(", mesh_unit = \"{}\"", source && source->unit_mm ? source->unit_name : "mm");
  else if (!source->solid.empty() && answer.relief.pieces_mm3.size() == 1)
    keys += fmt::format(", solid = \"{}\"", source->solid);
  return fmt::format("\nWritten to {}, in the frame of '{}'. To prove the cell with it, write {} there.\n", answer.out,
                     body_of(answer).name, keys);
}

std::string lens_caution(const ReliefAnswer& answer) {
  const double beside = view_beside_lens(camera_of(answer));
  if (beside == 0 || answer.request.targets_only) return {};
  return fmt::format(
      "\nCaution: at its front, {:g} mm ahead of the optical centre, the picture reaches {:.2f} mm beyond lens_radius: "
      "what stands right beside the lens is not cut. Give the camera its true lens_radius.\n",
      camera_of(answer).front, beside);
}

}  // namespace

std::string relief_text(const ReliefAnswer& answer) {
  const Relief& relief = answer.relief;
  std::string text = fmt::format("{}, relief of '{}' for '{}'\n", answer.scene.cell.name, body_of(answer).name,
                                 camera_of(answer).name);
  text += line("cut free", view_text(answer));
  text += line("removed", fmt::format("{:.2f} mm^3 of {:.2f} mm^3, {:.2f} %", relief.cut.removed_mm3,
                                      relief.cut.before_mm3, 100 * relief.cut.removed_mm3 / relief.cut.before_mm3));
  text += line("deepest",
               fmt::format("{:.2f} mm under the old surface at {}", relief.deepest.mm, place_text(relief.deepest.at)));
  text += line("pieces", pieces_text(relief));
  text += line("least wall", wall_text(relief));
  text += mass_text(relief) + zones_text(relief) + touches_text(answer) + looks_text(answer) + lens_caution(answer);
  if (!answer.out.empty()) text += use_text(answer);
  return text;
}

}  // namespace cellproof
