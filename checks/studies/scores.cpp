// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/scores.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

namespace cellproof {

namespace {

constexpr double rounding = 1e-6;  // of a share

bool is_gap(const RuleShare& share) {
  return share.rule.starts_with("gap ");
}

/// The widest of the gaps that a spot lists: those that it does not list are at least so wide.
double widest_listed(const SpotVerdict& verdict) {
  double widest = 0;
  for (const RuleShare& share : verdict.shares)
    if (is_gap(share)) widest = std::max(widest, share.least);
  return widest;
}

/// What every spot allows a rule to come to.
struct Common {
  double least = 0, most = std::numeric_limits<double>::infinity();
  std::size_t spots = 0;
};

/// The rules that may come to the same at all spots.
std::set<std::string> unchanged_rules(const std::vector<const SpotVerdict*>& passing) {
  std::map<std::string, Common> rules;
  for (const SpotVerdict* verdict : passing)
    for (const RuleShare& share : verdict->shares) {
      Common& mine = rules[share.rule];
      mine.least = std::max(mine.least, share.least);
      mine.most = std::min(mine.most, share.most);
      ++mine.spots;
    }
  std::set<std::string> unchanged;
  for (const auto& [rule, common] : rules) {
    const bool gap = is_gap({rule, 0, 0});
    if (common.spots < passing.size() && !gap) continue;
    double least = common.least;
    for (const SpotVerdict* verdict : passing)
      if (std::ranges::find(verdict->shares, rule, &RuleShare::rule) == verdict->shares.end())
        least = std::max(least, widest_listed(*verdict));
    if (least <= common.most * (1 + rounding)) unchanged.insert(rule);
  }
  return unchanged;
}

std::optional<double> least_of(const SpotVerdict& verdict, const std::set<std::string>& left_out) {
  std::optional<double> least;
  for (const RuleShare& share : verdict.shares)
    if (!left_out.contains(share.rule)) least = std::min(least.value_or(share.least), share.least);
  return least;
}

}  // namespace

std::vector<Spot> with_scores(std::vector<Spot> spots) {
  std::vector<const SpotVerdict*> passing;
  for (const Spot& spot : spots)
    if (spot.verdict.pass && !spot.verdict.shares.empty()) passing.push_back(&spot.verdict);
  const auto unchanged = passing.size() > 1 ? unchanged_rules(passing) : std::set<std::string>{};
  const bool any_changes = std::ranges::any_of(
      passing, [&](const SpotVerdict* verdict) { return least_of(*verdict, unchanged).has_value(); });
  std::optional<double> of_all;  // where no rule tells spots apart
  for (const SpotVerdict* verdict : passing)
    if (const auto least = least_of(*verdict, {})) of_all = std::min(of_all.value_or(*least), *least);
  for (Spot& spot : spots) {
    if (!spot.verdict.pass || spot.verdict.shares.empty()) continue;
    if (!any_changes)
      spot.verdict.score = of_all;
    else
      spot.verdict.score = least_of(spot.verdict, unchanged);
  }
  return spots;
}

bool equal_scores(const SpotVerdict& a, const SpotVerdict& b) {
  if (!a.score || !b.score) return a.score == b.score;
  return std::abs(*a.score - *b.score) <= rounding * std::max(std::abs(*a.score), std::abs(*b.score));
}

}  // namespace cellproof
