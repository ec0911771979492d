// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/choice_layers.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <ranges>

#include <fmt/format.h>

#include "kinematics/inverse/configuration_name.hpp"
#include "kinematics/motion/motion.hpp"
#include "scene/cycle/grasp_turns.hpp"
#include "scene/cycle/timed_stretch.hpp"

namespace cellproof {

namespace {

constexpr Nanoseconds not_asked = -1;

bool lower(const Choice& a, const Choice& b) {
  for (int j = 0; j < 6; ++j) {
    const double mine = std::round(a.candidate.joints[j] * 1e8), other = std::round(b.candidate.joints[j] * 1e8);
    if (mine != other) return mine < other;
  }
  return false;
}

bool has_near(const Leg& leg) {
  const auto* target = leg.target ? std::get_if<FrameTarget>(&leg.target->to) : nullptr;
  return target && target->near;
}

bool starts_with_move(std::span<const Leg> legs) {
  return legs.front().kind == StretchKind::joint;
}

/// Candidates found with other values of free joints, unless they are there already.
void add_new(std::vector<Candidate>& all, const std::vector<Candidate>& more, std::size_t number) {
  const std::size_t known = all.size();
  for (const auto& candidate : more) {
    const auto same = [&](const Candidate& other) {
      return (other.joints - candidate.joints).cwiseAbs().maxCoeff() < 1e-6;
    };
    if (std::none_of(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(known), same))
      all.push_back({candidate.joints, candidate.solution + 1000 * number});
  }
}

}  // namespace

ChoiceLayers::ChoiceLayers(LayersRequest request)
    : request_(std::move(request)), turns_(turns_of_picks(request_.scene.cell)), admitted_(turns_.size(), 1) {
  std::size_t variants = 1;
  for (const auto& turns : turns_) variants = std::max(variants, turns.size());
  spelled_.resize(variants);
  cut_into_layers();
  for (std::size_t layer = 0; layer < layers_.size(); ++layer) admit(layer, 0);
}

const Legs& ChoiceLayers::spelled(std::size_t variant) {
  auto& mine = spelled_[variant];
  if (mine) return *mine;
  RunSetup setup = request_.setup;
  setup.turn_of_pick.clear();
  for (const auto& turns : turns_) setup.turn_of_pick.push_back(turns[std::min(variant, turns.size() - 1)]);
  mine = spell_out(request_.scene, setup);
  return *mine;
}

void ChoiceLayers::cut_into_layers() {
  const std::span<const Leg> legs(spelled(0).legs);
  std::size_t picks = 0;
  for (std::size_t first = 0; first < legs.size();) {
    Layer layer;
    layer.first_leg = first;
    layer.leg_count = legs_together(legs.subspan(first));
    const auto mine = legs.subspan(first, layer.leg_count);
    layer.picks = std::any_of(mine.begin(), mine.end(), [](const Leg& leg) { return leg.kind == StretchKind::grip; });
    if (layer.picks) ++picks;
    if (layer.picks || mine.front().held_part) layer.pick = picks - 1;
    first += layer.leg_count;
    layers_.push_back(std::move(layer));
  }
}

std::span<const Leg> ChoiceLayers::legs(std::size_t layer, std::size_t variant) const {
  const Layer& mine = layers_[layer];
  return std::span<const Leg>(spelled_[variant]->legs).subspan(mine.first_leg, mine.leg_count);
}

double ChoiceLayers::turn(std::size_t layer, std::size_t variant) const {
  return turns_[*layers_[layer].pick][variant];
}

// ---- choices ----

std::vector<Candidate> ChoiceLayers::candidates_of(std::size_t layer, std::size_t variant) {
  const auto mine = legs(layer, variant);
  const Joints start = request_.scene.cell.cycle->start;
  if (!starts_with_move(mine)) return {{start, 0}};
  auto found = candidates_for({request_.scene, start}, mine.front());
  if (found.empty()) layers_[layer].unreachable.push_back(variant);
  for (std::size_t i = 0; i < request_.standing.size() && !found.empty(); ++i)
    add_new(found, candidates_for({request_.scene, request_.standing[i]}, mine.front()), i + 1);
  return found;
}

void ChoiceLayers::run_lines_of(std::size_t layer, std::size_t first_choice) {
  const Scene& scene = request_.scene;
  std::map<std::size_t, std::pair<Joints, FollowedLines>> followed;
  for (std::size_t i = first_choice; i < layers_[layer].choices.size(); ++i) {
    Choice& choice = layers_[layer].choices[i];
    auto mine = legs(layer, choice.variant);
    if (starts_with_move(mine)) mine = mine.subspan(1);
    const Joints& joints = choice.candidate.joints;
    auto known = followed.find(choice.candidate.solution);
    if (known == followed.end())
      known = followed.emplace(choice.candidate.solution, std::pair(joints, follow_lines(scene, mine, joints))).first;
    auto lines = lines_within_limits(scene, mine, known->second.second, joints - known->second.first);
    if (lines)
      choice.lines = std::move(*lines);
    else
      choice.without_way = lines.error();
  }
}

void ChoiceLayers::admit(std::size_t layer, std::size_t variant) {
  spelled(variant);
  Layer& mine = layers_[layer];
  const std::size_t first = mine.choices.size();
  const auto candidates = candidates_of(layer, variant);
  std::vector<std::pair<Choice, int>> found;  // with how far it is from `near`
  for (std::size_t i = 0; i < candidates.size(); ++i)
    found.emplace_back(Choice{candidates[i],
                              variant,
                              {},
                              std::nullopt,
                              configuration_name(request_.scene.cell.arm.arm, candidates[i].joints)},
                       static_cast<int>(i));
  std::sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return lower(a.first, b.first); });
  for (auto& entry : found) mine.choices.push_back(std::move(entry.first));
  run_lines_of(layer, first);
  const bool near = !legs(layer, variant).empty() && has_near(legs(layer, variant).front());
  for (std::size_t i = first; i < mine.choices.size(); ++i) {
    const Choice& choice = mine.choices[i];
    Rung rung;
    rung.preference = mine.picks ? static_cast<int>(variant) : near ? found[i - first].second : 0;
    rung.blocked = choice.without_way.has_value() || !request_.ways.allows(layer, choice.configuration);
    std::size_t way = 0;
    for (const Leg& leg : legs(layer, variant))
      if (leg.kind == StretchKind::linear && leg.target && !choice.without_way) {
        const Stretch timed = timed_stretch(request_.scene, leg, &choice.lines[way++], choice.end(), 0);
        rung.time += nanoseconds(timed.end_s);
      }
    mine.rungs.push_back(rung);
    mine.barred.push_back(0);
  }
}

