// SPDX-License-Identifier: GPL-3.0-or-later
// The order in which a file states what has no order: the whole report of a demo cell says the same.
#include <cmath>
#include <random>
#include <regex>

#include "tests/commands/demo_proof.hpp"

using namespace cellproof_commands;
using Json = nlohmann::json;

namespace {

/// The file's tables, each with what belongs to it; the first is all before any table.
std::vector<std::string> tables_of(const std::string& text) {
  std::vector<std::string> tables(1);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("[")) tables.emplace_back();
    tables.back() += line + "\n";
  }
  return tables;
}

/// Tables that may stand anywhere change places; steps, and what there is one of, stay where they are.
std::string shuffled(const std::string& text, unsigned seed) {
  std::vector<std::string> tables = tables_of(text);
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < tables.size(); ++i)
    if (tables[i].starts_with("[[") && !tables[i].starts_with("[[step]]")) places.push_back(i);
  std::vector<std::string> moved;
  for (const std::size_t place : places) moved.push_back(tables[place]);
  std::mt19937_64 engine(seed);
  std::shuffle(moved.begin(), moved.end(), engine);
  for (std::size_t i = 0; i < places.size(); ++i) tables[places[i]] = moved[i];
  std::string result;
  for (const std::string& table : tables) result += table;
  return result;
}

/// With its meshes named wherever the file itself stands.
std::string standing_alone(const fs::path& cell) {
  return std::regex_replace(content_of(cell), std::regex("mesh = \"([^/])"),
                            "mesh = \"" + cell.parent_path().string() + "/$1");
}

/// Lists that follow the file's own order are compared whatever their order; lines of the file are left out.
Json without_order(Json report) {
  report.erase("check_time_s");
  for (const char* key : {"bodies", "cautions", "holds", "grips", "findings"}) {
    if (!report.contains(key)) continue;
    for (Json& entry : report[key])
      if (entry.is_string()) entry = std::regex_replace(entry.get<std::string>(), std::regex("line [0-9]+"), "line");
    std::sort(report[key].begin(), report[key].end(),
              [](const Json& a, const Json& b) { return a.dump().substr(0, 60) < b.dump().substr(0, 60); });
  }
  return report;
}

/// The first thing that two reports say otherwise, numbers by more than 1e-9; empty if nothing.
std::string difference(const Json& a, const Json& b, const std::string& at) {
  if (a.is_number() && b.is_number()) {
    const double off = std::abs(a.get<double>() - b.get<double>());
    return off <= 1e-9 * std::max(1.0, std::abs(a.get<double>())) ? "" : at + ": " + a.dump() + " and " + b.dump();
  }
  if (a.type() != b.type() || a.size() != b.size() || (!a.is_structured() && a != b))
    return at + ": " + a.dump() + " and " + b.dump();
  if (a.is_object())
    for (const auto& [key, value] : a.items()) {
      if (!b.contains(key)) return at + "." + key;
      if (auto found = difference(value, b.at(key), at + "." + key); !found.empty()) return found;
    }
  if (a.is_array())
    for (std::size_t i = 0; i < a.size(); ++i)
      if (auto found = difference(a[i], b[i], at + "[" + std::to_string(i) + "]"); !found.empty()) return found;
  return "";
}

void check_order_of(const char* cell, unsigned seeds) {
  const fs::path file = fs::path(CELLPROOF_SOURCE_DIR) / "models" / cell;
  const Folder folder;
  folder.write("stated.toml", standing_alone(file));
  const Json stated = without_order(json_of(run(folder, {"check", "stated.toml", "--json", "-"})));
  for (unsigned seed = 1; seed <= seeds; ++seed) {
    CAPTURE(cell, seed);
    folder.write("shuffled.toml", shuffled(standing_alone(file), seed));
    const Json other = without_order(json_of(run(folder, {"check", "shuffled.toml", "--json", "-"})));
    CHECK(difference(stated, other, "") == "");
  }
}

}  // namespace

TEST_CASE("tables in another order change nothing that check says of the demo cells") {
  const unsigned seeds = std::getenv("CELLPROOF_LONG") != nullptr ? 10 : 1;
  for (const char* cell :
       {"flange-cell/as-drawn.toml", "flange-cell/mended.toml", "board-cell/as-drawn.toml", "board-cell/mended.toml"})
    check_order_of(cell, seeds);
}
