// SPDX-License-Identifier: GPL-3.0-or-later
// Outputs never take the place of what was read, nor of each other.
#include "tests/commands/program.hpp"

using namespace cellproof_commands;

TEST_CASE("an output that is the cell, one of its models or another output is refused, and all stays as it was") {
  const fs::path demo = fs::path(CELLPROOF_SOURCE_DIR) / "models" / "flange-cell";
  const Folder folder;
  fs::copy(demo, folder / "cell", fs::copy_options::recursive);
  fs::create_symlink("as-drawn.toml", folder / "cell" / "link.json");
  const std::string cell = content_of(folder / "cell/as-drawn.toml");
  const std::string finger = content_of(folder / "cell/meshes/finger.stl");
  const std::vector<std::vector<std::string>> calls = {
      {"check", "cell/as-drawn.toml", "--json", "cell/as-drawn.toml"},
      {"check", "cell/as-drawn.toml", "--json", "cell/../cell/as-drawn.toml"},
      {"check", "cell/as-drawn.toml", "--json", "cell/link.json"},
      {"look", "cell/as-drawn.toml", "--json", "cell/meshes/finger.stl"},
      {"where", "cell/as-drawn.toml", "--joints=0,0,0,0,0,0", "--json", "cell/as-drawn.toml"},
      {"facts", "cell/as-drawn.toml", "--json", "cell/as-drawn.toml"},
      {"facts", "cell/meshes/finger.stl", "--unit", "mm", "--json", "cell/meshes/finger.stl"},
      {"relief", "cell/as-drawn.toml", "--camera", "wrist camera", "--body", "right finger", "--out",
       "cell/meshes/finger.stl"},
      {"relief", "cell/as-drawn.toml", "--camera", "wrist camera", "--body", "right finger", "--out", "cut.stl",
       "--json", "cut.stl"}};
  for (const auto& call : calls) {
    const Answer answer = run(folder, call);
    INFO(call[0] << ": " << answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find("name another") != std::string::npos);
  }
  CHECK(content_of(folder / "cell/as-drawn.toml") == cell);
  CHECK(content_of(folder / "cell/meshes/finger.stl") == finger);
  CHECK_FALSE(fs::exists(folder / "cut.stl"));
}

TEST_CASE("an empty option, a line break in an argument and a closed standard error are refused like anything else") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  const Answer empty = run(folder, {"check", "cell.toml", "--json", ""});
  CHECK(empty.status == 2);
  CHECK(is_one_line(empty.error));
  const Answer broken = run(folder, {"picture", "cell.toml", "--camera", "a\nb", "--out", "q.png"});
  CHECK(broken.status == 2);
  CHECK(is_one_line(broken.error));
  const std::string program = quoted(CELLPROOF_PROGRAM);
  const int status = std::system((program + " check nofile.toml 2>&-").c_str());
  CHECK(WEXITSTATUS(status) == 2);
}

TEST_CASE("a name too long for a file is told as such, not as one that is there") {
  const Folder folder;
  const Answer answer = run(folder, {"new", std::string(300, 'x') + ".toml"});
  CHECK(answer.status == 2);
  CHECK(answer.error.find("already") == std::string::npos);
}

namespace {

/// A triangle of glTF whose three corners lie in a file beside it: 36 bytes of floats, x y z each.
const std::string triangle_gltf = R"({
  "asset": { "version": "2.0" }, "scene": 0, "scenes": [ { "nodes": [0] } ], "nodes": [ { "mesh": 0 } ],
  "meshes": [ { "primitives": [ { "attributes": { "POSITION": 0 } } ] } ],
  "accessors": [ { "bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3" } ],
  "bufferViews": [ { "buffer": 0, "byteLength": 36 } ],
  "buffers": [ { "uri": "post%20corners.bin", "byteLength": 36 } ]
})";

/// Corners (0, 0, 0), (s, 0, 0) and (0, s, 0), in metres.
std::string triangle_corners(float s) {
  const float corners[9] = {0, 0, 0, s, 0, 0, 0, s, 0};
  return {reinterpret_cast<const char*>(corners), sizeof corners};
}

std::string cell_with_gltf() {
  return replaced(small_cell, "box = [50, 50, 50]", "mesh = \"post.gltf\"");
}

void write_gltf_cell(const Folder& folder) {
  folder.write("post.gltf", triangle_gltf);
  folder.write("post corners.bin", triangle_corners(0.05F));
  folder.write("cell.toml", cell_with_gltf());
}

}  // namespace

