// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page/page.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "viewer/finding_places.hpp"
#include "viewer/page/html.hpp"
#include "viewer/page/html_table.hpp"
#include "viewer/page/page_curve.hpp"
#include "viewer/page/page_findings.hpp"
#include "viewer/page/page_style.hpp"
#include "viewer/pictures/hold_map.hpp"
#include "viewer/pictures/moment_pictures.hpp"
#include "viewer/report_sentences.hpp"
#include "viewer/seat_results.hpp"

namespace cellproof {

namespace {

/// The run that is shown step by step: the worst seat with its worst filling.
struct Shown {
  std::string run, others;
  std::size_t number = 0;  ///< into the cycle's runs

  template <class Figure>
  bool is_of(const Figure& figure) const {
    return figure.run == run && figure.others == others;
  }
};

Shown shown_run(const Proof& proof, const std::vector<SeatResult>& seats) {
  Shown shown{seats.front().run, worst_filling(proof.report, seats.front().run)};
  shown.number = run_named(*proof.cycle, shown.run, shown.others).value_or(0);
  return shown;
}

std::string head_html(const Proof& proof, const std::vector<SeatResult>& seats) {
  const Report& report = proof.report;
  const auto sentences = verdict_sentences(proof, seats);
  std::string html =
      fmt::format("<h1>{}</h1>\n<p class=\"verdict {}\">{}{}</p>\n", html_text(report.cell),
                  report.pass ? "pass" : "fail", report.pass ? "PASS" : "FAIL", html_text(count_words(proof, seats)));
  for (std::size_t i = 1; i < sentences.size(); ++i) html += fmt::format("<p>{}</p>\n", html_text(sentences[i]));
  return html;
}

std::string seats_html(const std::vector<SeatResult>& seats) {
  if (seats.size() < 2) return {};
  HtmlTable table({{"seat"}, {""}, {"gap mm", true}, {"time s", true}, {"fails first"}});
  for (const SeatResult& seat : seats)
    table.add(
        {seat.run, seat.fails ? "FAIL" : "pass", std::isfinite(seat.gap_mm) ? fmt::format("{:.1f}", seat.gap_mm) : "-",
         fmt::format("{:.2f}", seat.duration_s), seat.first},
        seat.fails > 0);
  return table.html();
}

/// Numbers are those of the curve: one a step of the cell file, at its first row.
std::string steps_html(const Proof& proof, const Shown& shown, const Timeline& timeline) {
  HtmlTable table({{"", true},
                   {"from s", true},
                   {"step"},
                   {"kind"},
                   {"gap mm", true},
                   {"own mm", true},
                   {"room deg", true},
                   {"between"}});
  std::size_t begun = 0;
  for (const StepFigure& step : proof.report.steps) {
    if (!shown.is_of(step)) continue;
    const bool begins = begun < timeline.steps.size() && timeline.steps[begun].name == step.name &&
                        step.start_s >= timeline.steps[begun].start_s - 1e-9;
    if (begins) ++begun;
    table.add({begins ? std::to_string(begun) : "", fmt::format("{:.2f}", step.start_s), step.name,
               std::string(kind_name(step.kind)), gap_words(step), own_gap_words(step), room_words(step),
               step.to_surroundings ? step.to_surroundings->between[0] + " / " + step.to_surroundings->between[1] : ""},
              fails_in(proof.report, step));
  }
  return table.html();
}

std::string cycle_html(const Proof& proof, const Shown& shown) {
  const Timeline timeline = timeline_of(proof, shown.number);
  const std::string curve = curve_svg(timeline, gap_plot(proof, timeline));
  std::string html;
  if (!curve.empty())
    html += fmt::format(
        "{}<p>No checked pair is nearer than the line, at any instant; the shade goes up to where one was found. "
        "Steps by their numbers below; waits are drawn at most {:g} s long.</p>\n",
        curve, longest_still_s);
  const CycleRun& run = proof.cycle->runs[shown.number];
  html += "<p>Gap: to what stands about the arm. Own: among arm, end effector and part in hand.</p>\n";
  html +=
      steps_html(proof, shown, timeline) + html_list(configuration_sentences(proof.report, shown.run, shown.others));
  if (run.failure)
    html += fmt::format("<p>The cycle stops at \"{}\", which can't be run.</p>\n", html_text(run.failure->step));
  return html;
}

std::string closest_html(const Report& report) {
  HtmlTable table({{"no nearer than, mm", true}, {"found at, mm", true}, {"pair, and where"}});
  for (const ClosestFigure& pair : report.closest)
    table.add({fmt::format("{:.2f}", pair.lower_mm), fmt::format("{:.2f}", pair.upper_mm), closest_words(pair)});
  std::string html = table.html();
  if (report.steady.empty()) return html;
  HtmlTable steady({{"no nearer than, mm", true},
                    {"no further than, mm", true},
                    {"what the arm moves and hardly changes over the cycle"}});
  for (const SteadyFigure& pair : report.steady)
    steady.add({fmt::format("{:.2f}", pair.lower_mm), fmt::format("{:.2f}", pair.upper_mm), steady_words(pair)});
  return html + steady.html();
}

std::string views_html(const Proof& proof, const Shown& shown) {
  std::string html;
  for (const ViewFigure& figure : proof.report.views) {
    if (!shown.is_of(figure)) continue;
    const ViewSentences words = view_sentences(*proof.scene, figure);
    const auto& stretches = proof.cycle->runs[shown.number].stretches;
    const auto look = std::ranges::find_if(stretches, [&](const Stretch& stretch) {
      return stretch.kind == StretchKind::look && stretch.step == figure.step;
    });
    html += fmt::format("<h3>{}</h3>\n", html_text(words.head)) + html_list(words.targets) + html_list(words.blockers);
    if (look == stretches.end()) continue;
    const Moment moment = moment_of(proof, shown.number, look->start_s, look->step);
    html += "<div class=\"pictures\">\n" +
            html_figure(render_camera_picture(
                            *proof.scene, camera_picture_of(*proof.scene, *proof.cycle, moment, figure.view.camera)),
                        "what the camera sees", moment_words(*proof.cycle, moment)) +
            "</div>\n";
  }
  return html;
}

/// What each fixture holds, and the maps of those that the shown run has maps of.
std::string holds_html(const Proof& proof, const Shown& shown) {
  const CycleRun& run = proof.cycle->runs[shown.number];
  std::string maps;
  for (const HoldId hold : ids_of(proof.scene->cell.holds)) {
    const auto map = hold_map_of(*proof.scene, run, hold);
    if (!map) continue;
    const std::string& name = proof.scene->cell.holds[hold].name;
    maps += html_figure(render_hold_map(*map), "how many times the cut is held at each place",
                        fmt::format("'{}' from above: how many times the cut is held at each place", name));
  }
  std::string html = html_list(hold_sentences(proof.report));
  if (!maps.empty()) html += "<div class=\"pictures\">\n" + maps + "</div>\n";
  return html;
}

std::string bodies_html(const Report& report) {
  HtmlTable table({{"body"}, {"kind"}, {"size mm", true}, {"triangles", true}, {"closed"}});
  for (const BodyFigure& body : report.bodies) {
    const Vector3d size = body.box.high - body.box.low;
    table.add({body.name, std::string(kind_name(body.kind)),
               fmt::format("{:.1f} x {:.1f} x {:.1f}", size.x(), size.y(), size.z()), std::to_string(body.triangles),
               body.closed ? "yes" : "no"});
  }
  return table.html();
}

std::string shown_html(const Proof& proof, const Shown& shown) {
  const Report& report = proof.report;
  const std::string of = shown.run.empty() ? "" : ", " + shown.run + filling_words(shown.others);
  return html_section("The gap along the cycle" + of, cycle_html(proof, shown)) +
         html_section("The closest pairs of the cycle", closest_html(report)) +
         html_section("What the cameras see" + of, views_html(proof, shown)) +
         html_section("Grip: force over what gravity and motion demand, the least of all carries",
                      html_list(grip_sentences(report))) +
         html_section("Wrist, the greatest of all steps", html_list(wrist_sentences(report))) +
         html_section("Hold: force over what the cut demands", holds_html(proof, shown)) +
         html_section("Release: what holds a part that lies by itself", html_list(release_sentences(report))) +
         html_section("Vacuum: what each supply reaches, and how long it keeps a part",
                      html_list(supply_sentences(report)));
}

}  // namespace

std::string page_of(const Proof& proof) {
  const Report& report = proof.report;
  const auto seats = seat_results(proof);
  std::string html = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n";
  html += fmt::format("<title>{}: {}</title>\n", html_text(report.cell), report.pass ? "PASS" : "FAIL");
  html += page_style() + "</head>\n<body>\n" + head_html(proof, seats);
  html += html_section("Fails", failures_html(proof));
  if (report.pass) html += html_section("Where it is tightest", tightest_html(proof));
  html += html_section("Seats, worst first", seats_html(seats));
  html += html_section("Take care", cares_html(proof));
  if (!seats.empty()) html += shown_html(proof, shown_run(proof, seats));
  html += html_section("The controller must", html_list(report.controller));
  html += html_section("Not computed", html_list(report.not_computed));
  html += html_section("Cautions", html_list(report.cautions));
  html += html_section("Bodies", bodies_html(report));
  return html + "</body>\n</html>\n";
}

}  // namespace cellproof
