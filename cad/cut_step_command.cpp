// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof-cad cut-step: the solids of a STEP file less others, as a STEP file and as triangles.
#include <memory>

#include <BRepCheck_Analyzer.hxx>
#include <BRep_Builder.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS_Compound.hxx>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "cad/boolean.hpp"
#include "cad/chosen_solids.hpp"
#include "cad/commands.hpp"
#include "cad/solids_text.hpp"
#include "cad/step_writer.hpp"
#include "cad/tessellate.hpp"
#include "scene/basics/byte_blocks.hpp"
#include "scene/files/tessellation.hpp"

namespace cellproof::cad {

namespace {

struct CutStepOptions {
  double deviation = 0;
  std::string solid;
};

std::vector<NamedSolid> solids_of(const StepModel& model, const std::string& name) {
  if (!name.empty()) return {solid_named(model, name)};
  int loose = 0;
  for (TopExp_Explorer face(model.whole, TopAbs_FACE, TopAbs_SOLID); face.More(); face.Next()) ++loose;
  if (loose > 0) throw Refused(fmt::format("has {} faces that belong to no solid, and only solids can be cut", loose));
  return model.solids;
}

void check_whole(const NamedSolid& solid, const char* what) {
  if (!BRepCheck_Analyzer(solid.shape).IsValid() || !(volume_of(solid.shape) > 0))
    throw Refused(fmt::format("{} its solid '{}', which is open or crosses itself", what, solid.name));
}

std::vector<TopoDS_Shape> cutters_of(std::string_view text) {
  std::vector<TopoDS_Shape> cutters;
  for (const SolidText& solid : solids_of_json(std::string(text)).solids)
    for (const PlacedPiece& piece : solid.add) cutters.push_back(placed(solid_of(piece.piece), piece.at));
  return cutters;
}

/// What is left of one solid: none, one or several.
std::vector<NamedSolid> rest_of(const NamedSolid& whole, const std::vector<TopoDS_Shape>& cutters) {
  TopoDS_Shape rest = whole.shape;
  for (const TopoDS_Shape& cutter : cutters) {
    const Cut cut_free = cut(rest, cutter);
    if (!cut_free) throw Refused(fmt::format("has a solid '{}' that {}", whole.name, cut_free.error()));
    rest = *cut_free;
  }
  std::vector<NamedSolid> pieces;
  for (TopExp_Explorer solid(rest, TopAbs_SOLID); solid.More(); solid.Next())
    pieces.push_back({whole.name, solid.Current()});
  for (const NamedSolid& piece : pieces) check_whole(piece, "leaves, when cut,");
  return pieces;
}

TopoDS_Shape together(const std::vector<NamedSolid>& solids) {
  const BRep_Builder builder;
  TopoDS_Compound all;
  builder.MakeCompound(all);
  for (const NamedSolid& solid : solids) builder.Add(all, solid.shape);
  return all;
}

void cut_input(const CutStepOptions& options) {
  const std::string input = standard_input();
  const auto blocks = separate_blocks(input);
  if (!blocks || blocks->size() != 2) throw Refused("is not followed by what to cut it with");
  const auto model = read_step(std::string((*blocks)[0]));
  if (!model) throw Refused(model.error());
  const std::vector<TopoDS_Shape> cutters = cutters_of((*blocks)[1]);
  std::vector<NamedSolid> rest;
  double before = 0, after = 0;
  for (const NamedSolid& solid : solids_of(*model, options.solid)) {
    check_whole(solid, "holds");
    before += volume_of(solid.shape);
    for (NamedSolid& piece : rest_of(solid, cutters)) rest.push_back(std::move(piece));
  }
  for (const NamedSolid& solid : rest) after += volume_of(solid.shape);
  std::vector<std::string> answers{nlohmann::json{{"before_mm3", before}, {"after_mm3", after}}.dump()};
  if (!rest.empty()) {
    const auto mesh = tessellate(together(rest), options.deviation);
    if (!mesh) throw Refused(mesh.error());
    answers.push_back(tessellation_bytes(*mesh));
    answers.push_back(step_of(rest, {}));
  }
  answer(joined_blocks(answers));
}

}  // namespace

void add_cut_step(CommandLine& program) {
  auto options = std::make_shared<CutStepOptions>();
  Command command = program.command(
      "cut-step", "a STEP file less solids described as for write, each behind its length: volumes, triangles, STEP");
  command.option("--deviation", options->deviation, "how far the triangles may lie from the surface, mm")
      .required()
      .positive();
  command.option("--solid", options->solid, "only the solid of this name");
  command.closing("cellproof relief starts it by itself.");
  command.runs([options] {
    cut_input(*options);
    return exit_done;
  });
}

}  // namespace cellproof::cad
