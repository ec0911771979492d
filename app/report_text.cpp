// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/report_text.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include <fmt/format.h>

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

/// Findings that say the same of the same things, in one run or many: the worst speaks for all.
struct Gathered {
  const Finding* worst;
  std::size_t times = 1;
  std::vector<std::string> runs;
};

bool worse(const Finding& a, const Finding& b) {
  if (!a.measured || !b.measured) return false;
  const bool too_much = a.required && *a.measured > *a.required;
  return too_much ? *a.measured > *b.measured : *a.measured < *b.measured;
}

std::vector<Gathered> gather(const std::vector<Finding>& findings, Severity severity) {
  std::vector<Gathered> all;
  std::map<std::string, std::size_t> known;
  for (const auto& finding : findings) {
    if (finding.severity != severity) continue;
    std::string key = finding.check;
    for (const auto& name : finding.between) key += "|" + name;
    if (finding.between.empty()) key += "|" + finding.step;
    if (finding.required) key += fmt::format("|{:g}", *finding.required);
    const auto [entry, is_new] = known.emplace(key, all.size());
    if (is_new) all.push_back({&finding, 0, {}});
    Gathered& mine = all[entry->second];
    ++mine.times;
    if (worse(finding, *mine.worst)) mine.worst = &finding;
    if (!finding.run.empty() && std::find(mine.runs.begin(), mine.runs.end(), finding.run) == mine.runs.end())
      mine.runs.push_back(finding.run);
  }
  return all;
}

std::string where_text(const Gathered& gathered) {
  const Finding& finding = *gathered.worst;
  std::string text;
  if (!finding.step.empty()) text += fmt::format("step \"{}\"", finding.step);
  if (finding.time_s) text += fmt::format("{}{:.2f} s", text.empty() ? "" : ", at ", *finding.time_s);
  if (!finding.run.empty()) text += fmt::format(", {}", finding.run);
  if (gathered.runs.size() > 1)
    text += fmt::format(" (worst of {} seats)", gathered.runs.size());
  else if (gathered.times > 1)
    text += fmt::format(" (worst of {} moves)", gathered.times);
  return text;
}

std::string findings_text(const std::vector<Finding>& findings, Severity severity, const char* title) {
  const auto gathered = gather(findings, severity);
  if (gathered.empty()) return {};
  std::string text = fmt::format("\n{}\n", title);
  int number = 0;
  for (const auto& entry : gathered) {
    const std::string where = where_text(entry);
    text += folded(fmt::format(" {:>2}. ", ++number), "     ",
                   fmt::format("{}{}{}", entry.worst->check, where.empty() ? "" : ": ", where));
    text += folded("     ", "     ", entry.worst->message);
    if (!entry.worst->mend.empty()) text += folded("     change: ", "             ", entry.worst->mend);
  }
  return text;
}

std::string gap_text(const std::optional<ClearanceFigure>& clearance) {
  if (!clearance) return "-";
  return clearance->upper_mm == 0 ? "touch" : fmt::format("{:.1f}", clearance->lower_mm);
}

/// Rounded to a tenth, as it is shown.
double without_minus_zero(double value) {
  return std::abs(value) < 0.05 ? 0 : value;
}

/// Where a grip or release fails at its end, the line that begins there need not.
bool comes_as_close(const StepFigure& step, const Finding& finding) {
  return step.clearance && finding.measured && step.clearance->lower_mm <= *finding.measured + 1e-9;
}

/// Whether a row of the table has a finding that fails; a view is judged in a row of its own.
bool fails_in(const Report& report, const StepFigure& step) {
  return std::any_of(report.findings.begin(), report.findings.end(), [&](const Finding& finding) {
    return finding.severity == Severity::fail && finding.run == step.run && finding.others == step.others &&
           finding.step == step.name && (finding.check == "sightline") == (step.kind == StretchKind::look) &&
           finding.time_s && *finding.time_s >= step.start_s && *finding.time_s <= step.end_s &&
           (finding.check != "clearance" || comes_as_close(step, finding));
  });
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
  std::string line = fmt::format(" {} {:>7.2f}  {:<{}.{}}  {:<7}  {:>7}  {:>8.1f}", fails_in(report, step) ? '*' : ' ',
                                 step.start_s, printable(step.name), width, width, kind_name(step.kind),
                                 gap_text(step.clearance), without_minus_zero(degrees(step.limit_margin)));
  if (!step.clearance) return line + "\n";
  const std::string between = printable(fmt::format("{} / {}", step.clearance->between[0], step.clearance->between[1]));
  if (columns_of(line) + 2 + columns_of(between) <= page_width) return line + "  " + between + "\n";
  const std::string indent(12, ' ');
  return line + "\n" + folded(indent + "between ", indent + "  ", between);
}

