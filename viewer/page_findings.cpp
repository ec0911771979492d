// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page_findings.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "checks/instant.hpp"
#include "scene/named_entry.hpp"
#include "viewer/finding_places.hpp"
#include "viewer/gathered_findings.hpp"
#include "viewer/html.hpp"
#include "viewer/moment_pictures.hpp"
#include "viewer/report_sentences.hpp"

namespace cellproof {

namespace {

bool same_pair(const std::array<std::string, 2>& pair, const std::vector<std::string>& names) {
  return names.size() == 2 &&
         ((pair[0] == names[0] && pair[1] == names[1]) || (pair[0] == names[1] && pair[1] == names[0]));
}

/// The nearest points of the pair that a finding is about, where they are known.
std::optional<ClearanceFigure> pair_of(const Proof& proof, const Finding& finding, const Moment& moment) {
  constexpr double same_time_s = 1e-6;
  for (const StepFigure& step : proof.report.steps)
    if (step.run == finding.run && step.others == finding.others && step.clearance &&
        same_pair(step.clearance->between, finding.between) &&
        std::abs(step.clearance->time_s - moment.time_s) < same_time_s)
      return step.clearance;
  auto nearest = instant_clearance(*proof.scene, *moment.stretch, moment.time_s);
  if (nearest && same_pair(nearest->between, finding.between)) return nearest;
  return std::nullopt;
}

std::string still_html(const Proof& proof, const StillRequest& request, const std::string& shown) {
  return html_figure(render_still(*proof.scene, request), shown, request.detail);
}

/// The camera of the look that a moment is in; -1 if it is in none.
int camera_at(const Scene& scene, const Moment& moment) {
  const auto& action = scene.cell.cycle->steps[static_cast<std::size_t>(moment.stretch->step_index)].action;
  const auto* look = std::get_if<LookStep>(&action);
  return look ? index_named(scene.cell.cameras, look->camera) : -1;
}

/// The whole cell, and close up what the finding is about: the two bodies, or what the camera sees.
std::string pictures_html(const Proof& proof, std::size_t number) {
  const auto place = place_of_finding(proof, number);
  if (!place) return {};
  const Finding& finding = proof.report.findings[number];
  const Scene& scene = *proof.scene;
  const Moment moment = moment_of(proof, place->run, place->time_s, finding.step);
  if (!moment.stretch) return {};
  StillRequest whole = still_of(scene, *proof.cycle, moment);
  for (const int body : bodies_of_finding(proof, number))
    whole.highlighted.push_back(scene.bodies[static_cast<std::size_t>(body)].name);
  std::string html;
  if (finding.check == "sightline") {
    whole.pairs.clear();
    if (const int camera = camera_at(scene, moment); camera >= 0)
      html += html_figure(render_camera_picture(scene, camera_picture_of(scene, *proof.cycle, moment, camera)),
                          "what the camera sees", "what the camera sees");
  } else if (const auto pair = pair_of(proof, finding, moment); pair && pair->points[0].allFinite()) {
    html += still_html(proof, close_up_of(scene, *proof.cycle, moment, *pair), "the two bodies, close up");
    whole.pairs = {};
  }
  return still_html(proof, whole, "the cell at that moment") + html;
}

std::string card(const Proof& proof, const Gathered& gathered, bool pictures) {
  const Finding& finding = proof.report.findings[gathered.worst];
  const std::string where = where_words(proof.report.findings, gathered);
  std::string html = fmt::format("<article class=\"{}\">\n<h3>{}{}</h3>\n<p>{}</p>\n",
                                 finding.severity == Severity::fail ? "fails" : "care", html_text(finding.check),
                                 where.empty() ? "" : ": " + html_text(where), html_text(finding.message));
  if (!finding.mend.empty()) html += fmt::format("<p class=\"change\">Change: {}</p>\n", html_text(finding.mend));
  if (pictures) html += "<div class=\"pictures\">\n" + pictures_html(proof, gathered.worst) + "</div>\n";
  return html + "</article>\n";
}

}  // namespace

std::string failures_html(const Proof& proof) {
  constexpr std::size_t most_pictured = 12;
  std::string html;
  std::size_t number = 0;
  for (const Gathered& gathered : gather(proof.report.findings, Severity::fail))
    html += card(proof, gathered, number++ < most_pictured);
  return html;
}

std::string cares_html(const Proof& proof) {
  std::string html;
  for (const Gathered& gathered : gather(proof.report.findings, Severity::caution))
    html += card(proof, gathered, false);
  return html;
}

std::string tightest_html(const Proof& proof) {
  const StepFigure* step = tightest_step(proof.report);
  if (!step) return {};
  const auto& runs = proof.cycle->runs;
  const auto run = std::ranges::find_if(runs, [&](const CycleRun& candidate) {
    return candidate.name == step->run && (step->others.empty() || candidate.others == step->others);
  });
  if (run == runs.end()) return {};
  const Moment moment =
      moment_of(proof, static_cast<std::size_t>(run - runs.begin()), step->clearance->time_s, step->name);
  StillRequest whole = still_of(*proof.scene, *proof.cycle, moment);
  whole.highlighted.assign(step->clearance->between.begin(), step->clearance->between.end());
  whole.pairs.clear();
  return "<div class=\"pictures\">\n" + still_html(proof, whole, "the cell at that moment") +
         still_html(proof, close_up_of(*proof.scene, *proof.cycle, moment, *step->clearance),
                    "the two bodies, close up") +
         "</div>\n";
}

}  // namespace cellproof