TEST_CASE("what a model reads beside its own file is not written over either") {
  const Folder folder;
  write_gltf_cell(folder);
  for (const std::vector<std::string>& call :
       std::vector<std::vector<std::string>>{{"facts", "cell.toml", "--json", "post corners.bin"},
                                             {"facts", "post.gltf", "--json", "post corners.bin"},
                                             {"check", "cell.toml", "--json", "post corners.bin"},
                                             {"facts", "cell.toml", "--json", "post.gltf"}}) {
    const Answer answer = run(folder, call);
    INFO(call[0] << " " << call[1] << ": " << answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find("name another") != std::string::npos);
  }
  CHECK(content_of(folder / "post corners.bin") == triangle_corners(0.05F));
}

TEST_CASE("kept spots do not outlive a change of a file that a model reads beside its own") {
  const Folder folder;
  write_gltf_cell(folder);
  folder.write("cell.toml", cell_with_gltf() +
                                "[[survey]]\nname = \"spots\"\nmove = \"post\"\n"
                                "x = { from = 0, to = 20, step = 10 }\n");
  const std::vector<std::string> survey{"survey", "cell.toml", "spots", "--keep", "kept"};
  const Answer before = run(folder, survey);
  INFO(before.error);
  CHECK(before.status <= 1);
  CHECK(run(folder, survey).status == before.status);
  folder.write("post corners.bin", triangle_corners(0.06F));
  const Answer after = run(folder, survey);
  CHECK(after.status == 2);
  CHECK(after.error.find("has changed since") != std::string::npos);
}

TEST_CASE("of several outputs all are there or none, and nothing beside them") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  const std::ptrdiff_t before = folder.count();
  // a page that can't be written, named after what could be
  const Answer lost = run(folder, {"check", "cell.toml", "--json", "out.json", "--page", "no folder/out.html"});
  CHECK(lost.status == 2);
  CHECK(is_one_line(lost.error));
  CHECK(lost.error.starts_with("--page: 'no folder/out.html' can't be written"));
  CHECK(folder.count() == before);
  // standard output that takes nothing
  const std::string full = fmt::format("cd {} && {} check cell.toml --json out.json >/dev/full 2>/dev/null",
                                       quoted(folder.path().string()), quoted(CELLPROOF_PROGRAM));
  CHECK(WEXITSTATUS(std::system(full.c_str())) == 2);
  CHECK(folder.count() == before);
  // a reader that has gone
  const std::string gone = fmt::format("cd {} && {{ {} check cell.toml --json out.json 2>err; echo $? >status; }} | :",
                                       quoted(folder.path().string()), quoted(CELLPROOF_PROGRAM));
  std::system(gone.c_str());
  CHECK(content_of(folder / "status") == "2\n");
  CHECK_FALSE(fs::exists(folder / "out.json"));
  CHECK(folder.count() == before + 2);
  // and all is well
  const Answer answer = run(folder, {"check", "cell.toml", "--json", "out.json", "--page", "out.html"});
  CHECK(answer.status <= 1);
  CHECK(folder.count() == before + 4);
}

TEST_CASE("an output takes the place of an old one whole, and a link to it stays a link") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  folder.write("old.json", "old");
  fs::create_symlink("old.json", folder / "link.json");
  CHECK(run(folder, {"facts", "cell.toml", "--json", "link.json"}).status == 0);
  CHECK(fs::is_symlink(folder / "link.json"));
  CHECK(nlohmann::json::accept(content_of(folder / "old.json")));
  CHECK(folder.count() == 3);
}

TEST_CASE("where the second of two outputs can't be put in place, the first is the old one again") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  folder.write("out.json", "old");
  const std::ptrdiff_t before = folder.count();
  // Standard output is a pipe that is full: both files are made, and the program waits for its reader. Meanwhile a
  // folder comes to stand where the page should go.
  const std::string script = fmt::format(
      "cd {} && mkfifo pipe && exec 3<>pipe && head -c 65536 /dev/zero >&3 && "
      "{{ {} check cell.toml --json out.json --page out.html >&3 2>err & }} && program=$! && "
      "for i in $(seq 400); do [ $(ls -A | grep -c 'part$') -eq 2 ] && break; sleep 0.05; done; "
      "ls -A | grep -c 'part$' >parts; mkdir -p out.html/in; head -c 65536 <&3 >/dev/null; wait $program; echo $? "
      ">status",
      quoted(folder.path().string()), quoted(CELLPROOF_PROGRAM));
  CHECK(std::system(("bash -c " + quoted(script)).c_str()) == 0);
  CHECK(content_of(folder / "parts") == "2\n");
  CHECK(content_of(folder / "status") == "2\n");
  CHECK(content_of(folder / "err").starts_with("--page: 'out.html' can't be written"));
  CHECK(content_of(folder / "out.json") == "old");
  CHECK(folder.count() == before + 5);  // pipe, parts, status, err and the folder
}