/// What the file's own word for a filling of the other seats means.
std::string filling_text(const std::string& others) {
  if (others.empty()) return {};
  return others == "none" ? ", the other seats empty" : fmt::format(", '{}' in the other seats", others);
}

/// Of the fillings of the other seats the one with the most that fails, then the one with the least gap.
std::string worst_filling(const Report& report, const std::string& run) {
  std::map<std::string, std::pair<long, double>> by_filling;  // fails, counted down, and the least gap
  for (const auto& step : report.steps) {
    if (step.run != run) continue;
    auto& mine = by_filling.try_emplace(step.others, 0, std::numeric_limits<double>::infinity()).first->second;
    if (step.clearance) mine.second = std::min(mine.second, step.clearance->lower_mm);
  }
  for (const auto& finding : report.findings)
    if (finding.run == run && finding.severity == Severity::fail && by_filling.count(finding.others))
      --by_filling[finding.others].first;
  const auto worst = std::min_element(by_filling.begin(), by_filling.end(),
                                      [](const auto& a, const auto& b) { return a.second < b.second; });
  return worst == by_filling.end() ? "" : worst->first;
}

/// From when on the arm stands in which configuration, where it has names.
std::string configurations_text(const Report& report, const std::string& run, const std::string& others) {
  std::string text, last;
  for (const auto& step : report.steps) {
    if (step.run != run || step.others != others || step.configuration == last) continue;
    last = step.configuration;
    text += folded("  ", "    ", fmt::format("from {:.2f} s, \"{}\": {}", step.start_s, step.name, last));
  }
  return text.empty() ? text : "\nCONFIGURATIONS at the end of moves\n" + text;
}

std::string steps_text(const Proof& proof, const std::string& run, const std::string& others) {
  const Report& report = proof.report;
  const std::size_t width = step_column(report, run);
  std::string text = folded(
      "", "",
      fmt::format("STEPS{}: least gap over each whole move, not at samples; room to the nearest joint limit; * fails",
                  run.empty() ? "" : " of " + run + filling_text(others)));
  text += fmt::format("    from s  {:<{}}  kind      gap mm  room deg  between\n", "step", width);
  for (const auto& step : report.steps)
    if (step.run == run && step.others == others) text += step_line(report, step, width);
  for (const auto& entry : proof.cycle->runs)
    if (entry.name == run && entry.failure && (others.empty() || entry.others == others))
      text += folded("  ", "  ", fmt::format("the cycle stops at \"{}\", which can't be run", entry.failure->step));
  return "\n" + text;
}

std::string target_text(const Scene& scene, const TargetView& target) {
  std::string text = fmt::format("'{}' visible {:.1f} %, in frame {:.1f} %, facing {:.1f} deg",
                                 scene.cell.targets[static_cast<std::size_t>(target.target)].name, 100 * target.visible,
                                 100 * target.in_frame, degrees(target.facing));
  if (std::isfinite(target.mm_per_pixel)) text += fmt::format(", {:.3f} mm a pixel", target.mm_per_pixel);
  if (target.in_focus) text += *target.in_focus ? ", in focus" : ", out of focus";
  if (target.rim) text += fmt::format(", lens rim {}", rim_word(*target.rim));
  return text;
}

std::string views_text(const Proof& proof, const std::string& run, const std::string& others) {
  std::string text;
  const Scene& scene = *proof.scene;
  for (const auto& figure : proof.report.views) {
    if (figure.run != run || figure.others != others) continue;
    const std::string& camera = scene.cell.cameras[static_cast<std::size_t>(figure.view.camera)].name;
    text += folded("  ", "    ", fmt::format("'{}' at \"{}\"", camera, figure.step));
    for (const auto& target : figure.view.targets) text += folded("    ", "      ", target_text(scene, target));
    for (const auto& blocked : figure.view.blocked_by)
      text += folded("    ", "      ",
                     fmt::format("'{}' takes {:.1f} % of the picture",
                                 scene.bodies[static_cast<std::size_t>(blocked.body)].name, 100 * blocked.share));
  }
  return text.empty() ? text : "\nVIEWS\n" + text;
}

