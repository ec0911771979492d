// SPDX-License-Identifier: GPL-3.0-or-later
// Numbers in a glTF buffer, read in place.
#pragma once

#include "kinematics/types.hpp"
#include "scene/files/gltf_document.hpp"

namespace cellproof {

/// A checked view: every element lies in its buffer.
struct GltfAccessor {
  std::string_view bytes;  ///< from the first element on
  std::size_t count = 0, stride = 0;
  std::size_t component_type = 0;
  bool normalized = false;

  Vector3d position(std::size_t element) const;
  std::size_t index(std::size_t element) const;
};

/// Accessors of positions (VEC3) and of indices (SCALAR), with what is wrong in `values`.
GltfAccessor gltf_positions(GltfValues& values, GltfBuffers& buffers, std::size_t number);
GltfAccessor gltf_indices(GltfValues& values, GltfBuffers& buffers, std::size_t number);

}  // namespace cellproof
