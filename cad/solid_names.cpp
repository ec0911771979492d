// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/solid_names.hpp"

#include <set>
#include <vector>

#include <Interface_EntityIterator.hxx>
#include <Interface_Graph.hxx>
#include <Interface_InterfaceModel.hxx>
#include <StepBasic_Product.hxx>
#include <StepBasic_ProductDefinition.hxx>
#include <StepBasic_ProductDefinitionFormation.hxx>
#include <StepRepr_ProductDefinitionShape.hxx>
#include <StepRepr_RepresentationRelationshipWithTransformation.hxx>
#include <StepRepr_ShapeRepresentationRelationship.hxx>
#include <StepShape_ShapeDefinitionRepresentation.hxx>
#include <StepShape_ShapeRepresentation.hxx>
#include <StepShape_SolidModel.hxx>
#include <TopExp_Explorer.hxx>
#include <TransferBRep.hxx>
#include <Transfer_TransientProcess.hxx>
#include <XSControl_TransferReader.hxx>
#include <XSControl_WorkSession.hxx>

namespace cellproof::cad {

namespace {

using Entity = Handle(Standard_Transient);

std::string text_of(const Handle(TCollection_HAsciiString) & text) {
  if (text.IsNull()) return {};
  std::string name = text->ToCString();
  const auto first = name.find_first_not_of(' '), last = name.find_last_not_of(' ');
  return first == std::string::npos ? std::string() : name.substr(first, last - first + 1);
}

/// Exporters without a name to give write NONE.
bool says_nothing(const std::string& name) {
  return name.empty() || name == "NONE" || name == "None" || name == "none";
}

Handle(StepBasic_Product) product_of(const Handle(StepShape_ShapeDefinitionRepresentation) & stated) {
  const auto shape = Handle(StepRepr_PropertyDefinition)::DownCast(stated->Definition().Value());
  if (shape.IsNull()) return {};
  const auto definition = Handle(StepBasic_ProductDefinition)::DownCast(shape->Definition().Value());
  if (definition.IsNull() || definition->Formation().IsNull()) return {};
  return definition->Formation()->OfProduct();
}

/// From a solid up to what it is the shape of. A placing relationship leads on to the assembly and is not followed.
Handle(StepBasic_Product) product_above(const Interface_Graph& graph, const Entity& from, std::set<const void*>& seen) {
  for (Interface_EntityIterator user = graph.Sharings(from); user.More(); user.Next()) {
    const Entity above = user.Value();
    if (!seen.insert(above.get()).second) continue;
    if (const auto stated = Handle(StepShape_ShapeDefinitionRepresentation)::DownCast(above); !stated.IsNull()) {
      if (auto product = product_of(stated); !product.IsNull()) return product;
      continue;
    }
    if (above->IsKind(STANDARD_TYPE(StepRepr_RepresentationRelationshipWithTransformation))) continue;
    if (const auto relationship = Handle(StepRepr_RepresentationRelationship)::DownCast(above);
        !relationship.IsNull()) {
      for (const auto& end : {relationship->Rep1(), relationship->Rep2()})
        if (!end.IsNull() && seen.insert(end.get()).second)
          if (auto product = product_above(graph, end, seen); !product.IsNull()) return product;
    } else if (above->IsKind(STANDARD_TYPE(StepRepr_Representation))) {
      if (auto product = product_above(graph, above, seen); !product.IsNull()) return product;
    }
  }
  return {};
}

struct Found {
  const void* shared;
  std::string own;
  Handle(StepBasic_Product) product;
};

std::vector<Found> solids_of(const STEPControl_Reader& reader) {
  const auto model = reader.Model();
  const auto process = reader.WS()->TransferReader()->TransientProcess();
  const Interface_Graph graph(model);
  std::vector<Found> found;
  for (int i = 1; i <= model->NbEntities(); ++i) {
    const auto solid = Handle(StepShape_SolidModel)::DownCast(model->Value(i));
    if (solid.IsNull()) continue;
    const TopoDS_Shape shape = TransferBRep::ShapeResult(process, solid);
    if (shape.IsNull()) continue;
    std::set<const void*> seen;
    const auto product = product_above(graph, solid, seen);
    for (TopExp_Explorer part(shape, TopAbs_SOLID); part.More(); part.Next())
      found.push_back({part.Current().TShape().get(), text_of(solid->Name()), product});
  }
  return found;
}

}  // namespace

SolidNames::SolidNames(const STEPControl_Reader& reader) {
  const std::vector<Found> found = solids_of(reader);
  std::map<const void*, int> solids_in;
  for (const Found& solid : found) ++solids_in[solid.product.get()];
  for (const Found& solid : found) {
    const std::string product = solid.product.IsNull() ? std::string() : text_of(solid.product->Name());
    const bool alone = solids_in[solid.product.get()] == 1;
    const bool own_name = says_nothing(product) || (!alone && !says_nothing(solid.own));
    name_of_[solid.shared] = own_name ? solid.own : product;
  }
}

std::string SolidNames::of(const TopoDS_Shape& solid) const {
  const auto found = name_of_.find(solid.TShape().get());
  return found == name_of_.end() || says_nothing(found->second) ? "solid" : found->second;
}

}  // namespace cellproof::cad
