// SPDX-License-Identifier: GPL-3.0-or-later
// What meshes, distances and rays cost; the library's own distance beside ours, on the same queries.
#include <filesystem>

#include <benchmark/benchmark.h>
#include <fcl/narrowphase/distance.h>

#include "scene/files/mesh_import.hpp"
#include "scene/solids/distance.hpp"
#include "scene/solids/rays.hpp"
#include "scene/solids/search_tree.hpp"
#include "tests/bench/bench_meshes.hpp"
#include "tests/bench/fcl_model.hpp"
#include "tests/bench/processor_time.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

constexpr double no_cap = std::numeric_limits<double>::infinity();

std::vector<Pose> poses_apart() {
  random_geometry::Engine engine(21);
  std::vector<Pose> poses;
  for (int i = 0; i < 64; ++i) {
    Pose pose = random_geometry::pose(engine, 0);
    pose.translation() = random_geometry::between(engine, 200, 400) * random_geometry::direction(engine);
    poses.push_back(pose);
  }
  return poses;
}

void build_solid(benchmark::State& state) {
  const Mesh mesh = bumpy_ball(100, 41);
  for (auto _ : state) benchmark::DoNotOptimize(Solid(mesh).box().low.x());
  state.counters["triangles"] = static_cast<double>(mesh.triangles.size());
}
BENCHMARK(build_solid)->Unit(benchmark::kMillisecond);

void build_tree(benchmark::State& state) {
  const Mesh mesh = bumpy_ball(100, 289);
  const double million = static_cast<double>(mesh.triangles.size()) / 1e6;
  std::size_t bytes = 0;
  for (auto _ : state) bytes = bytes_of(build_search_tree(mesh));
  state.counters["million triangles"] = million;
  state.counters["MB per million triangles"] = static_cast<double>(bytes) / 1e6 / million;
}
BENCHMARK(build_tree)->Unit(benchmark::kMillisecond);

/// A large and a small mesh in both forms, and poses of the small one that the large one is asked about.
struct DistanceQueries {
  DistanceQueries() : a(bumpy_ball(100, 127)), b(bumpy_ball(100, 29)) {
    fill(model_a, a.mesh());
    fill(model_b, b.mesh());
  }
  double ours(std::size_t i, double cap, std::optional<TrianglePair> likely = std::nullopt) const {
    return nearest(a, Pose::Identity(), b, poses[i % poses.size()], cap, likely).distance;
  }
  double library(std::size_t i, double cap) const {
    fcl::DistanceResultd result;
    result.min_distance = std::min(cap, result.min_distance);
    fcl::distance(&model_a, Pose(Pose::Identity()), &model_b, poses[i % poses.size()], fcl::DistanceRequestd(true),
                  result);
    return result.min_distance;
  }
  Solid a, b;
  FclModel model_a, model_b;
  std::vector<Pose> poses = poses_apart();
};

const DistanceQueries& queries() {
  static const DistanceQueries all;
  return all;
}

/// Each query by us and by the library in turn, so that whatever else the machine does falls on both.
void beside_library(benchmark::State& state) {
  const DistanceQueries& all = queries();
  const double cap = state.range(0) ? static_cast<double>(state.range(0)) : no_cap;
  double ours = 0, library = 0, worst = 0;
  std::size_t i = 0;
  for (auto _ : state) {
    double by_us = 0, by_library = 0;
    ours += processor_seconds([&] { return by_us = all.ours(i, cap); });
    library += processor_seconds([&] { return by_library = all.library(i, cap); });
    worst = std::max(worst, std::abs(by_us - std::max(0.0, by_library)));
    ++i;
  }
  const auto times = static_cast<double>(state.iterations());
  state.counters["triangles"] = static_cast<double>(all.a.mesh().triangles.size() + all.b.mesh().triangles.size());
  state.counters["ours us"] = 1e6 * ours / times;
  state.counters["FCL us"] = 1e6 * library / times;
  state.counters["FCL / ours"] = library / ours;
  state.counters["worst difference mm"] = worst;
}
BENCHMARK(beside_library)
    ->Name("nearest beside FCL, cap in mm or 0 for none")
    ->Arg(0)
    ->Arg(20)
    ->Arg(5)
    ->Iterations(256)
    ->Unit(benchmark::kMicrosecond);

void nearest_again(benchmark::State& state) {
  const DistanceQueries& all = queries();
  std::vector<std::optional<TrianglePair>> last;
  for (const Pose& pose : all.poses) last.push_back(nearest(all.a, Pose::Identity(), all.b, pose, no_cap).triangles);
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(all.ours(i, no_cap, last[i % last.size()]));
    ++i;
  }
}
BENCHMARK(nearest_again)->Name("nearest from the last answer's triangles")->Unit(benchmark::kMicrosecond);

void over_interval(benchmark::State& state) {
  const DistanceQueries& all = queries();
  RelativeMotion motion;
  motion.velocity = Vector3d(10, 0, 0);
  motion.turning = Vector3d(0, 0.01, 0);
  motion.half = 0.5;
  std::size_t i = 0;
  for (auto _ : state) {
    const Pose& pose = all.poses[i++ % all.poses.size()];
    benchmark::DoNotOptimize(nearest_over(all.a, Pose::Identity(), all.b, pose, motion, 20).lower_mm);
  }
}
BENCHMARK(over_interval)->Name("nearest over an interval, cap 20 mm")->Unit(benchmark::kMicrosecond);

void winding(benchmark::State& state) {
  const Mesh mesh = bumpy_ball(100, 41);
  for (auto _ : state) benchmark::DoNotOptimize(winding_number(mesh, {1, 2, 3}));
}
BENCHMARK(winding)->Name("winding number, 20,172 triangles")->Unit(benchmark::kMicrosecond);

void import_stl(benchmark::State& state) {
  const auto file = std::filesystem::temp_directory_path() / "geometry-bench.stl";
  const Mesh mesh = bumpy_ball(100, 92);
  write_stl(file, mesh);
  for (auto _ : state) benchmark::DoNotOptimize(import_mesh(file, 1)->mesh.triangles.size());
  state.counters["triangles"] = static_cast<double>(mesh.triangles.size());
  std::filesystem::remove(file);
}
BENCHMARK(import_stl)->Unit(benchmark::kMillisecond);

void picture(benchmark::State& state) {
  const std::vector<PlacedRayBody> bodies = {
      {make_ray_body(bumpy_ball(100, 103)), Pose(Eigen::Translation3d(0, 0, 300))}};
  const RayScene scene(bodies);
  std::vector<Ray> rays;
  for (int y = 0; y < 960; ++y)
    for (int x = 0; x < 1280; ++x) rays.push_back({{0, 0, 0}, {(x - 639.71) / 1100, (y - 479.37) / 1100, 1}});
  std::vector<Hit> hits(rays.size());
  for (auto _ : state) scene.first_hits(rays, hits);
}
BENCHMARK(picture)->Name("1280 x 960 rays, one thread, 127,308 triangles")->Unit(benchmark::kMillisecond);

void build_rays(benchmark::State& state) {
  const Mesh mesh = bumpy_ball(100, 92);
  for (auto _ : state) benchmark::DoNotOptimize(make_ray_body(mesh).get());
}
BENCHMARK(build_rays)->Name("make_ray_body, 101,568 triangles")->Unit(benchmark::kMillisecond);

}  // namespace