bool ChoiceLayers::admit_next_turn(std::size_t stuck_layer) {
  const Layer& stuck = layers_[stuck_layer];
  const bool whatever_before = all_blocked(stuck_layer);
  std::optional<std::size_t> last = stuck.pick;
  for (std::size_t layer = 0; layer <= stuck_layer; ++layer)
    if (layers_[layer].picks && !whatever_before) last = std::max(last, layers_[layer].pick);
  for (std::size_t pick = last ? *last + 1 : 0; pick-- > 0;) {
    if (whatever_before && pick != stuck.pick) return false;
    std::size_t& admitted = admitted_[pick];
    if (admitted >= turns_[pick].size()) continue;
    for (std::size_t layer = 0; layer < layers_.size(); ++layer)
      if (layers_[layer].pick == pick) admit(layer, admitted);
    ++admitted;
    return true;
  }
  return false;
}

bool ChoiceLayers::all_blocked(std::size_t layer) const {
  const Layer& mine = layers_[layer];
  return std::ranges::all_of(std::views::iota(std::size_t{0}, mine.rungs.size()),
                             [&](std::size_t i) { return mine.rungs[i].blocked || mine.barred[i] > 0; });
}

// ---- moves between layers ----

Nanoseconds ChoiceLayers::new_move_time(std::size_t layer, std::size_t from, std::size_t to) const {
  const Layer& mine = layers_[layer];
  const Choice& choice = mine.choices[to];
  if (layer > 0 && mine.pick && !mine.picks && layers_[layer - 1].pick == mine.pick &&
      layers_[layer - 1].choices[from].variant != choice.variant)
    return no_move;
  if (layer > 0 &&
      !request_.ways.allows_move(layer, layers_[layer - 1].choices[from].configuration, choice.configuration))
    return no_move;
  const Leg& leg = legs(layer, choice.variant).front();
  if (leg.kind != StretchKind::joint) return 0;
  const Joints& start = layer > 0 ? layers_[layer - 1].choices[from].end() : request_.scene.cell.cycle->start;
  return nanoseconds(
      joint_motion(request_.scene.cell.arm.arm, start, choice.candidate.joints, speeds_of(request_.scene, leg))
          .duration());
}

Nanoseconds ChoiceLayers::move_time(std::size_t layer, std::size_t from, std::size_t to) {
  auto& moves = layers_[layer].moves;
  if (moves.size() < layers_[layer].choices.size()) moves.resize(layers_[layer].choices.size());
  auto& row = moves[to];
  const std::size_t before = layer > 0 ? layers_[layer - 1].choices.size() : 1;
  if (row.size() < before) row.resize(before, not_asked);
  if (row[from] == not_asked) row[from] = new_move_time(layer, from, to);
  return row[from];
}