std::string factor_text(const char* name, const std::optional<double>& factor) {
  return factor ? fmt::format(", {} {:.2f}", name, *factor) : "";
}

std::string grips_text(const Report& report, const std::string& run, const std::string& others) {
  std::string text;
  for (const auto& grip : report.grips) {
    if (grip.run != run || grip.others != others) continue;
    std::string line = fmt::format("'{}' in '{}': {:.1f} N", grip.part, grip.tcp, grip.force_n);
    line += grip.factor ? fmt::format(", held {:.2f} times at the least, at {:.2f} s in \"{}\"{}", *grip.factor,
                                      grip.time_s, grip.step, grip.in_stop ? " (emergency stop)" : "")
                        : ", nothing pulls at it";
    line += factor_text("pull", grip.pull) + factor_text("slip", grip.slip) + factor_text("peel", grip.peel);
    text += folded("  ", "    ", line);
  }
  return text.empty() ? text : "\nGRIP: force over what gravity and motion demand, the least over each carry\n" + text;
}

/// The heaviest step says most; the others go into the JSON.
std::string wrist_text(const Report& report) {
  const WristFigure* heaviest = nullptr;
  for (const auto& wrist : report.wrist)
    if (!heaviest || wrist.mass_kg > heaviest->mass_kg) heaviest = &wrist;
  if (!heaviest) return {};
  std::string line =
      fmt::format("{:.3f} kg, its centre {:.1f} mm from the flange", heaviest->mass_kg, heaviest->offset_mm);
  for (const auto& axis : heaviest->axes) {
    line += fmt::format("; axis {}: {:.2f} N m", axis.axis, axis.moment_nm);
    if (axis.inertia_kgm2) line += fmt::format(", {:.4f} kg m^2", *axis.inertia_kgm2);
  }
  std::string text =
      fmt::format("\nWRIST at its heaviest, step \"{}\"\n", printable(heaviest->step)) + folded("  ", "    ", line);
  if (report.torques.empty()) return text;
  line = "greatest joint torques, friction left out, N m:";
  for (const auto& torque : report.torques) line += fmt::format(" {:.1f}", torque.torque_nm);
  return text + folded("  ", "    ", line);
}

std::string holds_text(const Report& report, const std::string& run, const std::string& others) {
  std::string text;
  for (const auto& hold : report.holds) {
    if (hold.run != run || hold.others != others) continue;
    std::string line = fmt::format("'{}' on '{}': {:.1f} N", hold.name, hold.part, hold.force_n);
    if (hold.side_force_n > 0)
      line += fmt::format(" against {:.0f} N from the side{}", hold.side_force_n,
                          hold.estimated ? ", estimated from power to within 50 %" : "");
    line += factor_text("slip", hold.slip) + factor_text("tip", hold.tip) + factor_text("lift", hold.lift);
    if (hold.estimated)
      line +=
          "; with half as much again" + factor_text("slip", hold.slip_at_more) + factor_text("tip", hold.tip_at_more);
    text += folded("  ", "    ", line);
  }
  return text.empty() ? text : "\nHOLD: force over what the cut demands\n" + text;
}

/// One line a seat, for a cycle that is proved for several.
struct RunLine {
  std::string run;
  std::size_t fails = 0;
  double gap_mm = std::numeric_limits<double>::infinity(), duration_s = 0;
  std::string first;
};

std::vector<RunLine> run_lines(const Proof& proof) {
  std::vector<RunLine> lines;
  for (const auto& run : proof.cycle->runs) {
    auto known = std::find_if(lines.begin(), lines.end(), [&](const RunLine& line) { return line.run == run.name; });
    if (known == lines.end())
      known = lines.insert(lines.end(), {run.name, 0, std::numeric_limits<double>::infinity(), 0, ""});
    known->duration_s = std::max(known->duration_s, run.duration_s);
  }
  for (auto& line : lines) {
    for (const auto& step : proof.report.steps)
      if (step.run == line.run && step.clearance) line.gap_mm = std::min(line.gap_mm, step.clearance->lower_mm);
    for (const auto& finding : proof.report.findings) {
      if (finding.run != line.run || finding.severity != Severity::fail) continue;
      if (line.fails++ == 0) line.first = fmt::format("{} at \"{}\"", finding.check, finding.step);
    }
  }
  std::stable_sort(lines.begin(), lines.end(), [](const RunLine& a, const RunLine& b) {
    return a.fails != b.fails ? a.fails > b.fails : a.gap_mm < b.gap_mm;
  });
  return lines;
}

