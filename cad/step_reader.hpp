// SPDX-License-Identifier: GPL-3.0-or-later
// STEP files (AP203, AP214, AP242) to shapes in mm, assemblies placed and flattened.
#pragma once

#include <string>
#include <vector>

#include <TopoDS_Shape.hxx>
#include <tl/expected.hpp>

namespace cellproof::cad {

/// A solid where the assembly puts it.
struct NamedSolid {
  std::string
      name;  ///< its product's; its own if the product holds several; equal ones are numbered "bolt 1", "bolt 2"
  TopoDS_Shape shape;
};

struct StepModel {
  std::vector<NamedSolid> solids;  ///< in the file's order
  TopoDS_Shape whole;              ///< all of them, and surfaces that belong to no solid
};

/// `bytes` are a file's. Error: a sentence's end, to follow the file's name: cut off, no STEP, no unit, nothing in it.
tl::expected<StepModel, std::string> read_step(const std::string& bytes);

}  // namespace cellproof::cad
