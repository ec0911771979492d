// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/report_text.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>

namespace cellproof {

namespace {

constexpr std::size_t page_width = 118;

/// Folds a sentence at spaces; further lines begin with `indent`.
std::string folded(const std::string& first, const std::string& indent, const std::string& sentence) {
  std::string text, line = first;
  std::size_t from = 0;
  while (from < sentence.size()) {
    const std::size_t space = std::min(sentence.find(' ', from), sentence.size());
    const std::string word = sentence.substr(from, space - from);
    if (line.size() + word.size() + 1 > page_width && line.size() > indent.size()) {
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
  return *a.measured < *b.measured;
}

std::vector<Gathered> gather(const std::vector<Finding>& findings, Severity severity) {
  std::vector<Gathered> all;
  std::map<std::string, std::size_t> known;
  for (const auto& finding : findings) {
    if (finding.severity != severity) continue;
    std::string key = finding.check;
    for (const auto& name : finding.between) key += "|" + name;
    if (finding.between.empty()) key += "|" + finding.step;
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
    text += fmt::format(" (worst of {} runs)", gathered.runs.size());
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
    text += fmt::format(" {:>2}. {}{}{}\n", ++number, entry.worst->check, where.empty() ? "" : ": ", where);
    text += folded("     ", "     ", entry.worst->message);
    if (!entry.worst->mend.empty()) text += folded("     change: ", "             ", entry.worst->mend);
  }
  return text;
}

std::string gap_text(const std::optional<ClearanceFigure>& clearance) {
  if (!clearance) return "-";
  return clearance->upper_mm == 0 ? "touch" : fmt::format("{:.1f}", clearance->lower_mm);
}

std::string steps_text(const Report& report, const std::string& run) {
  std::string text =
      fmt::format("\nSTEPS{}: least gap over each whole move, not at samples\n", run.empty() ? "" : " of " + run);
  text += fmt::format("  {:>7}  {:<28} {:<8} {:>8}  {:<46} {:>9}\n", "from s", "step", "kind", "gap mm", "between",
                      "limit deg");
  for (const auto& step : report.steps) {
    if (step.run != run) continue;
    const std::string between =
        step.clearance ? fmt::format("{} / {}", step.clearance->between[0], step.clearance->between[1]) : "";
    text += fmt::format("  {:>7.2f}  {:<28.28} {:<8} {:>8}  {:<46.46} {:>9.1f}\n", step.start_s, step.name,
                        kind_name(step.kind), gap_text(step.clearance), between, degrees(step.limit_margin));
  }
  return text;
}

std::string views_text(const Proof& proof, const std::string& run) {
  std::string text;
  const Scene& scene = *proof.scene;
  for (const auto& figure : proof.report.views) {
    if (figure.run != run) continue;
    const std::string& camera = scene.cell.cameras[static_cast<std::size_t>(figure.view.camera)].name;
    for (const auto& target : figure.view.targets)
      text +=
          fmt::format("  {} at \"{}\": {} visible {:.1f} %, in frame {:.1f} %, facing {:.1f} deg, {:.3f} mm a pixel\n",
                      camera, figure.step, scene.cell.targets[static_cast<std::size_t>(target.target)].name,
                      100 * target.visible, 100 * target.in_frame, degrees(target.facing), target.mm_per_pixel);
    for (const auto& blocked : figure.view.blocked_by)
      text += fmt::format("  {} at \"{}\": '{}' takes {:.1f} % of the picture\n", camera, figure.step,
                          scene.bodies[static_cast<std::size_t>(blocked.body)].name, 100 * blocked.share);
  }
  return text.empty() ? text : "\nVIEWS\n" + text;
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
  std::string text = "\nSEATS, worst first\n";
  text += fmt::format("  {:<16} {:<6} {:>8} {:>8}  {}\n", "seat", "", "gap mm", "time s", "fails first");
  for (const auto& line : lines)
    text +=
        fmt::format("  {:<16} {:<6} {:>8} {:>8.2f}  {}\n", line.run, line.fails ? "FAIL" : "pass",
                    std::isfinite(line.gap_mm) ? fmt::format("{:.1f}", line.gap_mm) : "-", line.duration_s, line.first);
  return text;
}

std::string verdict_text(const Proof& proof) {
  const Report& report = proof.report;
  std::size_t triangles = 0;
  for (const auto& body : report.bodies) triangles += body.triangles;
  std::string text = fmt::format("{}: {}\n", report.cell.empty() ? proof.scene->cell.file.string() : report.cell,
                                 report.pass ? "PASS" : "FAIL");
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
  std::string text = verdict_text(proof);
  text += findings_text(report.findings, Severity::fail, "FAILS");
  text += findings_text(report.findings, Severity::caution, "TAKE CARE");
  if (lines.size() > 1) text += runs_text(lines);
  if (!report.steps.empty()) text += steps_text(report, shown);
  text += views_text(proof, shown);
  text += list_text("NOT COMPUTED", report.not_computed);
  text += list_text("CAUTIONS", report.cautions);
  return text;
}

}  // namespace cellproof
