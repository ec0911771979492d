// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof-cad cut-mesh: a mesh less others.
#include <nlohmann/json.hpp>

#include "cad/commands.hpp"
#include "cad/mesh_cut.hpp"
#include "scene/basics/byte_blocks.hpp"
#include "scene/files/tessellation.hpp"

namespace cellproof::cad {

namespace {

std::vector<Mesh> meshes_of(std::string_view bytes) {
  const auto blocks = separate_blocks(bytes);
  if (!blocks || blocks->size() < 2) throw Refused("is not followed by what to cut it with");
  std::vector<Mesh> meshes;
  for (const std::string_view block : *blocks) {
    auto mesh = tessellation_of(block);
    if (!mesh) throw Refused("came damaged, or from another version of cellproof");
    meshes.push_back(std::move(*mesh));
  }
  return meshes;
}

void cut_input() {
  std::vector<Mesh> cutters = meshes_of(standard_input());
  const Mesh body = std::move(cutters.front());
  cutters.erase(cutters.begin());
  const auto cut = cut_mesh(body, cutters);
  if (!cut) throw Refused(cut.error());
  const nlohmann::json volumes{
      {"before_mm3", cut->before_mm3}, {"after_mm3", cut->after_mm3}, {"common_mm3", cut->common_mm3}};
  std::vector<std::string> answers{volumes.dump()};
  if (!cut->rest.triangles.empty()) answers.push_back(tessellation_bytes(cut->rest));
  answer(joined_blocks(answers));
}

}  // namespace

void add_cut_mesh(CommandLine& program) {
  Command command = program.command(
      "cut-mesh",
      "a closed mesh less others, each as bytes of cellproof behind its length: volumes, then what is left");
  command.closing("cellproof relief starts it by itself.");
  command.runs([] {
    cut_input();
    return exit_done;
  });
}

}  // namespace cellproof::cad
