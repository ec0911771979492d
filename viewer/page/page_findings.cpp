// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page/page_findings.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "viewer/finding_places.hpp"
#include "viewer/gathered_findings.hpp"
#include "viewer/page/html.hpp"
#include "viewer/pictures/moment_pictures.hpp"
#include "viewer/report_sentences.hpp"

namespace cellproof {

namespace {

/// The nearest points of the pair that a finding is about, where it is about two bodies.
std::optional<ClearanceFigure> pair_of(const Scene& scene, const Finding& finding, const Moment& moment) {
  if (finding.between.size() != 2) return std::nullopt;
  auto gap = gap_between(scene, moment, finding.between[0], finding.between[1]);
  // One inside the other touches it, however far its surface is.
  if (gap && finding.check == Check::clearance && finding.judged && finding.judged->measured <= 0)
    gap->lower_mm = gap->upper_mm = 0;
  return gap;
}

/// Shown at less than half its size: its letters are larger.
std::string still_html(const Proof& proof, StillRequest request, const std::string& shown) {
  request.letters = 21;
  return html_figure(render_still(*proof.scene, request), shown, request.detail);
}

/// The camera of the look that a moment is in, if it is in one.
CameraId camera_at(const Scene& scene, const Moment& moment) {
  if (!moment.stretch) return {};
  const auto& action = scene.cell.cycle->steps[moment.stretch->step_index].action;
  const auto* look = std::get_if<LookStep>(&action);
  return look ? id_named(scene.cell.cameras, look->camera) : CameraId{};
}

/// From near: the two bodies that a finding is about, or what the camera sees.
std::string near_html(const Proof& proof, const Finding& finding, const Moment& moment) {
  const Scene& scene = *proof.scene;
  if (finding.check == Check::sightline) {
    const CameraId camera = camera_at(scene, moment);
    if (!camera) return {};
    return html_figure(render_camera_picture(scene, camera_picture_of(scene, *proof.cycle, moment, camera)),
                       "what the camera sees", "what the camera sees");
  }
  const auto pair = pair_of(scene, finding, moment);
  if (!pair) return {};
  return still_html(proof, close_up_of(scene, *proof.cycle, moment, *pair), "the two bodies, close up");
}

/// The whole cell, and what it is about from near.
std::string pictures_html(const Proof& proof, std::size_t number) {
  const auto place = place_of_finding(proof, number);
  if (!place) return {};
  const Finding& finding = proof.report.findings[number];
  const Moment moment = moment_of(proof, place->run, place->time_s, finding.step);
  StillRequest whole = still_of(*proof.scene, *proof.cycle, moment);
  for (const BodyId body : bodies_of_finding(proof, number))
    whole.highlighted.push_back(proof.scene->bodies[body].name);
  return "<div class=\"pictures\">\n" + still_html(proof, whole, "the cell at that moment") +
         near_html(proof, finding, moment) + "</div>\n";
}

std::string card(const Proof& proof, const Gathered& gathered, bool pictures, const std::string& root) {
  const Finding& finding = proof.report.findings[gathered.worst];
  const std::string where = where_words(proof.report.findings, gathered);
  std::string html = fmt::format(
      "<article class=\"{}\">\n<h3>{}{}</h3>\n<p>{}</p>\n", finding.severity == Severity::fail ? "fails" : "care",
      html_text(name_of(finding.check)), where.empty() ? "" : ": " + html_text(where), html_text(finding.message));
  if (!finding.mend.empty()) html += fmt::format("<p class=\"change\">Change: {}</p>\n", html_text(finding.mend));
  if (!root.empty()) html += fmt::format("<p>{}</p>\n", html_text(root));
  if (pictures) html += pictures_html(proof, gathered.worst);
  return html + "</article>\n";
}

}  // namespace

std::string failures_html(const Proof& proof) {
  constexpr std::size_t most_pictured = 12;
  std::string html;
  std::size_t number = 0;
  const auto groups = gather(proof.report.findings, Severity::fail);
  for (const Gathered& gathered : groups) {
    const std::string root = root_words(proof.report.findings, groups, number);
    html += card(proof, gathered, number++ < most_pictured, root);
  }
  return html;
}

std::string cares_html(const Proof& proof) {
  std::string html;
  for (const Gathered& gathered : gather(proof.report.findings, Severity::caution))
    html += card(proof, gathered, false, "");
  return html;
}

std::string tightest_html(const Proof& proof) {
  const StepFigure* step = tightest_step(proof.report);
  if (!step) return {};
  const auto run = run_named(*proof.cycle, step->run, step->others);
  if (!run) return {};
  const Moment moment = moment_of(proof, *run, step->clearance->time_s, step->name);
  StillRequest whole = still_of(*proof.scene, *proof.cycle, moment);
  whole.highlighted.assign(step->clearance->between.begin(), step->clearance->between.end());
  return "<div class=\"pictures\">\n" + still_html(proof, whole, "the cell at that moment") +
         still_html(proof, close_up_of(*proof.scene, *proof.cycle, moment, *step->clearance),
                    "the two bodies, close up") +
         "</div>\n";
}

}  // namespace cellproof
