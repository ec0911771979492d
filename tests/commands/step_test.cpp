// SPDX-License-Identifier: GPL-3.0-or-later
// Cells with STEP files, as a user meets them: what is read, what is kept for the next run, and what is said when the
// file, or the helper program that reads it, does not do.
#include <chrono>
#include <cstdint>
#include <random>
#include <regex>

#include "tests/commands/program.hpp"
#include "tests/support/step_text.hpp"

using namespace cellproof_commands;
using namespace cellproof::test;
using nlohmann::json;

namespace {

/// The program in a folder of its own, so that another helper can stand beside it.
class Installed {
 public:
  Installed() {
    fs::create_hard_link(CELLPROOF_PROGRAM, folder_ / "cellproof", failed_);
    if (failed_) fs::copy_file(CELLPROOF_PROGRAM, folder_ / "cellproof");
    fs::create_directory(folder_ / "work");
  }

  /// A shell script as the helper; $REAL is the true one.
  void helper(const std::string& script) const {
    const fs::path file =
        folder_.write("cellproof-cad", fmt::format("#!/bin/sh\nREAL={}\n{}\n", quoted(real_helper()), script));
    fs::permissions(file, fs::perms::owner_all);
  }

  static std::string real_helper() { return (fs::path(CELLPROOF_PROGRAM).parent_path() / "cellproof-cad").string(); }

  fs::path write(const std::string& name, const std::string& content) const {
    return folder_.write(fs::path("work") / name, content);
  }

  /// With a cache folder of its own; `environment` are further settings for env.
  Answer run(const std::vector<std::string>& words, const std::vector<std::string>& environment = {}) const {
    const Folder streams;
    std::string command = fmt::format("cd {} && exec env XDG_CACHE_HOME={}", quoted((folder_ / "work").string()),
                                      quoted(cache().string()));
    for (const std::string& setting : environment) command += fmt::format(" {}", quoted(setting));
    command += fmt::format(" timeout 60 {}", quoted((folder_ / "cellproof").string()));
    for (const std::string& word : words) command += fmt::format(" {}", quoted(word));
    command +=
        fmt::format(" >{} 2>{} </dev/null", quoted((streams / "out").string()), quoted((streams / "err").string()));
    const int status = std::system(command.c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, content_of(streams / "out"), content_of(streams / "err")};
  }

  fs::path cache() const { return folder_ / "cache"; }
  std::string content(const std::string& name) const { return content_of(folder_ / name); }
  fs::path path(const std::string& name) const { return folder_ / name; }
  std::ptrdiff_t files_in_work() const { return std::distance(fs::directory_iterator(folder_ / "work"), {}); }

  std::vector<fs::path> kept() const {
    std::vector<fs::path> files;
    if (!fs::exists(cache() / "cellproof")) return files;
    for (const auto& entry : fs::directory_iterator(cache() / "cellproof")) files.push_back(entry.path());
    return files;
  }

 private:
  Folder folder_;
  std::error_code failed_;
};

const std::string block = block_step(length_units()[0], {50, 50, 50});

std::string step_cell(const std::string& keys = "mesh = \"post.step\"") {
  return replaced(small_cell, "box = [50, 50, 50]", keys);
}

void check_refused(const Answer& answer, const std::string& word) {
  INFO(answer.error);
  CHECK(answer.status == 2);
  CHECK(is_one_line(answer.error));
  CHECK(answer.error.rfind("cell.toml:11: body \"post\": ", 0) == 0);
  CHECK(answer.error.find("post.step") != std::string::npos);
  CHECK(answer.error.find(word) != std::string::npos);
  CHECK(answer.error.find("; ") != std::string::npos);
  CHECK(answer.output.empty());
}

/// With this in place of the post's STEP file.
void check_file_refused(const std::string& content, const std::string& word) {
  const Installed program;
  program.helper("exec \"$REAL\" \"$@\"");
  program.write("cell.toml", step_cell());
  program.write("post.step", content);
  const auto from = std::chrono::steady_clock::now();
  check_refused(program.run({"check", "cell.toml", "--json", "out.json"}, {"CELLPROOF_CAD_SECONDS=20"}), word);
  CHECK(std::chrono::steady_clock::now() - from < std::chrono::seconds(20));
  CHECK(program.files_in_work() == 2);
  CHECK(program.kept().empty());
}

std::string noise(std::size_t count) {
  std::mt19937_64 random(11);
  std::string bytes(count, '\0');
  for (char& byte : bytes) byte = static_cast<char>(random() & 0xff);
  return bytes;
}

json body_named(const json& report, const std::string& name) {
  for (const json& body : report.at("bodies"))
    if (body.at("name") == name) return body;
  FAIL("no body " << name);
  return {};
}

}  // namespace

