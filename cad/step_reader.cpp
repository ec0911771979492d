// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/step_reader.hpp"

#include <algorithm>
#include <sstream>

#include <Interface_Check.hxx>
#include <Interface_ReportEntity.hxx>
#include <Interface_Static.hxx>
#include <STEPControl_Reader.hxx>
#include <StepData_StepModel.hxx>
#include <StepGeom_GeometricRepresentationItem.hxx>
#include <StepShape_ShapeRepresentation.hxx>
#include <StepShape_TopologicalRepresentationItem.hxx>
#include <TColStd_SequenceOfAsciiString.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <fmt/format.h>

#include "cad/solid_names.hpp"
#include "cad/step_references.hpp"

namespace cellproof::cad {

namespace {

using Trouble = tl::unexpected<std::string>;

/// What is wrong with the text before a library reads it; empty if nothing is. A file that was cut off would otherwise
/// come in as the part of it that is there.
std::string trouble_with(const std::string& bytes) {
  constexpr std::size_t near = 2000;  // comments and line ends may surround the marks
  const std::string head = bytes.substr(0, near), tail = bytes.substr(bytes.size() - std::min(bytes.size(), near));
  if (head.find("ISO-10303-21") == std::string::npos) return "is no STEP file: it does not begin with ISO-10303-21";
  if (bytes.find('\0') != std::string::npos) return "is no STEP file: it holds binary data";
  if (tail.find("END-ISO-10303-21") == std::string::npos) return "is cut off: END-ISO-10303-21 is missing at its end";
  if (const std::string line = missing_line(bytes); !line.empty())
    return fmt::format("is damaged: it refers to line {}, which it does not have", line);
  return {};
}

/// The first line of geometry, topology or shape that the library could not read in full; 0 if there is none.
int damaged_line(const STEPControl_Reader& reader) {
  const auto model = Handle(StepData_StepModel)::DownCast(reader.Model());
  for (int i = 1; i <= model->NbEntities(); ++i) {
    if (!model->IsReportEntity(i)) continue;
    const auto entity = model->Value(i);
    if (!entity->IsKind(STANDARD_TYPE(StepGeom_GeometricRepresentationItem)) &&
        !entity->IsKind(STANDARD_TYPE(StepShape_TopologicalRepresentationItem)) &&
        !entity->IsKind(STANDARD_TYPE(StepShape_ShapeRepresentation)))
      continue;
    if (model->ReportEntity(i)->Check()->HasFailed()) return std::max(1, model->IdentLabel(entity));
  }
  return 0;
}

bool states_a_unit(STEPControl_Reader& reader) {
  TColStd_SequenceOfAsciiString lengths, angles, solid_angles;
  reader.FileUnits(lengths, angles, solid_angles);
  return !lengths.IsEmpty();
}

bool has_faces(const TopoDS_Shape& shape) {
  return !shape.IsNull() && TopExp_Explorer(shape, TopAbs_FACE).More();
}

/// Equal names are told apart by numbers.
void number_equal_names(std::vector<NamedSolid>& solids) {
  std::vector<std::string> plain;
  for (const auto& solid : solids) plain.push_back(solid.name);
  for (std::size_t i = 0; i < solids.size(); ++i) {
    if (std::count(plain.begin(), plain.end(), plain[i]) < 2) continue;
    const auto before = std::count(plain.begin(), plain.begin() + static_cast<std::ptrdiff_t>(i), plain[i]);
    solids[i].name = fmt::format("{} {}", plain[i], before + 1);
  }
}

}  // namespace

tl::expected<StepModel, std::string> read_step(const std::string& bytes) {
  if (std::string trouble = trouble_with(bytes); !trouble.empty()) return Trouble(std::move(trouble));
  STEPControl_Reader reader;
  Interface_Static::SetCVal("xstep.cascade.unit", "MM");
  std::istringstream stream(bytes);
  if (reader.ReadStream("model", stream) != IFSelect_RetDone) return Trouble("can't be read as STEP");
  if (!states_a_unit(reader)) return Trouble("states no unit of length, or holds no shapes");
  if (const int line = damaged_line(reader); line > 0)
    return Trouble(fmt::format("is damaged: its line #{} can't be read in full", line));
  reader.TransferRoots();
  StepModel model;
  model.whole = reader.OneShape();
  if (!has_faces(model.whole)) return Trouble("holds no solid and no surface that can be read");
  const SolidNames names(reader);
  for (TopExp_Explorer solid(model.whole, TopAbs_SOLID); solid.More(); solid.Next())
    model.solids.push_back({names.of(solid.Current()), solid.Current()});
  number_equal_names(model.solids);
  return model;
}

}  // namespace cellproof::cad
