// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/report_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "viewer/finding_places.hpp"
#include "viewer/gathered_findings.hpp"
#include "viewer/report_sentences.hpp"
#include "viewer/seat_results.hpp"

namespace cellproof {

std::string printable(std::string text) {
  std::replace_if(
      text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }, ' ');
  return text;
}

namespace {

constexpr std::size_t page_width = 118;

/// Columns that a UTF-8 text takes, at one a character.
std::size_t columns_of(const std::string& text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xc0) != 0x80; }));
}

/// Folds a sentence at spaces; further lines begin with `indent`.
std::string folded(const std::string& first, const std::string& indent, const std::string& raw_sentence) {
  const std::string sentence = printable(raw_sentence);
  std::string text, line = first;
  std::size_t from = 0;
  while (from < sentence.size()) {
    const std::size_t space = std::min(sentence.find(' ', from), sentence.size());
    const std::string word = sentence.substr(from, space - from);
    if (columns_of(line) + columns_of(word) + 1 > page_width && line.size() > indent.size()) {
      text += line + "\n";
      line = indent;
    }
    if (line.size() > indent.size() && line.back() != ' ') line += ' ';
    line += word;
    from = space + 1;
  }
  return text + line + "\n";
}

std::string findings_text(const std::vector<Finding>& findings, Severity severity, const char* title) {
  const auto gathered = gather(findings, severity);
  if (gathered.empty()) return {};
  std::string text = fmt::format("\n{}\n", title);
  std::size_t number = 0;
  for (const auto& entry : gathered) {
    const Finding& worst = findings[entry.worst];
    const std::string where = where_words(findings, entry);
    text += folded(fmt::format(" {:>2}. ", ++number), "     ",
                   fmt::format("{}{}{}", name_of(worst.check), where.empty() ? "" : ": ", where));
    text += folded("     ", "     ", worst.message);
    if (!worst.mend.empty()) text += folded("     change: ", "             ", worst.mend);
    const std::string root = root_words(findings, gathered, number - 1);
    if (!root.empty()) text += folded("     ", "     ", root);
  }
  return text;
}

constexpr std::size_t widest_step_column = 40;

std::size_t step_column(const Report& report, const std::string& run) {
  std::size_t width = 4;
  for (const auto& step : report.steps)
    if (step.run == run) width = std::max(width, columns_of(step.name));
  return std::min(width, widest_step_column);
}

/// One line a step; a pair of long names goes to lines of its own.
std::string step_line(const Report& report, const StepFigure& step, std::size_t width) {
  std::string line = fmt::format(" {} {:>7.2f}  {:<{}.{}}  {:<7}  {:>7}  {:>7}  {:>8}",
                                 fails_in(report, step) ? '*' : ' ', step.start_s, printable(step.name), width, width,
                                 kind_name(step.kind), gap_words(step), own_gap_words(step), room_words(step));
  if (!step.to_surroundings) return line + "\n";
  const auto& pair = step.to_surroundings->between;
  const std::string between = printable(fmt::format("{} / {}", pair[0], pair[1]));
  if (columns_of(line) + 2 + columns_of(between) <= page_width) return line + "  " + between + "\n";
  const std::string indent(12, ' ');
  return line + "\n" + folded(indent + "between ", indent + "  ", between);
}

std::string steps_text(const Proof& proof, const std::string& run, const std::string& others) {
  const Report& report = proof.report;
  const std::size_t width = step_column(report, run);
  std::string text = folded(
      "", "",
      fmt::format(
          "STEPS{}: least gap over each whole move, not at samples, to what stands about the arm, and of its own: "
          "among arm, end effector and part in hand; room to the nearest joint limit; * fails",
          run.empty() ? "" : " of " + run + filling_words(others)));
  text += fmt::format("    from s  {:<{}}  kind      gap mm   own mm  room deg  gap between\n", "step", width);
  for (const auto& step : report.steps)
    if (step.run == run && step.others == others) text += step_line(report, step, width);
  if (const auto number = run_named(*proof.cycle, run, others))
    if (const auto& failure = proof.cycle->runs[*number].failure)
      text += folded("  ", "  ", fmt::format("the cycle stops at \"{}\", which can't be run", failure->step));
  return "\n" + text;
}

