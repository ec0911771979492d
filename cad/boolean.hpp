// SPDX-License-Identifier: GPL-3.0-or-later
// Solids joined and cut, verified by volumes: the library's booleans can fail without a word.
#pragma once

#include <string>

#include <TopoDS_Shape.hxx>
#include <tl/expected.hpp>

namespace cellproof::cad {

using Cut = tl::expected<TopoDS_Shape, std::string>;

double volume_of(const TopoDS_Shape& shape);  ///< mm^3

/// The shapes' volume is what their common part leaves of the sum. Error: a sentence's end.
Cut joined(const TopoDS_Shape& a, const TopoDS_Shape& b);
/// What the tool leaves; its volume is short of the common part's. Empty where nothing is left.
Cut cut(const TopoDS_Shape& from, const TopoDS_Shape& tool);

}  // namespace cellproof::cad
