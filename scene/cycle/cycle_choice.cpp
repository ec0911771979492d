// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/cycle_choice.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include <fmt/format.h>

#include "kinematics/entry.hpp"
#include "scene/cycle/choice_layers.hpp"
#include "scene/cycle/timed_stretch.hpp"

namespace cellproof {

namespace {

/// What a piece of the way hangs on, whole turns left aside: two pieces with the same key pass the same places.
struct PieceKey {
  std::size_t layer = 0;
  bool move = false;  ///< the joint move to the rung, else the lines from it
  std::array<std::optional<std::size_t>, 4> places;
  std::array<long, 6> travel{};
  auto operator<=>(const PieceKey&) const = default;
};

/// Climbs, judges what the best climb asks for, bars what is unfit, and climbs again.
class ChoiceSearch {
 public:
  explicit ChoiceSearch(const ChoiceRequest& request)
      : request_(request), layers_({request.scene, request.setup, request.standing, request.ways}) {}

  CycleChoice run() {
    for (;;) {
      const auto climb = layers_.best();
      if (!climb && layers_.admit_next_turn(climb.error().layer)) continue;
      if (!climb) return request_.judge ? furthest(why_stuck(climb.error())) : stuck(climb.error());
      if (!request_.judge || fits(*climb)) return chosen(*climb, true);
      if (out_of_patience()) return furthest(why_impatient());
    }
  }

 private:
  /// What a piece came to.
  struct Unfit {
    std::optional<BlockedChoice> reason;  ///< none: it is fit
    std::size_t legs_left = 0;            ///< of the layer: not run for it, the unfit one among them
  };

  const Choice& choice(const Climb& climb, std::size_t layer) const {
    return layers_.choice(layer, climb.rungs[layer]);
  }

  PieceKey key_of(const Climb& climb, std::size_t layer, bool move) const {
    const Choice& to = choice(climb, layer);
    PieceKey key{layer, move, {to.variant, to.candidate.solution}, {}};
    if (!move) return key;
    if (layer > 0) {
      const Choice& from = choice(climb, layer - 1);
      key.places[2] = from.variant;
      key.places[3] = from.candidate.solution;
    }
    const Joints travel = to.candidate.joints - layers_.standing_before(climb, layer);
    for (int j = 0; j < 6; ++j) entry(key.travel, j) = std::lround(travel[j] * 1e6);
    return key;
  }

  /// Whether the search is to end with what it has.
  bool out_of_patience() const { return request_.stop.stop_requested() || judged_ > request_.most_judged; }

  /// The layers' pieces, those of layers that failed before first.
  std::vector<std::pair<std::size_t, bool>> in_order_of_doubt() const {
    std::vector<std::pair<std::size_t, bool>> pieces;
    for (std::size_t layer = 0; layer < layers_.count(); ++layer)
      for (const bool move : {true, false}) pieces.emplace_back(layer, move);
    const auto doubt = [this](const std::pair<std::size_t, bool>& piece) {
      const auto known = failures_.find(piece);
      return known == failures_.end() ? 0 : known->second;
    };
    std::stable_sort(pieces.begin(), pieces.end(), [&](const auto& a, const auto& b) { return doubt(a) > doubt(b); });
    return pieces;
  }

  /// True if all pieces are fit; else the first that is not is barred.
  bool fits(const Climb& climb) {
    const auto pieces = in_order_of_doubt();
    return std::ranges::all_of(pieces, [&](const auto& piece) { return piece_fits(climb, piece); });
  }

  bool piece_fits(const Climb& climb, const std::pair<std::size_t, bool>& piece) {
    const Unfit& known = verdict(climb, piece);
    if (!known.reason) return true;
    bar(climb, piece, known);
    return false;
  }

  /// False if it was barred already.
  bool bar(const Climb& climb, const std::pair<std::size_t, bool>& piece, const Unfit& unfit) {
    const auto [layer, move] = piece;
    if (move) return layers_.bar_move(layer, layer > 0 ? climb.rungs[layer - 1] : 0, climb.rungs[layer]);
    return layers_.bar_solution(layer, choice(climb, layer), unfit.legs_left);
  }

  /// Judges a piece that is not known yet.
  const Unfit& verdict(const Climb& climb, const std::pair<std::size_t, bool>& piece) {
    const auto [layer, move] = piece;
    const PieceKey key = key_of(climb, layer, move);
    auto known = verdicts_.find(key);
    if (known != verdicts_.end()) return known->second;
    known = verdicts_.emplace(key, judged(climb, layer, move)).first;
    if (known->second.reason) {
      ++failures_[piece];
      barred_.push_back({layer, *known->second.reason});
    }
    return known->second;
  }

