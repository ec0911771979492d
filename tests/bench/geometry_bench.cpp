// SPDX-License-Identifier: GPL-3.0-or-later
// What meshes, distances and rays cost; the library's own distance beside ours, on the same queries.
#include <cstring>
#include <filesystem>
#include <fstream>

#include <benchmark/benchmark.h>
#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/narrowphase/distance.h>

#include "scene/distance.hpp"
#include "scene/mesh_import.hpp"
#include "scene/rays.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

constexpr double no_cap = std::numeric_limits<double>::infinity();

/// A bumpy ball of about 20 n² triangles: closed, and nothing about it is regular.
Mesh bumpy_ball(double radius, int n) {
  Mesh ball = sphere_mesh(0.02 * n * n / 0.292 * 0.999);  // the radius that makes n subdivisions
  for (Vector3d& vertex : ball.vertices) {
    const Vector3d u = vertex.normalized();
    vertex = radius * (1 + 0.1 * std::sin(9 * u.x()) * std::cos(7 * u.y() + 2 * u.z())) * u;
  }
  return ball;
}

std::vector<Pose> poses_apart() {
  random_geometry::Engine engine(21);
  std::vector<Pose> poses;
  for (int i = 0; i < 64; ++i) {
    Pose pose = random_geometry::pose(engine, 0);
    pose.translation() = random_geometry::between(engine, 230, 400) * random_geometry::direction(engine);
    poses.push_back(pose);
  }
  return poses;
}

using Model = fcl::BVHModel<fcl::OBBRSSd>;
void fill(Model& model, const Mesh& mesh) {
  std::vector<fcl::Triangle> triangles;
  for (const auto& [a, b, c] : mesh.triangles) triangles.emplace_back(a, b, c);
  model.beginModel();
  model.addSubModel(mesh.vertices, triangles);
  model.endModel();
}

void build_solid(benchmark::State& state) {
  const Mesh mesh = bumpy_ball(100, 32);
  for (auto _ : state) benchmark::DoNotOptimize(Solid(mesh).box().low.x());
  state.counters["triangles"] = static_cast<double>(mesh.triangles.size());
}
BENCHMARK(build_solid)->Unit(benchmark::kMillisecond);

void ours(benchmark::State& state) {
  const Solid a(bumpy_ball(100, 32)), b(bumpy_ball(100, 32));
  const auto poses = poses_apart();
  const double cap = state.range(0) ? static_cast<double>(state.range(0)) : no_cap;
  std::size_t i = 0;
  for (auto _ : state)
    benchmark::DoNotOptimize(nearest(a, Pose::Identity(), b, poses[i++ % poses.size()], cap).distance);
}
BENCHMARK(ours)->Name("nearest, cap in mm or 0 for none")->Arg(0)->Arg(20)->Unit(benchmark::kMicrosecond);

void library(benchmark::State& state) {
  Model a, b;
  fill(a, bumpy_ball(100, 32));
  fill(b, bumpy_ball(100, 32));
  const auto poses = poses_apart();
  std::size_t i = 0;
  for (auto _ : state) {
    fcl::DistanceResultd result;
    if (state.range(0)) result.min_distance = static_cast<double>(state.range(0));
    const Pose here = Pose::Identity();
    benchmark::DoNotOptimize(
        fcl::distance(&a, here, &b, poses[i++ % poses.size()], fcl::DistanceRequestd(true), result));
  }
}
BENCHMARK(library)->Name("FCL, cap in mm or 0 for none")->Arg(0)->Arg(20)->Unit(benchmark::kMicrosecond);

void winding(benchmark::State& state) {
  const Mesh mesh = bumpy_ball(100, 32);
  for (auto _ : state) benchmark::DoNotOptimize(winding_number(mesh, {1, 2, 3}));
}
BENCHMARK(winding)->Name("winding number, 20,480 triangles")->Unit(benchmark::kMicrosecond);

void write_stl(const std::filesystem::path& file, const Mesh& mesh) {
  std::ofstream out(file, std::ios::binary);
  out << std::string(80, ' ');
  const auto put = [&](const auto value) { out.write(reinterpret_cast<const char*>(&value), sizeof value); };
  put(static_cast<std::uint32_t>(mesh.triangles.size()));
  for (const Triangle& triangle : mesh.triangles) {
    for (int i = 0; i < 3; ++i) put(0.0F);
    for (const std::uint32_t v : triangle)
      for (int axis = 0; axis < 3; ++axis) put(static_cast<float>(mesh.vertices[v][axis]));
    put(std::uint16_t{0});
  }
}

void import_stl(benchmark::State& state) {
  const auto file = std::filesystem::temp_directory_path() / "geometry-bench.stl";
  const Mesh mesh = bumpy_ball(100, 71);
  write_stl(file, mesh);
  for (auto _ : state) benchmark::DoNotOptimize(import_mesh(file, 1)->mesh.triangles.size());
  state.counters["triangles"] = static_cast<double>(mesh.triangles.size());
  std::filesystem::remove(file);
}
BENCHMARK(import_stl)->Unit(benchmark::kMillisecond);

void picture(benchmark::State& state) {
  const std::vector<PlacedRayBody> bodies = {
      {make_ray_body(bumpy_ball(100, 80)), Pose(Eigen::Translation3d(0, 0, 300))}};
  const RayScene scene(bodies);
  std::vector<Ray> rays;
  for (int y = 0; y < 960; ++y)
    for (int x = 0; x < 1280; ++x) rays.push_back({{0, 0, 0}, {(x - 639.71) / 1100, (y - 479.37) / 1100, 1}});
  std::vector<Hit> hits(rays.size());
  for (auto _ : state) scene.first_hits(rays, hits);
}
BENCHMARK(picture)->Name("1280 x 960 rays, one thread, 128,000 triangles")->Unit(benchmark::kMillisecond);

void build_rays(benchmark::State& state) {
  const Mesh mesh = bumpy_ball(100, 71);
  for (auto _ : state) benchmark::DoNotOptimize(make_ray_body(mesh).get());
}
BENCHMARK(build_rays)->Name("make_ray_body, 100,820 triangles")->Unit(benchmark::kMillisecond);

}  // namespace
