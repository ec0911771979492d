// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/open_meshes.hpp"

#include <map>

namespace cellproof {

namespace {

constexpr int pieces = 16;  // of a span

/// Instants of a stretch at shares of its path, each found once.
class Instants {
 public:
  Instants(const Scene& scene, const Stretch& stretch) : scene_(scene), stretch_(stretch) {}

  const Instant& at(double share) {
    const auto [entry, is_new] = known_.try_emplace(share);
    if (is_new) entry->second = instant_at(scene_, stretch_, time_at(stretch_, share));
    return entry->second;
  }

 private:
  const Scene& scene_;
  const Stretch& stretch_;
  std::map<double, Instant> known_;
};

class InsideSearch {
 public:
  InsideSearch(const Scene& scene, const Stretch& stretch)
      : scene_(scene),
        stretch_(stretch),
        instants_(scene, stretch),
        moves_(!stretch.motion.path.goes_nowhere() || !stretch.shifts.empty()) {}

  void at_pair(BodyId a, BodyId b, bool freed, const std::vector<Span>& spans) {
    for (const auto& [outer, inner] : {std::pair(a, b), std::pair(b, a)}) {
      if (!body(outer).solid->open()) continue;
      InOpenMesh worst{outer, inner, freed};
      for (const Span& span : spans)
        for (int i = 0; i <= (moves_ ? pieces : 0) && worst.within != Within::inside; ++i)
          at_share(span.from + (span.to - span.from) * i / pieces, worst);
      if (worst.within != Within::outside) found.push_back(worst);
    }
  }

  std::vector<InOpenMesh> found;

 private:
  const SceneBody& body(BodyId id) const { return scene_.bodies[id]; }

  void at_share(double share, InOpenMesh& worst) {
    const Instant& at = instants_.at(share);
    const SceneBody &outer = body(worst.outer), &inner = body(worst.inner);
    const Pose inner_in_outer = at.pose_of(outer).inverse() * at.pose_of(inner);
    const Within here = where_shells_lie(*outer.solid, *inner.solid, inner_in_outer);
    if (here <= worst.within) return;
    worst.within = here;
    worst.time_s = time_at(stretch_, share);
  }

  const Scene& scene_;
  const Stretch& stretch_;
  Instants instants_;
  bool moves_;
};

}  // namespace

std::vector<InOpenMesh> measure_in_open_meshes(const Scene& scene, const Stretch& stretch,
                                               const std::vector<PairAsked>& pairs) {
  InsideSearch look(scene, stretch);
  for (const PairAsked& pair : pairs) look.at_pair(pair.a, pair.b, false, pair.spans);
  for (const SparedPair& pair : spared_pairs(scene, stretch))
    if (pair.freed) look.at_pair(pair.a, pair.b, true, {{0, 1}});
  return std::move(look.found);
}

}  // namespace cellproof