  Unfit judged(const Climb& climb, std::size_t layer, bool move) {
    const auto legs = layers_.legs(layer, choice(climb, layer).variant);
    const auto ways = layers_.ways(climb, layer);
    Joints standing = layers_.standing_before(climb, layer);
    std::size_t way = 0;
    for (std::size_t i = 0; i < legs.size(); ++i) {
      const Leg& leg = legs[i];
      const Way* mine = leg.target ? &ways[way++] : nullptr;
      if ((leg.kind == StretchKind::joint) == move) {
        ++judged_;
        if (auto reason = request_.judge(timed_stretch(request_.scene, leg, mine, standing, 0)))
          return {BlockedChoice{layers_.name(climb, layer, move), leg.step, *reason, leg.step_index}, legs.size() - i};
      }
      if (mine) standing = mine->path.end();
    }
    return {};
  }

  CycleChoice chosen(const Climb& climb, bool whole) const {
    CycleChoice result;
    result.whole = whole;
    for (std::size_t layer = 0; layer < climb.rungs.size(); ++layer) {
      result.configurations.push_back(choice(climb, layer).configuration);
      const auto ways = layers_.ways(climb, layer);
      std::size_t way = 0;
      for (const Leg& leg : layers_.legs(layer, choice(climb, layer).variant))
        result.legs.push_back({leg, leg.target ? std::optional<Way>(ways[way++]) : std::nullopt});
    }
    if (whole) result.at_end = layers_.at_end(climb);
    return result;
  }

  /// The legs below the layer that nothing leads to, and that layer's.
  CycleChoice stuck(const StuckClimb& climb) const {
    CycleChoice result = chosen(climb.below, false);
    const std::size_t variant = layers_.variant_after(climb.below, climb.layer);
    const auto legs = layers_.legs(climb.layer, variant);
    result.stuck_at.assign(legs.begin(), legs.end());
    result.blocked = why_stuck(climb);
    result.stuck_layer = climb.layer;
    result.stuck_in_itself = layers_.all_blocked(climb.layer);
    return result;
  }

  /// What was tried for the layer that nothing leads to, then what was for those below it.
  std::vector<BlockedChoice> why_stuck(const StuckClimb& climb) const {
    std::vector<BlockedChoice> why;
    for (std::size_t layer = climb.layer + 1; layer-- > 0;) {
      for (auto& blocked : layers_.without_way(layer)) why.push_back(std::move(blocked));
      for (const auto& [barred_layer, blocked] : barred_)
        if (barred_layer == layer) why.push_back(blocked);
    }
    return why;
  }

  std::vector<BlockedChoice> why_impatient() const {
    std::vector<BlockedChoice> why;
    for (const auto& entry : barred_) why.push_back(entry.second);
    why.push_back({"others", "", fmt::format("not tried: the search ends after {} stretches", judged_), {}});
    return why;
  }

  /// No choice is fit throughout: the one that comes furthest, looked at as far as patience lasts.
  CycleChoice furthest(std::vector<BlockedChoice> why) {
    judged_ = 0;
    auto climb = layers_.furthest();
    while (bars_more(climb ? *climb : climb.error().below)) climb = layers_.furthest();
    CycleChoice result = climb ? chosen(*climb, false) : stuck(climb.error());
    if (climb) result.at_end = layers_.at_end(*climb);
    result.blocked = std::move(why);
    return result;
  }

  /// Looks along a climb for the first unfit piece that was not barred, and bars it. False if there is none.
  bool bars_more(const Climb& climb) {
    for (std::size_t layer = 0; layer < climb.rungs.size(); ++layer)
      for (const bool move : {true, false}) {
        if (out_of_patience()) return false;
        const Unfit& known = verdict(climb, {layer, move});
        if (known.reason && bar(climb, {layer, move}, known)) return true;
      }
    return false;
  }

  const ChoiceRequest& request_;
  ChoiceLayers layers_;
  std::map<PieceKey, Unfit> verdicts_;
  std::map<std::pair<std::size_t, bool>, int> failures_;
  std::vector<std::pair<std::size_t, BlockedChoice>> barred_;
  std::size_t judged_ = 0;
};

}  // namespace

CycleChoice choose_for_cycle(const ChoiceRequest& request) {
  return ChoiceSearch(request).run();
}

}  // namespace cellproof
