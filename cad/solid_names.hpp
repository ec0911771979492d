// SPDX-License-Identifier: GPL-3.0-or-later
// What a STEP file calls its solids.
#pragma once

#include <map>
#include <string>

#include <STEPControl_Reader.hxx>
#include <TopoDS_Shape.hxx>

namespace cellproof::cad {

class SolidNames {
 public:
  /// After the transfer.
  explicit SolidNames(const STEPControl_Reader& reader);
  /// The product's name, or the solid's own where the product holds several solids; "solid" where the file has none.
  std::string of(const TopoDS_Shape& solid) const;

 private:
  std::map<const void*, std::string> name_of_;  ///< by what the instances of a solid share
};

}  // namespace cellproof::cad
