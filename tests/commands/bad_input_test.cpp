// SPDX-License-Identifier: GPL-3.0-or-later
// Input that can't be used: one line that says where, what and what to do; never a crash, a hang or a silent guess.
#include <array>
#include <cstdint>
#include <cstring>
#include <limits>
#include <random>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;
using nlohmann::json;

namespace {

/// Checks a cell that can't be used: status 2, one line that begins with `place` and holds `word`, nothing written.
void check_refused(const std::string& cell, const std::string& place, const std::string& word) {
  const Folder folder;
  folder.write("cell.toml", cell);
  folder.write("old.json", "an older report");
  const Answer answer = run(folder, {"check", "cell.toml", "--json", "old.json"});
  INFO(answer.error.substr(0, 500));
  CHECK(answer.status == 2);
  CHECK(is_one_line(answer.error));
  CHECK(answer.error.rfind(place, 0) == 0);
  CHECK(answer.error.find(word) != std::string::npos);
  CHECK(answer.error.find("; ") != std::string::npos);
  CHECK(answer.output.empty());
  CHECK(content_of(folder / "old.json") == "an older report");
  CHECK(folder.count() == 2);
}

std::string changed(const std::string& what, const std::string& with) {
  return replaced(small_cell, what, with);
}

std::string random_bytes(std::size_t count) {
  std::mt19937_64 random(7);
  std::string bytes(count, '\0');
  for (std::size_t i = 0; i + 8 <= count; i += 8) {
    const std::uint64_t word = random();
    std::memcpy(&bytes[i], &word, 8);
  }
  return bytes;
}

using Corner = std::array<float, 3>;
using Triangle = std::array<Corner, 3>;

std::string binary_stl(const std::vector<Triangle>& triangles) {
  std::string bytes(80, ' ');
  const auto add = [&bytes](const void* data, std::size_t size) { bytes.append(static_cast<const char*>(data), size); };
  const auto count = static_cast<std::uint32_t>(triangles.size());
  add(&count, 4);
  for (const Triangle& triangle : triangles) {
    bytes.append(12, '\0');
    for (const Corner& corner : triangle) add(corner.data(), 12);
    bytes.append(2, '\0');
  }
  return bytes;
}

std::vector<Triangle> tetrahedron(float size) {
  const Corner o{0, 0, 0}, x{size, 0, 0}, y{0, size, 0}, z{0, 0, size};
  return {{o, y, x}, {o, x, z}, {o, z, y}, {x, y, z}};
}

/// The small cell with a mesh in place of the post's box.
std::string with_mesh(const std::string& file, const std::string& unit = "mm") {
  return changed("box = [50, 50, 50]", fmt::format("mesh = \"{}\"\nmesh_unit = \"{}\"", file, unit));
}

Answer check_mesh(const std::string& file, const std::string& content) {
  const Folder folder;
  folder.write("cell.toml", with_mesh(file));
  folder.write(file, content);
  return run(folder, {"check", "cell.toml", "--json", "-"});
}

void check_mesh_refused(const std::string& file, const std::string& content) {
  const Answer answer = check_mesh(file, content);
  INFO(file << " of " << content.size() << " bytes: " << answer.error);
  CHECK(answer.status == 2);
  CHECK(is_one_line(answer.error));
  CHECK(answer.error.rfind("cell.toml:", 0) == 0);
  CHECK(answer.error.find("body \"post\"") != std::string::npos);
  CHECK(answer.error.find(file) != std::string::npos);
  CHECK(answer.output.empty());
}

std::size_t model_cautions(const json& report) {
  std::size_t count = 0;
  for (const json& finding : report.at("findings"))
    if (finding.at("check") == "model" && finding.at("severity") == "caution") ++count;
  return count;
}

}  // namespace

TEST_CASE("a cell that is no file of text is refused") {
  const Folder folder;
  fs::create_directory(folder / "folder.toml");
  for (const std::string file : {"missing.toml", "folder.toml", "/dev/null", "/proc/self/mem"}) {
    const Answer answer = run(folder, {"check", file});
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.rfind(file, 0) == 0);
  }
  check_refused("", "cell.toml:1: ", "format");
  check_refused(random_bytes(10'000'000), "cell.toml:", "UTF-8");
  check_refused(std::string(100'000, '\0'), "cell.toml:1: ", "TOML");
}

TEST_CASE("every command refuses a cell that is not there") {
  const Folder folder;
  const std::vector<std::vector<std::string>> calls = {{"check", "none.toml"},
                                                       {"where", "none.toml", "--joints=0,0,0,0,0,0"},
                                                       {"reach", "none.toml", "--tcp", "flange", "--xyz=1,2,3"},
                                                       {"picture", "none.toml", "--out", "a.png"}};
  for (const auto& words : calls) {
    const Answer answer = run(folder, words);
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.rfind("none.toml: ", 0) == 0);
  }
  CHECK(folder.count() == 0);
}

