// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/boolean.hpp"

#include <algorithm>
#include <cmath>

#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepAlgoAPI_Fuse.hxx>
#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <fmt/format.h>

namespace cellproof::cad {

namespace {

constexpr double volume_tolerance = 1e-7;  ///< of the larger volume

/// The result, if its volume is the one that it has to have.
Cut verified(BRepAlgoAPI_BooleanOperation& operation, double volume, double largest, const char* what) {
  if (!operation.IsDone() || operation.HasErrors()) return tl::unexpected(fmt::format("can't be {}", what));
  operation.SimplifyResult();
  const double found = volume_of(operation.Shape());
  if (!(std::abs(found - volume) <= volume_tolerance * largest))
    return tl::unexpected(
        fmt::format("can't be {}: {:.9g} mm^3 came out where {:.9g} mm^3 have to", what, found, volume));
  return operation.Shape();
}

}  // namespace

double volume_of(const TopoDS_Shape& shape) {
  GProp_GProps properties;
  BRepGProp::VolumeProperties(shape, properties);
  return properties.Mass();
}

Cut joined(const TopoDS_Shape& a, const TopoDS_Shape& b) {
  const double volume_a = volume_of(a), volume_b = volume_of(b);
  BRepAlgoAPI_Common common(a, b);
  BRepAlgoAPI_Fuse fuse(a, b);
  return verified(fuse, volume_a + volume_b - volume_of(common.Shape()), std::max(volume_a, volume_b), "joined");
}

Cut cut(const TopoDS_Shape& from, const TopoDS_Shape& tool) {
  const double volume = volume_of(from);
  BRepAlgoAPI_Common common(from, tool);
  BRepAlgoAPI_Cut difference(from, tool);
  return verified(difference, volume - volume_of(common.Shape()), volume, "cut");
}

}  // namespace cellproof::cad
