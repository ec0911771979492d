// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "models/solid_shapes.hpp"

namespace cellproof::models {

/// A body with the name of its mesh file.
struct NamedShape {
  std::string file;
  Shape shape;
};

}  // namespace cellproof::models