TEST_CASE("nesting without end is refused and does not exhaust the stack") {
  std::string dots = "a";
  for (int i = 0; i < 100'000; ++i) dots += ".b";
  check_refused(dots + " = 1", "cell.toml:1: ", "dots");
  check_refused(fmt::format("[{}]", dots), "cell.toml:1: ", "dots");
  std::string brackets = "a = ";
  brackets.append(100'000, '[');
  check_refused(brackets, "cell.toml:1: ", "TOML");
}

TEST_CASE("mistakes in the cell file are refused with their line and key") {
  check_refused(changed("[cycle]", "[cycle]\nspeeed = 1"), "cell.toml:33: cycle.speeed: ", "key");
  check_refused(changed("box = [50, 50, 50]", "box = [\"50 kg\", 50, 50]"),
                "cell.toml:14: body \"post\".box[1]: ", "mass");
  check_refused(changed("[0, 900, 0]", "[nan, 900, 0]"), "cell.toml:13: body \"post\".at.xyz[1]: ", "finite");
  check_refused(changed("[0, 900, 0]", "[0, -inf, 0]"), "cell.toml:13: body \"post\".at.xyz[2]: ", "finite");
  check_refused(changed("[0, 900, 0]", "[0, 1e308, 0]"), "cell.toml:13: body \"post\".at.xyz[2]: ", "1000 km");
  check_refused(changed("box = [50, 50, 50]", "box = [50, -50, 50]"),
                "cell.toml:14: body \"post\".box[2]: ", "above 0");
  check_refused(changed("name = \"post\"", "name = \"post\"\non = \"post\""),
                "cell.toml:13: body \"post\".on: ", "loop");
  check_refused(changed("name = \"hand\"", "name = \"post\""), "cell.toml:16: ", "post");
  check_refused(changed("format = 1", "format = 2"), "cell.toml:1: format: ", "format = 1");
  check_refused(changed("wait = \"1 s\"", "wait = \"1 mm\""), "cell.toml:", "length");
}

TEST_CASE("an arm of five or seven joints is refused") {
  const std::string joint =
      "  { a = 20.3, alpha = -90, d = 150.05, theta = 0, min = -180, max = 180, speed = 180, acceleration = 600 },\n";
  check_refused(changed(joint, ""), "cell.toml:3: arm.joints: ", "5");
  check_refused(changed(joint, joint + joint), "cell.toml:3: arm.joints: ", "7");
}

TEST_CASE("a cell without a cycle has nothing to check") {
  check_refused(paul_zhang_arm, "cell.toml: cycle: ", "[cycle]");
}

TEST_CASE("line ends and a byte order mark of another system make no difference") {
  std::string other = "\xEF\xBB\xBF";
  for (const char letter : small_cell) {
    if (letter == '\n') other += '\r';
    other += letter;
  }
  const Folder folder;
  folder.write("cell.toml", other);
  CHECK(json_of(run(folder, {"check", "cell.toml", "--json", "-"})).at("steps").size() == 3);
}

TEST_CASE("names may be long, in any script, and hold quotes") {
  for (const std::string& name : {std::string(5000, 'x'), std::string("стойка «é» 柱"), std::string("it's 100 % {}")}) {
    const Folder folder;
    folder.write("cell.toml", changed("name = \"hand\"", fmt::format("name = \"{}\"", name)));
    const json report = json_of(run(folder, {"check", "cell.toml", "--json", "-"}));
    CHECK(report.at("bodies").at(1).at("name") == name);
    const json& between = report.at("steps").at(0).at("clearance").at("between");
    CHECK(std::count(between.begin(), between.end(), name) == 1);
    CHECK(run(folder, {"check", "cell.toml"}).status == 1);
  }
}

TEST_CASE("a file's name may hold bytes that are no text, and no command stumbles over them") {
  const Folder folder;
  const std::string cell = "caf\xe9 \xff.toml", mesh = "caf\xe9.stl";  // Latin 1, and what is no encoding's
  folder.write(cell, small_cell);
  folder.write(mesh, binary_stl(tetrahedron(20)));
  const std::string survey = "[[survey]]\nname = \"spots\"\nmove = \"post\"\nx = { from = 0, to = 1, step = 1 }\n";
  folder.write("caf\xe9 survey.toml", small_cell + survey);
  const std::vector<std::vector<std::string>> calls = {
      {"check", cell, "--json", "-"},
      {"check", cell, "--page", "\xe9.html"},
      {"compare", cell, cell, "--json", "-"},
      {"poses", cell},
      {"where", cell, "--joints=0,0,0,0,0,0", "--json", "-"},
      {"reach", cell, "--tcp", "flange", "--xyz=1,2,3", "--json", "-"},
      {"facts", cell, "--json", "-"},
      {"facts", mesh, "--unit", "mm", "--json", "-"},
      {"look", cell, "--json", "-"},
      {"survey", "caf\xe9 survey.toml", "spots", "--json", "-", "--keep", "\xfe.keep"},
      {"relief", cell, "--camera", "eye", "--body", "post", "--out", "\xe9.stl", "--json", "-"},
      {"picture", cell, "--out", "\xe9.png"},
      {"check", "missing \xe9.toml"}};
  for (const auto& words : calls) {
    const Answer answer = run(folder, words);
    INFO(words[0] << ": " << answer.error);
    CHECK(answer.status >= 0);
    CHECK(answer.status <= 2);
    if (words.back() == "-" && answer.status < 2) CHECK(nlohmann::json::accept(answer.output));
  }
}

TEST_CASE("control characters in a name do not reach the terminal") {
  const Folder folder;
  folder.write("cell.toml", changed("name = \"hand\"", "name = \"ha\\u001b[31m\\nnd\""));
  const Answer answer = run(folder, {"check", "cell.toml"});
  CHECK(answer.status == 1);
  CHECK(answer.output.find('\x1b') == std::string::npos);
  CHECK(answer.output.find("ha [31m nd") != std::string::npos);
}

TEST_CASE("meshes that are none are refused") {
  const std::string stl = binary_stl(tetrahedron(20));
  check_mesh_refused("empty.stl", "");
  check_mesh_refused("no-triangles.stl", binary_stl({}));
  check_mesh_refused("no-triangles-either.stl", "solid a\nendsolid a\n");
  check_mesh_refused("cut-off.stl", stl.substr(0, stl.size() - 30));
  check_mesh_refused("words.stl", "this is not a mesh");
  check_mesh_refused("noise.stl", random_bytes(10'000'000));
  check_mesh_refused("cut-off-text.stl", "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 10 0 0\n");
  check_mesh_refused("empty.obj", "");
  check_mesh_refused("points.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\n");
  check_mesh_refused("too-far.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 9\n");
  check_mesh_refused("words.obj", "hello\nv x y z\nf a b c\n");
  check_mesh_refused("not-a-number.obj", "v nan 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n");
  check_mesh_refused("noise.obj", random_bytes(1'000'000));
  check_mesh_refused("mesh.xyz", "0 0 0");
}

TEST_CASE("a count of triangles that the file does not hold is refused") {
  std::string stl = binary_stl(tetrahedron(20));
  for (const std::uint32_t count : {2U, 5U, 4'000'000'000U}) {
    std::memcpy(&stl[80], &count, 4);
    check_mesh_refused("lies.stl", stl);
  }
}

TEST_CASE("coordinates that no cell has are refused") {
  check_mesh_refused("immense.stl", binary_stl(tetrahedron(1e30F)));
  auto endless = tetrahedron(20);
  endless[0][0][0] = std::numeric_limits<float>::infinity();
  check_mesh_refused("endless.stl", binary_stl(endless));
}

TEST_CASE("a folder, a device and a missing file are no meshes") {
  const Folder folder;
  fs::create_directory(folder / "folder.stl");
  fs::create_symlink("/dev/null", folder / "device.stl");
  for (const std::string file : {"folder.stl", "device.stl", "missing.stl"}) {
    folder.write("cell.toml", with_mesh(file));
    const Answer answer = run(folder, {"check", "cell.toml"});
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find(file) != std::string::npos);
  }
}

TEST_CASE("a mesh without its unit is refused, where the format carries none") {
  check_refused(changed("box = [50, 50, 50]", "mesh = \"post.stl\""), "cell.toml:", "mesh_unit");
  check_refused(with_mesh("post.stl", "kg"), "cell.toml:15: body \"post\".mesh_unit: ", "mm");
}

TEST_CASE("triangles without area are left out with a caution, and the rest is used") {
  auto triangles = tetrahedron(20);
  triangles.push_back({Corner{0, 0, 0}, Corner{0, 0, 0}, Corner{20, 0, 0}});
  triangles.push_back({Corner{0, 0, 0}, Corner{10, 0, 0}, Corner{20, 0, 0}});
  const json report = json_of(check_mesh("worn.stl", binary_stl(triangles)));
  CHECK(report.at("bodies").at(0).at("triangles") == 4);
  CHECK(report.at("bodies").at(0).at("closed") == true);
  CHECK(model_cautions(report) == 1);
}

TEST_CASE("a mesh whose size says that its unit is wrong is told") {
  for (const float size : {0.002F, 40000.0F}) {
    const json report = json_of(check_mesh("odd.stl", binary_stl(tetrahedron(size))));
    CHECK(report.at("bodies").at(0).at("triangles") == 4);
    CHECK(model_cautions(report) == 1);
  }
  // 0.02 mm: as metres it would fit the cell
  const Answer speck = check_mesh("odd.stl", binary_stl(tetrahedron(0.02F)));
  CHECK(speck.status == 1);
  CHECK(model_cautions(json_of(speck)) == 0);
}

TEST_CASE("a mesh of text reads the same with other line ends and a byte order mark") {
  const std::string obj = "v 0 0 0\nv 20 0 0\nv 0 20 0\nv 0 0 20\nf -4 -2 -3\nf -4 -3 -1\nf -4 -1 -2\nf -3 -2 -1\n";
  std::string other = "\xEF\xBB\xBF";
  for (const char letter : obj) {
    if (letter == '\n') other += '\r';
    other += letter;
  }
  const json body = json_of(check_mesh("post.obj", obj)).at("bodies").at(0);
  CHECK(body.at("volume_mm3").get<double>() == Approx(20.0 * 20 * 20 / 6));
  CHECK(json_of(check_mesh("post.obj", other)).at("bodies").at(0) == body);
}
