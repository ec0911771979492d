// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/gltf_accessor.hpp"

#include <algorithm>
#include <cstring>
#include <limits>

#include <fmt/format.h>

namespace cellproof {

namespace {

// Component types (glTF 2.0, 3.6.2.2).
constexpr std::size_t signed_byte = 5120, unsigned_byte = 5121, signed_short = 5122, unsigned_short = 5123,
                      unsigned_int = 5125, single_float = 5126;

std::size_t size_of(std::size_t component_type) {
  switch (component_type) {
    case signed_byte:
    case unsigned_byte:
      return 1;
    case signed_short:
    case unsigned_short:
      return 2;
    case unsigned_int:
    case single_float:
      return 4;
    default:
      return 0;
  }
}

template <class Number>
Number number_at(std::string_view bytes, std::size_t at) {
  Number number;
  std::memcpy(&number, bytes.data() + at, sizeof number);
  return number;
}

/// A whole number; where it stands for a share, that of its type's greatest (KHR_mesh_quantization).
template <class Number>
double scaled(std::string_view bytes, std::size_t at, bool normalized) {
  const double number = number_at<Number>(bytes, at);
  return normalized ? std::max(number / std::numeric_limits<Number>::max(), -1.0) : number;
}

GltfAccessor open(GltfValues& values, GltfBuffers& buffers, std::size_t number, std::string_view type,
                  std::size_t components) {
  GltfAccessor result;
  const GltfObject accessor = values.entry("accessors", number);
  result.count = values.required_count(accessor, "count");
  result.component_type = values.required_count(accessor, "componentType");
  result.normalized = values.optional_flag(accessor, "normalized");
  const std::size_t offset = values.optional_count(accessor, "byteOffset").value_or(0);
  if (values.optional_text(accessor, "type") != type) values.fail(accessor, fmt::format("is not of type {}", type));
  const std::size_t size = components * size_of(result.component_type);
  if (size == 0) values.fail(accessor, "has a componentType that there is none");
  if (values.optional_object(accessor, "sparse")) values.fail(accessor, "is sparse, which is not read");
  const auto view_number = values.optional_count(accessor, "bufferView");
  if (!view_number) values.fail(accessor, "has no bufferView, or is compressed, which is not read");
  if (values.failed()) return {};

  const GltfObject view = values.entry("bufferViews", *view_number);
  const std::size_t begin = values.optional_count(view, "byteOffset").value_or(0);
  const std::size_t length = values.required_count(view, "byteLength");
  result.stride = values.optional_count(view, "byteStride").value_or(size);
  const std::size_t buffer = values.required_count(view, "buffer");
  if (values.failed()) return {};
  const std::string_view bytes = buffers.bytes(buffer, values);
  if (values.failed()) return {};
  if (begin > bytes.size() || length > bytes.size() - begin) values.fail(view, "reaches past the end of its buffer");
  if (result.stride < size) values.fail(view, "has a byteStride shorter than one element");
  const bool fits =
      offset <= length &&
      (result.count == 0 || (size <= length - offset &&
                             (result.count - 1) <= (length - offset - size) / std::max<std::size_t>(result.stride, 1)));
  if (!fits) values.fail(accessor, "reaches past the end of its bufferView");
  if (values.failed()) return {};
  result.bytes = bytes.substr(begin + offset, length - offset);
  return result;
}

}  // namespace

Vector3d GltfAccessor::position(std::size_t element) const {
  Vector3d result;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const std::size_t at = element * stride + axis * size_of(component_type);
    double& value = result[static_cast<Eigen::Index>(axis)];
    switch (component_type) {
      case signed_byte:
        value = scaled<std::int8_t>(bytes, at, normalized);
        break;
      case unsigned_byte:
        value = scaled<std::uint8_t>(bytes, at, normalized);
        break;
      case signed_short:
        value = scaled<std::int16_t>(bytes, at, normalized);
        break;
      case unsigned_short:
        value = scaled<std::uint16_t>(bytes, at, normalized);
        break;
      default:
        value = static_cast<double>(number_at<float>(bytes, at));
    }
  }
  return result;
}

std::size_t GltfAccessor::index(std::size_t element) const {
  const std::size_t at = element * stride;
  if (component_type == unsigned_byte) return number_at<std::uint8_t>(bytes, at);
  if (component_type == unsigned_short) return number_at<std::uint16_t>(bytes, at);
  return number_at<std::uint32_t>(bytes, at);
}

GltfAccessor gltf_positions(GltfValues& values, GltfBuffers& buffers, std::size_t number) {
  GltfAccessor accessor = open(values, buffers, number, "VEC3", 3);
  if (!values.failed() && accessor.component_type == unsigned_int)
    values.fail(values.entry("accessors", number), "holds positions of a componentType that is not read");
  return accessor;
}

GltfAccessor gltf_indices(GltfValues& values, GltfBuffers& buffers, std::size_t number) {
  GltfAccessor accessor = open(values, buffers, number, "SCALAR", 1);
  const std::size_t type = accessor.component_type;
  if (!values.failed() && type != unsigned_byte && type != unsigned_short && type != unsigned_int)
    values.fail(values.entry("accessors", number), "holds indices of a componentType that is none for indices");
  return accessor;
}

}  // namespace cellproof
