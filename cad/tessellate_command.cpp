// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof-cad tessellate: a STEP file from standard input, a tessellation (scene/tessellation.hpp) to standard
// output.
#include <algorithm>
#include <memory>

#include <fmt/format.h>

#include "cad/commands.hpp"
#include "cad/step_reader.hpp"
#include "cad/tessellate.hpp"
#include "scene/tessellation.hpp"

namespace cellproof::cad {

namespace {

struct TessellateOptions {
  double deviation = 0;
  std::string solid;
};

std::string names_of(const StepModel& model) {
  constexpr std::size_t most = 20;
  std::string names;
  for (std::size_t i = 0; i < std::min(most, model.solids.size()); ++i)
    names += fmt::format("{}'{}'", i == 0 ? "" : ", ", model.solids[i].name);
  if (model.solids.size() > most) names += fmt::format(" and {} more", model.solids.size() - most);
  return names.empty() ? "none" : names;
}

const TopoDS_Shape& chosen(const StepModel& model, const std::string& name) {
  if (name.empty()) return model.whole;
  const auto found = std::find_if(model.solids.begin(), model.solids.end(),
                                  [&](const NamedSolid& solid) { return solid.name == name; });
  if (found == model.solids.end())
    throw Refused(fmt::format("has no solid '{}'; its solids are {}", name, names_of(model)));
  return found->shape;
}

void tessellate_input(const TessellateOptions& options) {
  const auto model = read_step(standard_input());
  if (!model) throw Refused(model.error());
  const auto mesh = tessellate(chosen(*model, options.solid), options.deviation);
  if (!mesh) throw Refused(mesh.error());
  answer(tessellation_bytes(*mesh));
}

}  // namespace

void add_tessellate(CLI::App& program) {
  auto options = std::make_shared<TessellateOptions>();
  CLI::App* command =
      program.add_subcommand("tessellate", "a STEP file from standard input to triangles, as bytes for cellproof");
  command->add_option("--deviation", options->deviation, "how far the triangles may lie from the surface, mm")
      ->required()
      ->check(CLI::PositiveNumber);
  command->add_option("--solid", options->solid, "only the solid of this name");
  command->footer("Example: cellproof-cad tessellate --deviation 0.05 <gripper.step >gripper.triangles");
  command->callback([options] { tessellate_input(*options); });
}

}  // namespace cellproof::cad