std::string runs_text(const std::vector<RunLine>& lines) {
  std::size_t width = 4;
  for (const auto& line : lines) width = std::max(width, columns_of(line.run));
  std::string text =
      fmt::format("\nSEATS, worst first\n  {:<{}}          gap mm   time s  fails first\n", "seat", width);
  for (const auto& line : lines) {
    const std::string gap = std::isfinite(line.gap_mm) ? fmt::format("{:.1f}", line.gap_mm) : "-";
    const std::string start = fmt::format("  {:<{}}  {:<4}  {:>8} {:>8.2f}", printable(line.run), width,
                                          line.fails ? "FAIL" : "pass", gap, line.duration_s);
    text +=
        line.first.empty() ? start + "\n" : folded(start + "  ", std::string(columns_of(start) + 2, ' '), line.first);
  }
  return text;
}

/// What stands behind the verdict: how much fails, in how many of the seats.
std::string count_text(const Proof& proof, const std::vector<RunLine>& lines) {
  const std::size_t fails = gather(proof.report.findings, Severity::fail).size();
  std::string text;
  if (fails > 0) text += fmt::format(", {} {} to change", fails, fails == 1 ? "thing" : "things");
  if (lines.size() > 1) {
    const auto passing = std::count_if(lines.begin(), lines.end(), [](const RunLine& line) { return line.fails == 0; });
    text += fmt::format(", {} of {} seats pass", passing, lines.size());
  }
  return text;
}

std::string verdict_text(const Proof& proof, const std::vector<RunLine>& lines) {
  const Report& report = proof.report;
  std::size_t triangles = 0;
  for (const auto& body : report.bodies) triangles += body.triangles;
  std::string text =
      folded("", "", fmt::format("{}: {}{}", report.cell, report.pass ? "PASS" : "FAIL", count_text(proof, lines)));
  const StepFigure* tightest = nullptr;
  for (const auto& step : report.steps)
    if (step.clearance && (!tightest || step.clearance->lower_mm < tightest->clearance->lower_mm)) tightest = &step;
  if (report.pass && tightest)
    text += folded(
        "", "",
        fmt::format("No interference found in the model, least gap {:.2f} mm, '{}' to '{}', step \"{}\", {:.2f} s.",
                    tightest->clearance->lower_mm, tightest->clearance->between[0], tightest->clearance->between[1],
                    tightest->name, tightest->clearance->time_s));
  text += fmt::format("Cycle {:.2f} s; {} bodies, {} triangles; checked in {:.2f} s.\n", report.cycle_time_s,
                      report.bodies.size(), triangles, report.check_time_s);
  return text;
}

std::string closest_text(const Report& report) {
  if (report.closest.empty()) return {};
  std::string text = "\nCLOSEST pairs of the cycle, mm: proven to be no nearer than, found as near as\n";
  for (const auto& pair : report.closest) {
    const std::string line = fmt::format("  {:>7.2f} {:>7.2f}  ", pair.lower_mm, pair.upper_mm);
    text += folded(line, std::string(line.size() + 2, ' '),
                   fmt::format("{} / {}, \"{}\"{}, {:.2f} s", pair.between[0], pair.between[1], pair.step,
                               pair.run.empty() ? "" : " of " + pair.run, pair.time_s));
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
  const auto lines = run_lines(proof);
  const std::string shown = lines.empty() ? "" : lines.front().run;
  std::string text = verdict_text(proof, lines);
  text += findings_text(report.findings, Severity::fail, "FAILS");
  if (lines.size() > 1) text += runs_text(lines);
  text += findings_text(report.findings, Severity::caution, "TAKE CARE");
  const std::string others = worst_filling(report, shown);
  if (!report.steps.empty()) text += steps_text(proof, shown, others) + configurations_text(report, shown, others);
  text += closest_text(report);
  text += views_text(proof, shown, others);
  text += grips_text(report, shown, others);
  text += wrist_text(report);
  text += holds_text(report, shown, others);
  text += list_text("THE CONTROLLER MUST", report.controller);
  text += list_text("NOT COMPUTED", report.not_computed);
  text += list_text("CAUTIONS", report.cautions);
  return text;
}

}  // namespace cellproof
