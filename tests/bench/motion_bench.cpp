// SPDX-License-Identifier: GPL-3.0-or-later
// Motions that are easily missed: what this engine, the library's continuous collision, and the library's distances
// sampled every millimetre say of each, and what it costs them.
#include <benchmark/benchmark.h>
#include <fcl/narrowphase/continuous_collision.h>
#include <fcl/narrowphase/distance.h>
#include <fmt/format.h>

#include "scene/cell/cell_file.hpp"
#include "scene/clearance/carried_motion.hpp"
#include "scene/clearance/clearance.hpp"
#include "scene/cycle/plan.hpp"
#include "tests/bench/fcl_model.hpp"
#include "tests/bench/processor_time.hpp"
#include "tests/support/loader_arm.hpp"

using namespace cellproof;

namespace {

std::shared_ptr<FclModel> model_of(const Mesh& mesh) {
  auto model = std::make_shared<FclModel>();
  fill(*model, mesh);
  return model;
}

/// A cell of two bodies, "one" and "other", and one step; which of its facts is known beforehand.
struct Motion {
  std::string name, bodies, step;
  bool touches;
  double truth_mm;  ///< least distance, by construction
};

std::string body(const std::string& name, const std::string& on, const std::string& xyz, const std::string& shape) {
  return fmt::format("[[body]]\nname = \"{}\"\non = \"{}\"\nat = {{ xyz = [{}] }}\n{}\n", name, on, xyz, shape);
}

std::string swing(const std::string& from, const std::string& to) {
  return fmt::format("[cycle]\nstart = [{}]\n[[step]]\nmove = \"joint\"\nto = {{ joints = [{}] }}\n", from, to);
}

/// With joint 5 at -90 deg the flange looks down, 790 mm from the arm's axis, at z = 1070.
const std::string left = "-30, 0, 0, 0, -90, 0", right = "30, 0, 0, 0, -90, 0";
constexpr double spin_reach = 56.5685424949238;  // corner of an 80 mm square from its middle: 40 √2

std::vector<Motion> motions() {
  std::vector<Motion> all;
  all.push_back({"plates of 0.01 mm crossed at full speed",
                 body("one", "flange", "0, 0, 60", "box = [80, 0.01, 100]") +
                     body("other", "world", "790, 0, 1000", "box = [80, 0.01, 100]"),
                 swing(left, right), true, 0});
  // The needle's axis passes at 790 mm, its skin at 790.05; the wall begins 0.02 mm further.
  all.push_back({"needle through a gap of 0.02 mm",
                 body("one", "flange", "0, 0, 60", "box = [0.1, 0.1, 100]") +
                     body("other", "world", "840.0716, 0, 1000", "box = [100, 0.1, 100]"),
                 swing(left, right), false, 840.0716 - 50 - std::hypot(790.05, 0.05)});
  all.push_back(
      {"tool spinning about its own axis beside a wall",
       body("one", "flange", "0, 0, 60", "box = [80, 80, 100]") +
           body("other", "world", fmt::format("{}, 0, 1000", 790 + spin_reach + 5 + 50), "box = [100, 400, 400]"),
       swing("0, 0, 0, 0, -90, -170", "0, 0, 0, 0, -90, 170"), false, 5});
  // Both ride on moving things: link 2 falls back, the flange folds down beside it.
  all.push_back({"both bodies moving",
                 body("one", "flange", "0, 0, 30", "box = [60, 60, 60]") +
                     body("other", "link2", "0, 0, 130", "box = [200, 60, 60]"),
                 swing("0, -30, 20, 0, -60, 0", "0, 40, -60, 60, 60, 0"), false,
                 std::numeric_limits<double>::quiet_NaN()});
  all.push_back(
      {"slide at a constant distance of 1 mm",
       body("one", "flange", "0, 0, 30", "box = [60, 60, 60]") +
           body("other", "world", "800, 0, 1008.9999", "box = [900, 1400, 0.0002]") +
           "[[tcp]]\nname = \"tip\"\non = \"flange\"\nat = { xyz = [0, 0, 60] }\n",
       "[cycle]\nstart = [0, 0, 0, 0, -90, 0]\ntool_speed = 1000\n[[step]]\nmove = \"linear\"\nto = { tcp = \"tip\", "
       "at = { xyz = [790, 450, 1010], turn = [180, 0, 0] } }\n",
       false, 1});
  return all;
}

/// The pair and its only stretch that moves.
class Case {
 public:
  explicit Case(const Motion& motion) {
    const auto cell = read_cell_text(test::head + motion.bodies + motion.step, motion.name);
    if (!cell) throw std::runtime_error(cell.error().text());
    scene_ = std::move(*build_scene(*cell));
    cycle_ = plan_cycle(scene_);
    if (cycle_.runs.front().failure) throw std::runtime_error(cycle_.runs.front().failure->message);
    for (const auto& each : scene_.bodies) models_.push_back(model_of(each.solid->mesh()));
  }
  const Stretch& stretch() const { return cycle_.runs.front().stretches.back(); }

