// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof-cad write: solids described in JSON from standard input, a STEP file to standard output.
#include <memory>

#include <TopExp_Explorer.hxx>
#include <fmt/format.h>

#include "cad/boolean.hpp"
#include "cad/commands.hpp"
#include "cad/solids_text.hpp"
#include "cad/step_writer.hpp"

namespace cellproof::cad {

namespace {

TopoDS_Shape placed_solid(const PlacedPiece& piece) {
  return placed(solid_of(piece.piece), piece.at);
}

TopoDS_Shape built(const SolidText& text) {
  if (text.add.empty()) throw Refused(fmt::format("'{}' is made of nothing", text.name));
  TopoDS_Shape whole = placed_solid(text.add.front());
  const auto take = [&](Cut result) {
    if (!result) throw Refused(fmt::format("'{}' {}", text.name, result.error()));
    whole = *result;
  };
  for (std::size_t i = 1; i < text.add.size(); ++i) take(joined(whole, placed_solid(text.add[i])));
  for (const PlacedPiece& piece : text.cut) take(cut(whole, placed_solid(piece)));
  return whole;
}

TopoDS_Shape only_solid(const SolidText& text) {
  const TopoDS_Shape whole = built(text);
  TopExp_Explorer solid(whole, TopAbs_SOLID);
  if (!solid.More()) throw Refused(fmt::format("nothing is left of '{}'", text.name));
  const TopoDS_Shape first = solid.Current();
  solid.Next();
  if (solid.More()) throw Refused(fmt::format("'{}' falls into several solids", text.name));
  return first;
}

void write_input(const StepStyle& asked) {
  try {
    const SolidsText text = solids_of_json(standard_input());
    StepStyle style = asked;
    style.title = text.title;
    std::vector<NamedSolid> solids;
    for (const SolidText& solid : text.solids) solids.push_back({solid.name, only_solid(solid)});
    answer(step_of(solids, style));
  } catch (const std::invalid_argument& error) {
    throw Refused(error.what());
  }
}

constexpr const char* description =
    R"(Standard input: { "title": "…", "solids": [ { "name": "…", "add": [ PIECE, … ], "cut": [ PIECE, … ] }, … ] }
PIECE has "at": { "xyz": […], "quat": [w, x, y, z] } (both optional) and one of, mm:
  "box": [x, y, z]   "cylinder": { "radius", "height" }   "cone": { "radius", "top_radius", "height" }   "sphere": { "radius" }
  "torus": { "radius", "tube" }   "extrude": { "outline", "holes", "from", "to" }   "revolve": OUTLINE in radius and z
  "polyhedron": { "points": [[x, y, z], …], "faces": [[0, 1, 2], …] }, counter-clockwise from outside
OUTLINE is [[x, y], [x, y, rounding], …] or { "at": [x, y], "radius": r }.
Example: echo '{"solids": [{"name": "block", "add": [{"box": [10, 20, 30]}]}]}' | cellproof-cad write >block.step)";

}  // namespace

void add_write(CommandLine& program) {
  auto style = std::make_shared<StepStyle>();
  Command command = program.command("write", "solids described in JSON to a STEP file");
  command.option("--schema", style->schema, "AP203, AP214 or AP242").tells_default();
  command.option("--unit", style->unit, "mm, cm, m or in: the unit that the file states").tells_default();
  command.closing(description);
  command.runs([style] {
    write_input(*style);
    return exit_done;
  });
}

}  // namespace cellproof::cad
