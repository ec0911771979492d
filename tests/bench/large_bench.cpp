// SPDX-License-Identifier: GPL-3.0-or-later
// Steps beside a machine of many triangles, as a cell has them, and what large models cost to open.
#include <benchmark/benchmark.h>
#include <fcl/narrowphase/distance.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "checks/checked_pairs.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/cycle/plan.hpp"
#include "scene/model_store.hpp"
#include "tests/bench/bench_meshes.hpp"
#include "tests/bench/fcl_model.hpp"
#include "tests/bench/processor_time.hpp"
#include "tests/support/loader_arm.hpp"
#include "tests/support/lookout.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;
namespace fs = std::filesystem;

namespace {

/// Files that are gone afterwards.
struct Folder {
  fs::path path = fs::temp_directory_path() / fmt::format("cellproof-large-{}", getpid());
  Folder() { fs::create_directories(path); }
  ~Folder() { fs::remove_all(path); }
};

/// A tool of 10,092 triangles goes to and fro over a machine of 12 n², from touching to a hand's breadth off.
fs::path write_cell(const fs::path& folder, int n, int moves) {
  write_stl(folder / "machine.stl", bumpy_ball(100, n));
  write_stl(folder / "tool.stl", bumpy_ball(100, 29));
  random_geometry::Engine engine(33);
  std::string text = test::head + R"([[body]]
name = "machine"
at = { xyz = [790, 0, 690] }
mesh = "machine.stl"
mesh_unit = "mm"
[[body]]
name = "tool"
on = "flange"
at = { xyz = [0, 0, 110] }
mesh = "tool.stl"
mesh_unit = "mm"
[cycle]
start = [-20, 0, 0, 0, -90, 0]
)";
  for (int i = 0; i < moves; ++i)
    text += fmt::format("[[step]]\nmove = \"joint\"\nto = {{ joints = [{}, {}, {}, 0, -90, {}] }}\n",
                        (i % 2 ? -1 : 1) * random_geometry::between(engine, 10, 30),
                        random_geometry::between(engine, -8, 6), random_geometry::between(engine, -4, 4),
                        random_geometry::between(engine, -90, 90));
  std::ofstream(folder / "cell.toml") << text;
  return folder / "cell.toml";
}

struct Opened {
  Scene scene;
  Cycle cycle;
  explicit Opened(const fs::path& file)
      : scene(std::move(*build_scene(*read_cell_file(file)))), cycle(plan_cycle(scene)) {}
  const std::vector<Stretch>& stretches() const { return cycle.runs.front().stretches; }
};

/// The least distance at 41 instants of a stretch; beyond the cap it is the cap.
double sampled(const Opened& cell, const Stretch& stretch, const FclModel& machine, const FclModel& tool, double cap) {
  double least = cap;
  for (int i = 0; i <= 40; ++i) {
    const double time = time_at(stretch, i / 40.0);
    const auto poses = world_poses(cell.scene, *stretch.arrangement, joints_at(stretch, time));
    fcl::DistanceResultd result;
    result.min_distance = std::min(cap, result.min_distance);
    fcl::distance(&machine, poses[cell.scene.bodies.at(0).frame], &tool, poses[cell.scene.bodies.at(1).frame],
                  fcl::DistanceRequestd(true), result);
    least = std::min(least, std::max(0.0, result.min_distance));
  }
  return least;
}

/// Both are asked the same: whether the rule of 5 mm is kept and, up to the cap, what the least distance is.
void segment_beside_samples(benchmark::State& state) {
  const bool capped = state.range(0) > 0;
  const double rule = 5, cap = capped ? rule : std::numeric_limits<double>::infinity();
  const Folder folder;
  const Opened cell(write_cell(folder.path, 127, capped ? 40 : 8));
  FclModel machine, tool;
  fill(machine, cell.scene.bodies.at(0).solid->mesh());
  fill(tool, cell.scene.bodies.at(1).solid->mesh());
  double ours = 0, library = 0;
  int missed = 0, unseen = 0, fails = 0;
  long queries = 0;
  for (auto _ : state)
    for (const auto& stretch : cell.stretches()) {
      StretchClearance found;
      double least = cap;
      ours += processor_seconds([&] {
        found = measure_clearance(cell.scene, stretch, {{BodyId(0), BodyId(1), rule, {{0, 1}}, cap}});
      });
      library += processor_seconds([&] { least = sampled(cell, stretch, machine, tool, cap); });
      queries += found.queries;
      fails += found.pairs[0].upper_mm < rule;
      unseen += found.pairs[0].upper_mm < rule && least >= rule;
      missed += least < cap && found.pairs[0].lower_mm > least + 1e-6;
    }
  const double segments = static_cast<double>(cell.stretches().size()) * static_cast<double>(state.iterations());
  state.counters["ours us a segment"] = 1e6 * ours / segments;
  state.counters["queries a segment"] = static_cast<double>(queries) / segments;
  state.counters["41 samples us"] = 1e6 * library / segments;
  state.counters["samples / ours"] = library / ours;
  state.counters["segments"] = segments;
  state.counters["below the rule"] = fails;
  state.counters["of these unseen by samples"] = unseen;
  state.counters["missed by us"] = missed;
}
BENCHMARK(segment_beside_samples)
    ->Name("certified segments beside 41 samples of FCL, cap in mm or 0 for none")
    ->Arg(5)
    ->Arg(0)
    ->Iterations(1)
    ->Unit(benchmark::kMillisecond);