  StretchClearance ours(double least) const {
    return measure_clearance(scene_, stretch(), {{BodyId(0), BodyId(1), least, {{0, 1}}}});
  }

  std::array<Pose, 2> poses(double share) const {
    const double time = time_at(stretch(), share);
    const auto all = world_poses(scene_, arrangement_at(stretch(), time), joints_at(stretch(), time));
    return {all[scene_.bodies.at(0).frame], all[scene_.bodies.at(1).frame]};
  }

  /// Samples so close that no point moves further than `step_mm` between two.
  long samples(double step_mm) const {
    const CarriedMotion motion(scene_, stretch());
    return std::max(
        1L, std::lround(std::ceil(motion.relative_travel(motion.mover_of(BodyId(0)), motion.mover_of(BodyId(1)), 0, 1) /
                                  step_mm)));
  }
  double sampled(long count, double cap) const {
    double least = cap;
    for (long i = 0; i <= count; ++i) {
      const auto [a, b] = poses(static_cast<double>(i) / static_cast<double>(count));
      fcl::DistanceResultd result;
      result.min_distance = least;
      fcl::distance(models_[0].get(), a, models_[1].get(), b, fcl::DistanceRequestd(true), result);
      least = std::min(least, std::max(0.0, result.min_distance));
    }
    return least;
  }
  /// Between the ends alone: the library knows no arm.
  bool continuous() const {
    const auto [a0, b0] = poses(0);
    const auto [a1, b1] = poses(1);
    const fcl::ContinuousCollisionRequestd request(100, 1e-4, fcl::CCDM_LINEAR, fcl::GST_LIBCCD,
                                                   fcl::CCDC_CONSERVATIVE_ADVANCEMENT);
    fcl::ContinuousCollisionResultd result;
    fcl::continuousCollide(models_[0].get(), a0, a1, models_[1].get(), b0, b1, request, result);
    return result.is_collide;
  }

 private:
  Scene scene_;
  Cycle cycle_;
  std::vector<std::shared_ptr<FclModel>> models_;
};

std::string told(bool touches, bool truth) {
  return fmt::format("{}{}", touches ? "touches" : "clear", touches == truth ? "" : " (WRONG)");
}

void easily_missed(benchmark::State& state) {
  const Motion motion = motions()[static_cast<std::size_t>(state.range(0))];
  const Case both(motion);
  StretchClearance found;
  double sampled = 0, ours_s = 0, sampled_s = 0, continuous_s = 0;
  bool collides = false;
  const long count = both.samples(1);
  constexpr double rule = 0.01;  // mm: so near that whoever passes it is told from whoever touches
  for (auto _ : state) {
    ours_s += processor_seconds([&] { found = both.ours(rule); });
    sampled_s += processor_seconds([&] { sampled = both.sampled(count, 100); });
    continuous_s += processor_seconds([&] { collides = both.continuous(); });
  }
  const double each = 1e6 / static_cast<double>(state.iterations());
  state.SetLabel(fmt::format(
      "{}: truth {}{}; ours {} ({:.4f} to {:.4f} mm, {} queries), sampled each mm {} ({:.4f} mm), continuousCollide {}",
      motion.name, motion.touches ? "touches" : "clear",
      std::isnan(motion.truth_mm) || motion.touches ? "" : fmt::format(" by {:.4f} mm", motion.truth_mm),
      told(found.lower_mm < rule, motion.touches), found.lower_mm, found.upper_mm, found.queries,
      told(sampled == 0, motion.touches), sampled, told(collides, motion.touches)));
  state.counters["ours us"] = ours_s * each;
  state.counters["sampled us"] = sampled_s * each;
  state.counters["samples"] = static_cast<double>(count + 1);
  state.counters["continuousCollide us"] = continuous_s * each;
}
BENCHMARK(easily_missed)
    ->Name("easily missed motions")
    ->DenseRange(0, 4)
    ->Iterations(20)
    ->Unit(benchmark::kMicrosecond);

}  // namespace
