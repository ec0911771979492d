// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/step_writer.hpp"

#include <map>
#include <sstream>
#include <stdexcept>

#include <APIHeaderSection_MakeHeader.hxx>
#include <Interface_Static.hxx>
#include <STEPControl_Writer.hxx>
#include <StepBasic_Product.hxx>
#include <StepData_Protocol.hxx>
#include <StepData_StepModel.hxx>
#include <StepData_StepWriter.hxx>
#include <fmt/format.h>

namespace cellproof::cad {

namespace {

struct StepUnit {
  const char* library_name;
  double mm;
};

template <class Value>
Value value_of(const std::map<std::string, Value>& values, const std::string& name, const char* what) {
  const auto found = values.find(name);
  if (found == values.end()) throw std::invalid_argument(fmt::format("'{}' is no {} that is written", name, what));
  return found->second;
}

Handle(TCollection_HAsciiString) text(const std::string& words) {
  return new TCollection_HAsciiString(words.c_str());
}

/// The library writes the unit's name and, unless the model knows the unit too, numbers in mm under it.
void set_style(STEPControl_Writer& writer, const StepStyle& style) {
  const std::map<std::string, const char*> schemas = {{"AP203", "AP203"}, {"AP214", "AP214IS"}, {"AP242", "AP242DIS"}};
  const std::map<std::string, StepUnit> units = {
      {"mm", {"MM", 1}}, {"cm", {"CM", 10}}, {"m", {"M", 1000}}, {"in", {"INCH", 25.4}}};
  const StepUnit unit = value_of(units, style.unit, "unit");
  Interface_Static::SetIVal("write.surfacecurve.mode", 0);
  Interface_Static::SetCVal("write.step.schema", value_of(schemas, style.schema, "schema"));
  Interface_Static::SetCVal("write.step.unit", unit.library_name);
  writer.Model()->SetWriteLengthUnit(unit.mm);
}

/// The library numbers the products' names; here each is its solid's alone.
void set_names(const Handle(StepData_StepModel) & model, const std::vector<NamedSolid>& solids) {
  auto solid = solids.begin();
  for (int i = 1; i <= model->NbEntities(); ++i) {
    const auto product = Handle(StepBasic_Product)::DownCast(model->Value(i));
    if (product.IsNull()) continue;
    if (solid == solids.end()) throw std::runtime_error("STEP holds more products than solids");
    product->SetId(text(solid->name));
    product->SetName(text(solid->name));
    ++solid;
  }
}

/// Without a time, a place or a person.
void set_header(const Handle(StepData_StepModel) & model, const StepStyle& style) {
  APIHeaderSection_MakeHeader header(model);
  header.SetName(text(style.title));
  header.SetTimeStamp(text("2000-01-01T00:00:00"));
  header.SetAuthorValue(1, text(""));
  header.SetOrganizationValue(1, text(""));
  header.SetPreprocessorVersion(text(""));
  header.SetOriginatingSystem(text("cellproof"));
  header.SetAuthorisation(text(""));
}

}  // namespace

std::string step_of(const std::vector<NamedSolid>& solids, const StepStyle& style) {
  STEPControl_Writer writer;
  set_style(writer, style);
  for (const NamedSolid& solid : solids) {
    if (writer.Transfer(solid.shape, STEPControl_AsIs) != IFSelect_RetDone)
      throw std::runtime_error(fmt::format("'{}' can't be written as STEP", solid.name));
  }
  const auto model = writer.Model();
  set_names(model, solids);
  set_header(model, style);
  StepData_StepWriter printer(model);
  printer.SendModel(Handle(StepData_Protocol)::DownCast(model->Protocol()));
  std::ostringstream stream;
  if (!printer.Print(stream)) throw std::runtime_error("STEP can't be written");
  return stream.str();
}

}  // namespace cellproof::cad
