// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof-cad tessellate: a STEP file from standard input, a tessellation (scene/files/tessellation.hpp) to standard
// output.
#include <memory>

#include "cad/chosen_solids.hpp"
#include "cad/commands.hpp"
#include "cad/step_reader.hpp"
#include "cad/tessellate.hpp"
#include "scene/files/tessellation.hpp"

namespace cellproof::cad {

namespace {

struct TessellateOptions {
  double deviation = 0;
  std::string solid;
};

void tessellate_input(const TessellateOptions& options) {
  const auto model = read_step(standard_input());
  if (!model) throw Refused(model.error());
  const auto mesh =
      tessellate(options.solid.empty() ? model->whole : solid_named(*model, options.solid).shape, options.deviation);
  if (!mesh) throw Refused(mesh.error());
  answer(tessellation_bytes(*mesh));
}

}  // namespace

void add_tessellate(CommandLine& program) {
  auto options = std::make_shared<TessellateOptions>();
  Command command =
      program.command("tessellate", "a STEP file from standard input to triangles, as bytes for cellproof");
  command.option("--deviation", options->deviation, "how far the triangles may lie from the surface, mm")
      .required()
      .positive();
  command.option("--solid", options->solid, "only the solid of this name");
  command.closing("Example: cellproof-cad tessellate --deviation 0.05 <gripper.step >gripper.triangles");
  command.runs([options] {
    tessellate_input(*options);
    return exit_done;
  });
}

}  // namespace cellproof::cad