std::string views_text(const Proof& proof, const std::string& run, const std::string& others) {
  std::string text;
  for (const auto& figure : proof.report.views) {
    if (figure.run != run || figure.others != others) continue;
    const ViewSentences view = view_sentences(*proof.scene, figure);
    text += folded("  ", "    ", view.head);
    for (const auto& target : view.targets) text += folded("    ", "      ", target);
    for (const auto& blocker : view.blockers) text += folded("    ", "      ", blocker);
  }
  return text.empty() ? text : "\nVIEWS\n" + text;
}

std::string sentences_text(const char* title, const std::vector<std::string>& sentences) {
  std::string text;
  for (const std::string& sentence : sentences) text += folded("  ", "    ", sentence);
  return text.empty() ? text : fmt::format("\n{}\n{}", title, text);
}

std::string seats_text(const std::vector<SeatResult>& seats) {
  std::size_t width = 4;
  for (const auto& seat : seats) width = std::max(width, columns_of(seat.run));
  std::string text =
      fmt::format("\nSEATS, worst first\n  {:<{}}          gap mm   time s  fails first\n", "seat", width);
  for (const auto& seat : seats) {
    const std::string gap = std::isfinite(seat.gap_mm) ? fmt::format("{:.1f}", seat.gap_mm) : "-";
    const std::string start = fmt::format("  {:<{}}  {:<4}  {:>8} {:>8.2f}", printable(seat.run), width,
                                          seat.fails ? "FAIL" : "pass", gap, seat.duration_s);
    text +=
        seat.first.empty() ? start + "\n" : folded(start + "  ", std::string(columns_of(start) + 2, ' '), seat.first);
  }
  return text;
}

std::string closest_text(const Report& report) {
  if (report.closest.empty()) return {};
  std::string text = "\nCLOSEST pairs of the cycle, mm: proven to be no nearer than, found as near as\n";
  for (const auto& pair : report.closest) {
    const std::string line = fmt::format("  {:>7.2f} {:>7.2f}  ", pair.lower_mm, pair.upper_mm);
    text += folded(line, std::string(line.size() + 2, ' '), closest_words(pair));
  }
  return text;
}

std::string steady_text(const Report& report) {
  if (report.steady.empty()) return {};
  std::string text =
      "\nSTEADY pairs, which the arm moves and whose distance hardly changes over the cycle, mm: no nearer than, no "
      "further "
      "than\n";
  for (const auto& pair : report.steady) {
    const std::string line = fmt::format("  {:>7.2f} {:>7.2f}  ", pair.lower_mm, pair.upper_mm);
    text += folded(line, std::string(line.size() + 2, ' '), steady_words(pair));
  }
  return text;
}

std::string list_text(const char* title, const std::vector<std::string>& list) {
  if (list.empty()) return {};
  std::string text = fmt::format("\n{}\n", title);
  for (const auto& entry : list) text += folded("  - ", "    ", entry);
  return text;
}

}  // namespace

std::string report_text(const Proof& proof) {
  const Report& report = proof.report;
  const auto seats = seat_results(proof);
  const std::string shown = seats.empty() ? "" : seats.front().run;
  std::string text;
  for (const auto& sentence : verdict_sentences(proof, seats)) text += folded("", "", sentence);
  text += findings_text(report.findings, Severity::fail, "FAILS");
  if (seats.size() > 1) text += seats_text(seats);
  text += findings_text(report.findings, Severity::caution, "TAKE CARE");
  const std::string others = worst_filling(report, shown);
  if (!report.steps.empty())
    text += steps_text(proof, shown, others) +
            sentences_text("CONFIGURATIONS at the end of moves", configuration_sentences(report, shown, others));
  text += closest_text(report) + steady_text(report);
  text += views_text(proof, shown, others);
  text += sentences_text("GRIP: force over what gravity and motion demand, the least of all carries",
                         grip_sentences(report));
  text += sentences_text("WRIST, the greatest of all steps", wrist_sentences(report));
  text += sentences_text("HOLD: force over what the cut demands", hold_sentences(report));
  text += sentences_text("RELEASE: what holds a part that lies by itself", release_sentences(report));
  text += sentences_text("VACUUM: what each supply reaches, and how long it keeps a part", supply_sentences(report));
  text += list_text("THE CONTROLLER MUST", report.controller);
  text += list_text("NOT COMPUTED", report.not_computed);
  text += list_text("CAUTIONS", report.cautions);
  return text;
}

}  // namespace cellproof
