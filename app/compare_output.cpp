// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/compare_output.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "app/fixed_text.hpp"
#include "app/json_pose.hpp"
#include "app/report_text.hpp"

namespace cellproof {

namespace {

std::string figure(double value) {
  const double size = std::abs(value);
  return size >= 100              ? fmt::format("{:.1f}", value)
         : size >= 1 || size == 0 ? fmt::format("{:.2f}", value)
                                  : fixed_text(value, 4);
}

/// A cycle that stops early has no margins of what it does not come to.
std::string stops_text(const Version& version) {
  for (const CycleRun& run : version.proof.cycle->runs)
    if (run.failure)
      return fmt::format("   stops before \"{}\": its margins are of what it comes to\n", printable(run.failure->step));
  return "";
}

/// With "!" where the version is worse than the first.
std::string change_text(const ComparedMargin& row, std::size_t version) {
  if (!row.changed(version)) return "";
  const double change = *row.change(version);
  const bool worse = (change < 0) == row.margin.more_is_better;
  return fmt::format("{}{} {}", change > 0 ? "+" : "", figure(change), worse ? "!" : " ");
}

std::string head_text(const std::vector<Version>& versions) {
  std::string text;
  for (std::size_t i = 0; i < versions.size(); ++i) {
    const Report& report = versions[i].proof.report;
    text += fmt::format("{}: {}, {}: {}, failures: {}, cautions: {}\n", i + 1, printable(report.cell),
                        printable(versions[i].file), report.pass ? "PASS" : "FAIL", failures_of(report).size(),
                        std::count_if(report.findings.begin(), report.findings.end(),
                                      [](const Finding& finding) { return finding.severity == Severity::caution; }));
    text += stops_text(versions[i]);
  }
  return text;
}

std::string table_text(const std::vector<Version>& versions, const std::vector<ComparedMargin>& margins) {
  std::string text = fmt::format(
      "\nMARGINS, the worst of each; changes against 1, ! where it is worse\n  {:<44} {:<5} {:>10}", "", "", "1");
  for (std::size_t i = 1; i < versions.size(); ++i) text += fmt::format(" {:>10} {:>11}", i + 1, "change  ");
  text.erase(text.find_last_not_of(' ') + 1);
  text += "\n";
  std::string check;
  for (const ComparedMargin& row : margins) {
    if (row.margin.check != check) text += fmt::format("  {}\n", row.margin.check);
    check = row.margin.check;
    text += fmt::format("    {:<42} {:<5}", printable(row.margin.name), row.margin.unit);
    for (std::size_t i = 0; i < versions.size(); ++i) {
      text += fmt::format(" {:>10}", row.values[i] ? figure(*row.values[i]) : "-");
      if (i > 0) text += fmt::format(" {:>11}", change_text(row, i));
    }
    text.erase(text.find_last_not_of(' ') + 1);
    text += "\n";
  }
  return text + "  -: not there, or not asked for in that version\n";
}

/// The same in other runs is told once, with how many they are.
std::string list_text(const std::string& title, std::vector<Finding> findings) {
  if (findings.empty()) return "";
  std::string text = "\n" + title + "\n";
  while (!findings.empty()) {
    const Finding first = findings.front();
    const auto others = std::stable_partition(findings.begin(), findings.end(), [&](const Finding& finding) {
      return in_any_run(finding) != in_any_run(first);
    });
    const auto runs = findings.end() - others;
    findings.erase(others, findings.end());
    text += fmt::format("  {}{}{}{}: {}\n", name_of(first.check),
                        first.step.empty() ? "" : ", step \"" + printable(first.step) + "\"",
                        first.run.empty() ? "" : ", " + printable(first.run),
                        runs > 1 ? fmt::format(" and {} more", runs - 1) : "", printable(first.message));
  }
  return text;
}

Json finding_json(const Finding& finding) {
  Json json{{"check", name_of(finding.check)}};
  if (!finding.run.empty()) json["run"] = finding.run;
  json["step"] = finding.step;
  json["between"] = finding.between;
  json["message"] = finding.message;
  return json;
}

Json findings_json(const std::vector<Finding>& findings) {
  Json list = Json::array();
  for (const Finding& finding : findings) list.push_back(finding_json(finding));
  return list;
}

Json optional_json(const std::optional<double>& value) {
  return value ? json_number(*value) : Json(nullptr);
}

}  // namespace

std::string compare_text(const std::vector<Version>& versions, const std::vector<ComparedMargin>& margins) {
  std::string text = head_text(versions) + table_text(versions, margins);
  for (std::size_t i = 1; i < versions.size(); ++i) {
    const Report &first = versions[0].proof.report, &other = versions[i].proof.report;
    text += list_text(fmt::format("FAILS in {}, not in 1", i + 1), failures_beside(other, first));
    text += list_text(fmt::format("FAILS in 1, no more in {}", i + 1), failures_beside(first, other));
  }
  return text +
         "\nThe cautions of cellproof check hold for each version: figures are estimates of the models as given, and a "
         "competent, where\nrequired licensed, person assesses the finished cell under local codes.\n";
}

std::string compare_json(const std::vector<Version>& versions, const std::vector<ComparedMargin>& margins) {
  Json json{{"cells", Json::array()}, {"margins", Json::array()}};
  for (std::size_t i = 0; i < versions.size(); ++i) {
    const Report& report = versions[i].proof.report;
    Json cell{{"file", versions[i].file}, {"cell", report.cell}, {"verdict", report.pass ? "pass" : "fail"}};
    cell["new_failures"] = i == 0 ? Json(nullptr) : findings_json(failures_beside(report, versions[0].proof.report));
    cell["gone_failures"] = i == 0 ? Json(nullptr) : findings_json(failures_beside(versions[0].proof.report, report));
    json["cells"].push_back(cell);
  }
  for (const ComparedMargin& row : margins) {
    Json margin{{"check", row.margin.check}, {"name", row.margin.name},
                {"unit", row.margin.unit},   {"more_is_better", row.margin.more_is_better},
                {"values", Json::array()},   {"changes", Json::array()}};
    for (std::size_t i = 0; i < versions.size(); ++i) {
      margin["values"].push_back(optional_json(row.values[i]));
      margin["changes"].push_back(i == 0 ? Json(nullptr) : optional_json(row.change(i)));
    }
    json["margins"].push_back(margin);
  }
  return json_text(json);
}

}  // namespace cellproof