void step_beside_a_million(benchmark::State& state) {
  const Folder folder;
  const Opened cell(write_cell(folder.path, 289, 40));
  double slowest = 0;
  for (auto _ : state)
    for (const auto& stretch : cell.stretches())
      slowest = std::max(slowest, processor_seconds([&] {
                           const auto pairs = checked_pairs(cell.scene, stretch);
                           benchmark::DoNotOptimize(measure_clearance(cell.scene, stretch, pairs).lower_mm);
                         }));
  state.counters["triangles"] = static_cast<double>(cell.scene.bodies.at(0).solid->mesh().triangles.size());
  state.counters["slowest step ms, one core"] = 1e3 * slowest;
  state.counters["steps"] = static_cast<double>(cell.stretches().size());
}
BENCHMARK(step_beside_a_million)
    ->Name("certified steps beside a machine of a million triangles")
    ->Iterations(1)
    ->Unit(benchmark::kMillisecond);

/// A camera before a machine of a million triangles that fills half of its picture, on all cores.
void look_at_a_million(benchmark::State& state) {
  const Folder folder;
  write_stl(folder.path / "machine.stl", bumpy_ball(100, 289));
  Camera camera = test::camera_60_degrees();
  Body machine = test::body("machine", MeshSource{}, test::at(0, 0, 300), "flange");
  auto& source = std::get<MeshSource>(machine.shape);
  source.file = "machine.stl";
  source.unit_mm = 1;
  Cell cell = test::lookout(camera, {test::facing_target({0, 0, 400}, 60, 60)}, {machine});
  cell.file = folder.path / "cell.toml";
  const test::Look look(cell);
  CameraView view;
  for (auto _ : state) view = measure_view(look.scene, look.request);
  state.counters["triangles"] = static_cast<double>(look.scene.bodies.at(0).solid->mesh().triangles.size());
  state.counters["share of the picture"] = view.blocked_by.front().share;
}
BENCHMARK(look_at_a_million)
    ->Name("sightline, 1280 x 960 rays and a target, a million triangles")
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

/// Runs the program on a cell: its time on the clock, and the most memory it held (MB).
struct Ran {
  double seconds = 0, megabytes = 0;
};
Ran run_check(const fs::path& cell) {
  const auto begin = std::chrono::steady_clock::now();
  const pid_t child = fork();
  if (child == 0) {
    if (!freopen("/dev/null", "w", stdout)) _exit(127);
    execl(CELLPROOF_PROGRAM, "cellproof", "check", cell.c_str(), nullptr);
    _exit(127);
  }
  int status = 0;
  rusage used{};
  wait4(child, &status, 0, &used);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
  if (!WIFEXITED(status) || WEXITSTATUS(status) > 1) throw std::runtime_error("cellproof check did not run");
  return {took.count(), static_cast<double>(used.ru_maxrss) / 1024};
}

void check_a_large_machine(benchmark::State& state) {
  const Folder folder;
  const fs::path cell = write_cell(folder.path, static_cast<int>(state.range(0)), 1);
  Ran ran;
  for (auto _ : state) ran = run_check(cell);
  state.counters["triangles"] = 12.0 * static_cast<double>(state.range(0) * state.range(0)) + 10092;
  state.counters["most memory MB"] = ran.megabytes;
  state.counters["whole process s"] = ran.seconds;
}
BENCHMARK(check_a_large_machine)
    ->Name("check of one step, STL of 12 n^2 triangles, n")
    ->Arg(289)
    ->Arg(409)
    ->Iterations(1)
    ->Unit(benchmark::kSecond);

void open_stl(benchmark::State& state) {
  const Folder folder;
  write_stl(folder.path / "model.stl", bumpy_ball(100, 409));
  MeshSource source;
  source.file = "model.stl";
  source.unit_mm = 1;
  for (auto _ : state) benchmark::DoNotOptimize(open_models({{source}}, folder.path).front()->degenerate_dropped);
  state.counters["triangles"] = 12.0 * 409 * 409;
}
BENCHMARK(open_stl)
    ->Name("open an STL of two million triangles")
    ->Iterations(1)
    ->UseRealTime()
    ->Unit(benchmark::kSecond);

}  // namespace
