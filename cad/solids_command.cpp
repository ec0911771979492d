// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof-cad solids: the solids of a STEP file by name, each as triangles of its own (scene/files/step_solids.hpp).
#include <memory>

#include "cad/commands.hpp"
#include "cad/step_reader.hpp"
#include "cad/tessellate.hpp"
#include "scene/files/step_solids.hpp"
#include "scene/files/tessellation.hpp"

namespace cellproof::cad {

namespace {

void list_solids(double deviation) {
  const auto model = read_step(standard_input());
  if (!model) throw Refused(model.error());
  std::vector<StepSolid> solids;
  for (const NamedSolid& solid : model->solids) {
    auto mesh = tessellate(solid.shape, deviation);
    if (!mesh) throw Refused(mesh.error());
    solids.push_back({solid.name, std::move(*mesh)});
  }
  answer(step_solids_bytes(solids));
}

}  // namespace

void add_solids(CommandLine& program) {
  auto deviation = std::make_shared<double>(0);
  Command command = program.command(
      "solids", "a STEP file from standard input to its solids, each with its name, as bytes for cellproof");
  command.option("--deviation", *deviation, "how far the triangles may lie from the surface, mm").required().positive();
  command.closing("Example: cellproof-cad solids --deviation 0.05 <gripper.step >gripper.solids");
  command.runs([deviation] {
    list_solids(*deviation);
    return exit_done;
  });
}

}  // namespace cellproof::cad
