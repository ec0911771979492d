// SPDX-License-Identifier: GPL-3.0-or-later
// What was found about pairs, kept and found again by key: in the next run of a cycle, or in the proof of a cell that
// differs elsewhere. An answer depends on its key alone, so that a proof is the same to the bit with and without.
#pragma once

#include <mutex>
#include <optional>
#include <unordered_map>

#include "scene/basics/content_key.hpp"
#include "scene/clearance/clearance.hpp"
#include "scene/solids/distance.hpp"

namespace cellproof {

/// Answers by key, from any thread. When it has taken in half of what it may hold, what was not asked for since the
/// last half is forgotten.
template <class Answer>
class Kept {
 public:
  explicit Kept(std::size_t most) : half_(most / 2) {}

  std::optional<Answer> find(const ContentKey& key) {
    const std::lock_guard<std::mutex> lock(mutex_);
    if (const auto recent = recent_.find(key); recent != recent_.end()) return recent->second;
    const auto old = old_.find(key);
    if (old == old_.end()) return std::nullopt;
    const Answer answer = old->second;
    put(key, answer);
    return answer;
  }

  void keep(const ContentKey& key, const Answer& answer) {
    const std::lock_guard<std::mutex> lock(mutex_);
    put(key, answer);
  }

  std::size_t size() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return recent_.size() + old_.size();
  }

 private:
  struct Hash {
    std::size_t operator()(const ContentKey& key) const { return key.low; }
  };
  using Map = std::unordered_map<ContentKey, Answer, Hash>;

  void put(const ContentKey& key, const Answer& answer) {
    if (recent_.size() >= half_) {
      old_ = std::move(recent_);
      recent_ = Map{};
    }
    recent_.insert_or_assign(key, answer);
  }

  std::size_t half_;
  mutable std::mutex mutex_;
  Map recent_, old_;
};

/// What a search along a path has come to; points are in the pair's own frame.
struct PairFound {
  PairClearance clearance;
  std::optional<TrianglePair> likely;
  long queries = 0;  ///< that it took
};

class PairResults {
 public:
  /// About 250 bytes an answer.
  explicit PairResults(std::size_t most = 400000) : clearances(most), depths(most) {}
  Kept<PairFound> clearances;
  Kept<double> depths;  ///< mm
};

}  // namespace cellproof
