// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/watch.hpp"

#include <chrono>
#include <fstream>

#include "tests/support/small_cell.hpp"

using namespace cellproof;
namespace fs = std::filesystem;

namespace {

/// A folder of its own with one file in it.
struct Workbench {
  fs::path folder, file;
  Workbench() {
    std::string name = (fs::temp_directory_path() / "cellproof-watch-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    folder = name;
    file = folder / "gripper.stl";
    write("first");
  }
  ~Workbench() { fs::remove_all(folder); }
  /// Each writing is a second later than the last, however fast the test runs.
  void write(const std::string& bytes) {
    std::ofstream(file, std::ios::binary) << bytes;
    fs::last_write_time(file, fs::file_time_type::clock::now() + std::chrono::seconds(++written_));
  }

 private:
  int written_ = 0;
};

}  // namespace

TEST_CASE("A file that is as it was is nothing new") {
  Workbench bench;
  Watch watch({bench.file});
  for (double now_s = 0; now_s < 5; now_s += 0.1) CHECK_FALSE(watch.anything_new(now_s));
}

TEST_CASE("A changed file is new once, after it has come to rest") {
  Workbench bench;
  Watch watch({bench.file});
  bench.write("second");
  CHECK_FALSE(watch.anything_new(10));  // seen, but it may be in the midst of being written
  CHECK_FALSE(watch.anything_new(10 + 0.9 * Watch::rest_s));
  CHECK(watch.anything_new(10 + 1.1 * Watch::rest_s));
  CHECK_FALSE(watch.anything_new(20));
}

TEST_CASE("A file that keeps growing is waited for") {
  Workbench bench;
  Watch watch({bench.file});
  std::string bytes = "first";
  for (int i = 0; i < 20; ++i) {
    bench.write(bytes += "more");
    CHECK_FALSE(watch.anything_new(0.75 * Watch::rest_s * i));
  }
  CHECK(watch.anything_new(100));
}

TEST_CASE("The same bytes written again are nothing new") {
  Workbench bench;
  Watch watch({bench.file});
  bench.write("first");
  CHECK_FALSE(watch.anything_new(1));
  CHECK_FALSE(watch.anything_new(9));
}

TEST_CASE("A file that goes away and comes back is new both times") {
  Workbench bench;
  Watch watch({bench.file});
  fs::remove(bench.file);
  CHECK_FALSE(watch.anything_new(1));
  CHECK(watch.anything_new(2));
  bench.write("first");
  CHECK_FALSE(watch.anything_new(3));
  CHECK(watch.anything_new(4));
}

TEST_CASE("A cell's files are itself and its models, each once") {
  Cell cell;
  cell.file = "cells/mine.toml";
  Body body;
  MeshSource post, board;
  post.file = "meshes/post.stl";
  board.file = "board.obj";
  body.shape = post;
  cell.bodies = {body, body};
  body.shape = BoxShape{{1, 1, 1}};
  cell.bodies.push_back(body);
  Part part;
  part.shape = board;
  cell.parts = {part};
  CHECK(files_of(cell) == std::vector<fs::path>{"cells/board.obj", "cells/meshes/post.stl", "cells/mine.toml"});
}
