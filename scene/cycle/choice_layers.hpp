// SPDX-License-Identifier: GPL-3.0-or-later
// The ladder of a run: for each target the ways to stand there, with the lines that can be run from them.
#pragma once

#include <optional>
#include <set>
#include <span>
#include <utility>
#include <vector>

#include "scene/cycle/asked_ways.hpp"
#include "scene/cycle/configurations.hpp"
#include "scene/cycle/ladder.hpp"

namespace cellproof {

/// A way to stand at a target, held with one of the grasp's turns.
struct Choice {
  Candidate candidate;
  std::size_t variant = 0;           ///< which turn of its pick
  std::vector<Way> lines;            ///< from there on to the next target
  std::optional<NoWay> without_way;  ///< why the lines can't be run
  std::string configuration;         ///< how the arm stands there, in plain words; may be empty
  const Joints& end() const { return lines.empty() ? candidate.joints : lines.back().path.end(); }
};

/// What the layers are made from.
struct LayersRequest {
  const Scene& scene;
  RunSetup setup;
  std::vector<Joints> standing;  ///< where joints are free (a continuum), more values (rad) to try them at
  AskedWays ways;
};

/// A layer is a target with all legs up to the next. Where the turn of a grasp matters (from its pick until the part is
/// placed), a layer has choices for each turn that is admitted: at first only the first turn of each pick.
class ChoiceLayers {
 public:
  explicit ChoiceLayers(LayersRequest request);

  std::size_t count() const { return layers_.size(); }
  const Choice& choice(std::size_t layer, std::size_t rung) const { return layers_[layer].choices[rung]; }
  tl::expected<Climb, StuckClimb> best();
  /// The climb that comes furthest before it meets a bar, then meets the next one as late as it can, and so on.
  tl::expected<Climb, StuckClimb> furthest();

  /// Admits one more turn of the last pick that could open the way to a layer. False if there is none.
  bool admit_next_turn(std::size_t stuck_layer);
  // False if it was barred already.
  bool bar_move(std::size_t layer, std::size_t from, std::size_t to);
  /// Bars all choices that differ from this one by whole turns only. `legs_left`: how many of the layer's legs are not
  /// run for it, the one that is unfit among them.
  bool bar_solution(std::size_t layer, const Choice& like, std::size_t legs_left);

  std::span<const Leg> legs(std::size_t layer, std::size_t variant) const;
  /// The ways of a layer's legs with a target, in order.
  std::vector<Way> ways(const Climb& climb, std::size_t layer) const;
  Joints standing_before(const Climb& climb, std::size_t layer) const;
  Arrangement at_end(const Climb& climb) const;
  /// The turn that a layer has after a climb to the one below it.
  std::size_t variant_after(const Climb& below, std::size_t layer) const;
  /// No choice of the layer is left, wherever the arm comes from.
  bool all_blocked(std::size_t layer) const;
  /// What can't be stood at or run on from, whatever comes before.
  std::vector<BlockedChoice> without_way(std::size_t layer) const;
  /// A choice in words; with `move` also where it comes from.
  std::string name(const Climb& climb, std::size_t layer, bool move) const;

 private:
  struct Layer {
    std::size_t first_leg = 0, leg_count = 0;
    std::optional<std::size_t> pick;  ///< whose turn matters here
    bool picks = false;               ///< that pick happens here
    std::vector<Choice> choices;
    std::vector<Rung> rungs;
    std::vector<std::vector<Nanoseconds>> moves;  ///< by rung and rung of the layer before; -1: not asked for yet
    std::vector<int> barred;                      ///< by rung: legs that are not run for it, 0 if it is not barred
    std::set<std::pair<std::size_t, std::size_t>> barred_moves;  ///< from which rung to which
    std::vector<std::size_t> unreachable;                        ///< variants for which there is no solution at all
  };

  void cut_into_layers();
  const Legs& spelled(std::size_t variant);
  void admit(std::size_t layer, std::size_t variant);
  void run_lines_of(std::size_t layer, std::size_t first_choice);
  std::vector<Candidate> candidates_of(std::size_t layer, std::size_t variant);
  int faults(std::size_t layer, std::size_t from, std::size_t to) const;
  Nanoseconds move_time(std::size_t layer, std::size_t from, std::size_t to);
  Nanoseconds new_move_time(std::size_t layer, std::size_t from, std::size_t to) const;
  double turn(std::size_t layer, std::size_t variant) const;
  std::string name_of(std::size_t layer, const Choice& choice) const;
  std::string name_of_turn(std::size_t layer, std::size_t variant) const;

  LayersRequest request_;
  std::vector<std::vector<double>> turns_;  ///< by pick
  std::vector<std::size_t> admitted_;       ///< how many turns, by pick
  std::vector<std::optional<Legs>> spelled_;
  std::vector<Layer> layers_;
};

}  // namespace cellproof