tl::expected<Climb, StuckClimb> ChoiceLayers::best() {
  std::vector<std::vector<Rung>> rungs;
  for (const auto& layer : layers_) {
    rungs.push_back(layer.rungs);
    for (std::size_t i = 0; i < layer.rungs.size(); ++i)
      if (layer.barred[i] > 0) rungs.back()[i].blocked = true;
  }
  return best_climb(rungs, [this](std::size_t layer, std::size_t from, std::size_t to) {
    return layers_[layer].barred_moves.contains({from, to}) ? no_move : move_time(layer, from, to);
  });
}

tl::expected<Climb, StuckClimb> ChoiceLayers::furthest() {
  std::vector<std::vector<Rung>> rungs;
  for (const auto& layer : layers_) rungs.push_back(layer.rungs);
  return best_climb(
      rungs, [this](std::size_t layer, std::size_t from, std::size_t to) { return move_time(layer, from, to); },
      [this](std::size_t layer, std::size_t from, std::size_t to) { return faults(layer, from, to); });
}

/// A move that is barred comes before the lines, whose first leg comes before the second.
int ChoiceLayers::faults(std::size_t layer, std::size_t from, std::size_t to) const {
  const Layer& mine = layers_[layer];
  constexpr int more_than_legs = 1 << 20;
  return mine.barred[to] + (mine.barred_moves.contains({from, to}) ? more_than_legs : 0);
}

bool ChoiceLayers::bar_move(std::size_t layer, std::size_t from, std::size_t to) {
  return layers_[layer].barred_moves.insert({from, to}).second;
}

bool ChoiceLayers::bar_solution(std::size_t layer, const Choice& like, std::size_t legs_left) {
  Layer& mine = layers_[layer];
  bool is_new = false;
  for (std::size_t i = 0; i < mine.choices.size(); ++i)
    if (mine.choices[i].variant == like.variant && mine.choices[i].candidate.solution == like.candidate.solution)
      is_new = std::exchange(mine.barred[i], static_cast<int>(legs_left)) == 0 || is_new;
  return is_new;
}

// ---- what was climbed ----

Joints ChoiceLayers::standing_before(const Climb& climb, std::size_t layer) const {
  return layer > 0 ? choice(layer - 1, climb.rungs[layer - 1]).end() : request_.scene.cell.cycle->start;
}

std::vector<Way> ChoiceLayers::ways(const Climb& climb, std::size_t layer) const {
  const Choice& mine = choice(layer, climb.rungs[layer]);
  std::vector<Way> ways;
  if (starts_with_move(legs(layer, mine.variant)))
    ways.push_back({Path::joint(standing_before(climb, layer), mine.candidate.joints)});
  ways.insert(ways.end(), mine.lines.begin(), mine.lines.end());
  return ways;
}

Arrangement ChoiceLayers::at_end(const Climb& climb) const {
  const std::size_t variant = climb.rungs.empty() ? 0 : choice(layers_.size() - 1, climb.rungs.back()).variant;
  return spelled_[variant]->at_end;
}

std::size_t ChoiceLayers::variant_after(const Climb& below, std::size_t layer) const {
  if (!layers_[layer].pick || layers_[layer].picks || below.rungs.empty()) return 0;
  return choice(layer - 1, below.rungs[layer - 1]).variant;
}

std::string ChoiceLayers::name_of_turn(std::size_t layer, std::size_t variant) const {
  const auto pick = layers_[layer].pick;
  if (!pick || turns_[*pick].size() < 2) return {};
  return fmt::format(", grasp turned {:g} deg", degrees(turn(layer, variant)) + 0.0);
}

std::string ChoiceLayers::name_of(std::size_t layer, const Choice& choice) const {
  if (!choice.configuration.empty()) return choice.configuration + name_of_turn(layer, choice.variant);
  std::string text = "joints";
  for (int j = 0; j < 6; ++j)
    text += fmt::format("{}{:.1f}", j ? ", " : " ", degrees(choice.candidate.joints[j]) + 0.0);
  return text + " deg" + name_of_turn(layer, choice.variant);
}

std::string ChoiceLayers::name(const Climb& climb, std::size_t layer, bool move) const {
  const std::string mine = name_of(layer, choice(layer, climb.rungs[layer]));
  if (!move || layer == 0) return mine;
  return fmt::format("{}, from {}", mine, name_of(layer - 1, choice(layer - 1, climb.rungs[layer - 1])));
}

std::vector<BlockedChoice> ChoiceLayers::without_way(std::size_t layer) const {
  std::vector<BlockedChoice> all;
  for (const std::size_t variant : layers_[layer].unreachable) {
    const Leg& leg = legs(layer, variant).front();
    all.push_back({"any joint solution" + name_of_turn(layer, variant), leg.step,
                   "the pose has no joint solution within limits", leg.step_index});
  }
  for (const Choice& choice : layers_[layer].choices)
    if (choice.without_way)
      all.push_back({name_of(layer, choice), choice.without_way->failure.step, choice.without_way->failure.message,
                     choice.without_way->failure.step_index});
  return all;
}

}  // namespace cellproof
