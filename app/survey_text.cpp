// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "app/survey_output.hpp"
#include "checks/studies/reason_letters.hpp"

namespace cellproof {

namespace {

std::string placement_text(const MoverGrid& mover, const Placement& placement) {
  const std::array<std::string, 4> values{
      fmt::format("x {:+.2f} mm", placement.offset.x()), fmt::format("y {:+.2f} mm", placement.offset.y()),
      fmt::format("z {:+.2f} mm", placement.offset.z()), fmt::format("yaw {:+.2f} deg", degrees(placement.yaw))};
  std::string text;
  for (std::size_t i = 0; i < values.size(); ++i)
    if (mover.surveyed[i]) text += (text.empty() ? "" : ", ") + values[i];
  return fmt::format("'{}' at {}", mover.mover, text.empty() ? "its place in the file" : text);
}

std::string place_text(const SurveyGrid& grid, std::size_t index) {
  const auto placements = grid.placements(index);
  std::string text;
  for (std::size_t m = 0; m < grid.movers.size(); ++m)
    text += (m ? "; " : "") + placement_text(grid.movers[m], placements[m]);
  return text;
}

/// What to write in the cell file so that it stands there.
std::string line_to_write(const Scene& scene, const MoverGrid& mover, const Placement& placement) {
  const bool is_arm = mover.mover == "base";
  const FrameId frame = frame_of_mover(scene, mover.mover);
  const Pose at = placed_by(scene.frames[frame].in_parent, placement);
  Eigen::Quaterniond quat(at.linear());
  if (quat.w() < 0) quat.coeffs() *= -1;
  const Vector3d& xyz = at.translation();
  std::string turn;
  if (quat.vec().norm() > 1e-12)
    turn = fmt::format(", quat = [{:.12g}, {:.12g}, {:.12g}, {:.12g}]", quat.w(), quat.x(), quat.y(), quat.z());
  return fmt::format("{} {} = {{ xyz = [\"{:.10g} mm\", \"{:.10g} mm\", \"{:.10g} mm\"]{} }}",
                     is_arm ? "[arm]" : fmt::format("[[body]] \"{}\"", mover.mover), is_arm ? "base" : "at", xyz.x(),
                     xyz.y(), xyz.z(), turn);
}

/// The spots of one layer as letters, y upwards, x to the right.
std::string letter_map(const SurveyResult& result, std::size_t of) {
  const MoverGrid& mover = result.grid.movers.front();
  const std::size_t columns = mover.values[0].size(), rows = mover.values[1].size();
  std::vector<std::string> lines(rows, std::string(columns, ' '));
  for (std::size_t i = 0; i < result.spots.size(); ++i) {
    const Spot& spot = result.spots[i];
    if (!result.grid.same_layer(spot.index, result.spots[of].index)) continue;
    const auto places = result.grid.places_of(spot.index);
    lines[rows - 1 - places[1]][places[0]] = result.best == i    ? '@'
                                             : spot.verdict.pass ? '+'
                                                                 : letter_of_reason(spot.verdict.reason);
  }
  std::string text;
  for (std::size_t row = 0; row < rows; ++row)
    text += fmt::format("  {:>9.1f}  {}\n", mover.values[1][rows - 1 - row], lines[row]);
  return text + fmt::format("   y, mm     x from {:g} to {:g} mm\n", mover.values[0].front(), mover.values[0].back());
}

constexpr std::size_t widest_map = 100;

std::string map_text(const SurveyResult& result) {
  const std::size_t of = result.best.value_or(0);
  const auto& values = result.grid.movers.front().values;
  const bool one_spot = values[0].size() * values[1].size() == 1;
  if (result.spots.empty() || one_spot || values[0].size() > widest_map) return {};
  std::string legend = "@ best  + passes";
  for (const auto& entry : reason_letters)
    if (std::any_of(result.spots.begin(), result.spots.end(),
                    [&](const Spot& spot) { return spot.verdict.reason == entry.reason; }))
      legend += fmt::format("  {} {}", entry.letter, entry.reason);
  return fmt::format("\nMAP of the layer of {}\n{}  {}\n", result.best ? "the best spot" : "the first spot",
                     letter_map(result, of), legend);
}

struct Failures {
  std::size_t count = 0;
  std::map<std::string, std::size_t> steps;
};

std::string failures_text(const SurveyResult& result) {
  std::map<std::string, Failures> reasons;
  for (const Spot& spot : result.spots) {
    if (spot.verdict.pass) continue;
    Failures& mine = reasons[spot.verdict.reason];
    ++mine.count;
    ++mine.steps[spot.verdict.step];
  }
  if (reasons.empty()) return {};
  std::vector<std::pair<std::string, Failures>> order(reasons.begin(), reasons.end());
  std::stable_sort(order.begin(), order.end(),
                   [](const auto& a, const auto& b) { return a.second.count > b.second.count; });
  std::string text = "\nWHY SPOTS FAIL, by the first question that they fail\n";
  for (const auto& [reason, failures] : order) {
    const auto most = std::max_element(failures.steps.begin(), failures.steps.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    text += fmt::format("  {:>6}  {}: {} of them in step \"{}\"\n", failures.count, reason, most->second, most->first);
  }
  return text;
}

std::string score_text(const SpotVerdict& verdict) {
  return verdict.score ? fmt::format("score {:.2f}", *verdict.score) : std::string("no score: no rule asks anything");
}

std::string best_text(const Scene& scene, const SurveyResult& result) {
  if (!result.best) return "\nBEST: none, no spot passes\n";
  const Spot& best = result.spots[*result.best];
  std::string text = fmt::format("\nBEST  {}\n      {}, cycle {:.2f} s\n", place_text(result.grid, best.index),
                                 score_text(best.verdict), best.verdict.cycle_time_s.value_or(0));
  if (result.slack_mm)
    text += *result.slack_mm > 0
                ? fmt::format("      may be off by {:.2f} mm in any direction that was surveyed\n", *result.slack_mm)
                : std::string("      nothing to spare: it lies on the rim of what passes or of what was surveyed\n");
  text += "      to stand there, write\n";
  const auto placements = result.grid.placements(best.index);
  for (std::size_t m = 0; m < placements.size(); ++m)
    text += fmt::format("        {}\n", line_to_write(scene, result.grid.movers[m], placements[m]));
  return text;
}

constexpr std::size_t longest_front = 12;

std::string front_text(const SurveyResult& result) {
  if (result.front.size() < 2) return {};
  std::string text = "\nFASTER OR MORE IN HAND: spots that no other beats in both\n   cycle    score\n";
  const std::size_t shown = std::min(result.front.size(), longest_front);
  for (std::size_t i = 0; i < shown; ++i) {
    const Spot& spot = result.spots[result.front[i]];
    text += fmt::format("  {:>6.2f} s {:>6.2f}  {}\n", *spot.verdict.cycle_time_s, *spot.verdict.score,
                        place_text(result.grid, spot.index));
  }
  if (shown < result.front.size()) text += fmt::format("  and {} more: see --json\n", result.front.size() - shown);
  return text;
}

}  // namespace

std::string survey_text(const Scene& scene, const SurveyResult& result) {
  const auto passing =
      std::count_if(result.spots.begin(), result.spots.end(), [](const Spot& spot) { return spot.verdict.pass; });
  std::string text = fmt::format("{}, survey \"{}\": {} of {} spots pass\n", scene.cell.name, result.survey, passing,
                                 result.spots.size());
  if (result.spots.size() < result.grid.size())
    text += fmt::format("{} of the grid's {} spots were proved, coarse to fine within the budget\n",
                        result.spots.size(), result.grid.size());
  return text + best_text(scene, result) + front_text(result) + failures_text(result) + map_text(result) +
         "\nA spot is as good as the file is true: measure the cell as built, and prove it again before it runs.\n";
}

}  // namespace cellproof