TEST_CASE("a part as STEP and as STL is the same part: box, volume, area and clearances") {
  const Folder folder;
  folder.write("post.step", block);
  std::string stl = "solid block\n";
  const int faces[12][3] = {{0, 2, 3}, {0, 3, 1}, {4, 5, 7}, {4, 7, 6}, {0, 1, 5}, {0, 5, 4},
                            {2, 6, 7}, {2, 7, 3}, {0, 4, 6}, {0, 6, 2}, {1, 3, 7}, {1, 7, 5}};
  for (const auto& face : faces) {
    stl += "facet normal 0 0 0\nouter loop\n";
    for (const int i : face)
      stl += fmt::format("vertex {} {} {}\n", (i & 1) ? 50 : 0, (i & 2) ? 50 : 0, (i & 4) ? 50 : 0);
    stl += "endloop\nendfacet\n";
  }
  folder.write("post.stl", stl + "endsolid block\n");
  folder.write("a.toml", step_cell());
  folder.write("b.toml", step_cell("mesh = \"post.stl\"\nmesh_unit = \"mm\""));
  const json a = json_of(run(folder, {"check", "a.toml", "--json", "-"}));
  const json b = json_of(run(folder, {"check", "b.toml", "--json", "-"}));
  const json of_a = body_named(a, "post"), of_b = body_named(b, "post");
  for (const char* key : {"volume_mm3", "area_mm2"})
    CHECK(of_a.at(key).get<double>() == Approx(of_b.at(key).get<double>()).epsilon(1e-9));
  for (int end = 0; end < 2; ++end)
    for (int axis = 0; axis < 3; ++axis)
      CHECK(of_a.at("box_mm")[end][axis].get<double>() ==
            Approx(of_b.at("box_mm")[end][axis].get<double>()).margin(1e-6));
  CHECK(of_a.at("closed") == true);
  REQUIRE(a.at("steps").size() == b.at("steps").size());
  for (std::size_t i = 0; i < a.at("steps").size(); ++i) {
    const json &ca = a.at("steps")[i].at("clearance"), &cb = b.at("steps")[i].at("clearance");
    REQUIRE(ca.is_null() == cb.is_null());
    if (ca.is_null()) continue;
    CHECK(ca.at("lower_mm") <= cb.at("upper_mm"));
    CHECK(cb.at("lower_mm") <= ca.at("upper_mm"));
  }
}

TEST_CASE("a second run takes what the first one kept and does not start the helper") {
  const Installed program;
  program.helper("echo started >>\"$(dirname \"$0\")/starts\"\nexec \"$REAL\" \"$@\"");
  program.write("cell.toml", step_cell());
  program.write("post.step", block);
  const Answer first = program.run({"check", "cell.toml", "--json", "-"});
  const Answer second = program.run({"check", "cell.toml", "--json", "-"});
  CHECK(program.content("starts") == "started\n");
  CHECK(program.kept().size() == 1);
  CHECK(body_named(json_of(first), "post") == body_named(json_of(second), "post"));
  CHECK(json_of(first).at("findings") == json_of(second).at("findings"));

  program.write("post.step", block_step(length_units()[0], {50, 50, 60}));
  CHECK(body_named(json_of(program.run({"check", "cell.toml", "--json", "-"})), "post").at("box_mm")[1][2] == 60);
  program.write("cell.toml", step_cell("mesh = \"post.step\"\ndeviation = 0.1"));
  program.run({"check", "cell.toml"});
  program.write("cell.toml", step_cell("mesh = \"post.step\"\nsolid = \"block\""));
  program.run({"check", "cell.toml"});
  CHECK(program.content("starts") == "started\nstarted\nstarted\nstarted\n");
  CHECK(program.kept().size() == 4);
}

TEST_CASE("a kept entry that is torn, empty or of another content is not used, and is put right") {
  const Installed program;
  program.helper("echo started >>\"$(dirname \"$0\")/starts\"\nexec \"$REAL\" \"$@\"");
  program.write("cell.toml", step_cell());
  program.write("post.step", block);
  const json whole = body_named(json_of(program.run({"check", "cell.toml", "--json", "-"})), "post");
  REQUIRE(program.kept().size() == 1);
  const fs::path entry = program.kept().front();
  const std::string good = content_of(entry);
  std::string turned = good;
  turned[good.size() / 2] = static_cast<char>(turned[good.size() / 2] ^ 4);
  std::string starts = "started\n";
  for (const std::string& bad : {good.substr(0, good.size() / 2), std::string(), turned, std::string("nonsense")}) {
    std::ofstream(entry, std::ios::binary) << bad;
    CHECK(body_named(json_of(program.run({"check", "cell.toml", "--json", "-"})), "post") == whole);
    starts += "started\n";
    CHECK(program.content("starts") == starts);
    CHECK(content_of(entry) == good);
  }
  CHECK(program.kept().size() == 1);
}

TEST_CASE("without a folder to keep anything in, STEP is read all the same") {
  const Installed program;
  program.helper("exec \"$REAL\" \"$@\"");
  program.write("cell.toml", step_cell());
  program.write("post.step", block);
  for (const char* setting : {"XDG_CACHE_HOME=/dev/null/none", "XDG_CACHE_HOME=relative", "XDG_CACHE_HOME=/proc"}) {
    INFO(setting);
    const Answer answer = program.run({"check", "cell.toml", "--json", "-"}, {setting, "HOME=/dev/null"});
    CHECK(body_named(json_of(answer), "post").at("volume_mm3").get<double>() == Approx(125000));
    CHECK(program.files_in_work() == 2);
  }
}

TEST_CASE("STEP files that are none are refused with the file and the reason") {
  check_file_refused("", "is empty");
  check_file_refused("solid a\nendsolid a\n", "does not begin with ISO-10303-21");
  check_file_refused(noise(1'000'000), "is no STEP file");
  check_file_refused("ISO-10303-21;\n" + noise(100'000) + "\nEND-ISO-10303-21;\n", "binary");
  check_file_refused("ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n", "");
  check_file_refused("ISO-10303-21;\nthe weather is fine\nEND-ISO-10303-21;\n", "");
  for (const std::size_t part : {1, 2, 3, 4})
    check_file_refused(block.substr(0, block.size() * part / 5), "is cut off");
}

TEST_CASE("STEP files that lie about what they hold are refused") {
  // references to lines that are not there, or not of the kind
  check_file_refused(replaced(block, "CLOSED_SHELL('',(", "CLOSED_SHELL('',(#999999999,"), "");
  const std::string astray = std::regex_replace(block, std::regex("ADVANCED_FACE\\('',\\(#"), "ADVANCED_FACE('',(#1");
  check_file_refused(astray, "");
  check_file_refused(replaced(block, "MANIFOLD_SOLID_BREP('',#", "MANIFOLD_SOLID_BREP('',#99999999999999999999"), "");
  // a list that goes astray ten thousand times
  std::string list = "#1";
  for (int i = 0; i < 10'000; ++i) list += ",#1";
  check_file_refused(replaced(block, "CLOSED_SHELL('',(", "CLOSED_SHELL('',(" + list + ","), "");
  // a block of a million kilometres
  check_file_refused(block_step(length_units()[2], {1e9, 1e9, 1e9}), "1000 km");
}

TEST_CASE("a solid that the file does not have is refused with the names of those it has") {
  const Installed program;
  program.helper("exec \"$REAL\" \"$@\"");
  program.write("cell.toml", step_cell("mesh = \"post.step\"\nsolid = \"peg\""));
  program.write("post.step", block);
  check_refused(program.run({"check", "cell.toml"}), "has no solid 'peg'; its solids are 'block'");
}

TEST_CASE("facts lists a STEP file's solids by the names that a cell file can take") {
  const Folder folder;
  // A peg of 10 x 10 x 30 and, 100 along x, a plate of 80 x 60 x 5, drawn in centimetres.
  StepText text(length_units()[1]);
  const auto whole = text.product("jig", "SHAPE_REPRESENTATION", {});
  const auto peg = text.product("peg", "ADVANCED_BREP_SHAPE_REPRESENTATION", {text.block("", {1, 1, 3})});
  const auto plate = text.product("plate", "ADVANCED_BREP_SHAPE_REPRESENTATION", {text.block("", {8, 6, 0.5})});
  text.place(peg, whole, "a", {0, 0, 0}, {0, 0, 1}, {1, 0, 0});
  text.place(plate, whole, "b", {10, 0, 0}, {0, 0, 1}, {1, 0, 0});
  folder.write("jig.step", text.text());
  const json model = json_of(run(folder, {"facts", "jig.step", "--json", "-"})).at("models").at(0);
  CHECK(model.at("volume_mm3").get<double>() == Approx(3000 + 24000));
  REQUIRE(model.at("solids").size() == 2);
  const json &first = model.at("solids")[0], &second = model.at("solids")[1];
  CHECK(first.at("name") == "peg");
  CHECK(first.at("volume_mm3").get<double>() == Approx(3000));
  CHECK(second.at("name") == "plate");
  CHECK(second.at("area_mm2").get<double>() == Approx(2 * (4800 + 400 + 300)));
  CHECK(second.at("box_mm")[0][0].get<double>() == Approx(100));
  CHECK(second.at("closed") == true);
  const Answer said = run(folder, {"facts", "jig.step"});
  CHECK(said.status == 0);
  CHECK(said.output.find("\"plate\": 80 x 60 x 5 mm") != std::string::npos);
}

TEST_CASE("a missing, killed, hanging or talkative helper is a message, never a hang or a crash") {
  const Installed program;
  program.write("cell.toml", step_cell());
  program.write("post.step", block);
  const auto check = [&](const std::vector<std::string>& environment = {}) {
    return program.run({"check", "cell.toml", "--json", "out.json"}, environment);
  };
  check_refused(check(), "which is not there; install cellproof-cad beside cellproof");
  program.helper("kill -KILL $$");
  check_refused(check(), "crash (signal 9)");
  program.helper("kill -SEGV $$");
  check_refused(check(), "crash (signal 11)");
  program.helper("sleep 50");
  check_refused(check({"CELLPROOF_CAD_SECONDS=0.3"}), "more than 0.3 s");
  program.helper("sleep 50 & wait");
  check_refused(check({"CELLPROOF_CAD_SECONDS=0.3"}), "more than 0.3 s");
  program.helper("exec >&- 2>&-; sleep 50");
  check_refused(check({"CELLPROOF_CAD_SECONDS=0.3"}), "more than 0.3 s");
  program.helper("echo hello");
  check_refused(check(), "damaged");
  program.helper("\"$REAL\" \"$@\" | head -c 300");
  check_refused(check(), "damaged");
  program.helper("echo 'is not to my taste' >&2\nexit 2");
  check_refused(check(), "post.step is not to my taste; ");
  program.helper("exit 7");
  check_refused(check(), "end with status 7");
  program.helper("yes nonsense | head -c 3000000 >&2\nexit 2");
  check_refused(check(), "nonsense");
  program.helper("ulimit -v >&2\nexit 2");
  check_refused(check({"CELLPROOF_CAD_MEMORY=1234"}), fmt::format(" {}; ", 1234 * 1024));
  check_refused(check({"CELLPROOF_CAD_MEMORY=unlimited"}), " unlimited; ");
  program.helper("exec \"$REAL\" \"$@\"");
  check_refused(check({"CELLPROOF_CAD_MEMORY=1"}), "");
  fs::permissions(program.path("cellproof-cad"), fs::perms::none);
  CHECK(program.files_in_work() == 2);
  CHECK(program.kept().empty());
}

TEST_CASE("what the library prints does not get into the helper's answer") {
  const Folder folder;
  folder.write("solids.json", R"({"solids": [{"name": "thing", "add": [{"torus": {"radius": 30, "tube": 8}}]}]})");
  const std::string command = fmt::format("cd {} && {} write <solids.json >a.step 2>errors",
                                          quoted(folder.path().string()), quoted(Installed::real_helper()));
  REQUIRE(std::system(command.c_str()) == 0);
  CHECK(content_of(folder / "a.step").rfind("ISO-10303-21;\n", 0) == 0);
  CHECK(content_of(folder / "errors").empty());
}

TEST_CASE("the helper's help names its verbs, and its examples work") {
  const Folder folder;
  const std::string helper = quoted(Installed::real_helper()), at = "cd " + quoted(folder.path().string()) + " && ";
  REQUIRE(std::system(fmt::format("{}{} --help >help && {} write --help >write && {} tessellate --help >tessellate && "
                                  "{} solids --help >solids",
                                  at, helper, helper, helper, helper)
                          .c_str()) == 0);
  for (const char* verb : {"tessellate", "write", "solids"})
    CHECK(content_of(folder / "help").find(verb) != std::string::npos);
  for (const char* page : {"tessellate", "write", "solids"})
    CHECK(content_of(folder / page).find("Example: ") != std::string::npos);
  const std::string write =
      R"(echo '{"solids": [{"name": "block", "add": [{"box": [10, 20, 30]}]}]}' | cellproof-cad write >block.step)";
  CHECK(content_of(folder / "write").find(write) != std::string::npos);
  const std::string path = fmt::format("PATH={}:$PATH; ", quoted(fs::path(CELLPROOF_PROGRAM).parent_path().string()));
  CHECK(std::system((at + path + write).c_str()) == 0);
  CHECK(std::system((at + path + "cellproof-cad tessellate --deviation 0.05 <block.step >block.triangles").c_str()) ==
        0);
  CHECK(std::system((at + path + "cellproof-cad solids --deviation 0.05 <block.step >block.solids").c_str()) == 0);
  CHECK(std::system((at + path + "cellproof-cad tessellate --deviation 0 <block.step 2>errors").c_str()) != 0);
  CHECK(std::system((at + path + "echo '{\"solids\": 1}' | cellproof-cad write 2>errors >none").c_str()) != 0);
  CHECK(is_one_line(content_of(folder / "errors")));
}
