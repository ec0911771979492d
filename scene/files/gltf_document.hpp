// SPDX-License-Identifier: GPL-3.0-or-later
// A glTF 2.0 file: its JSON, and the bytes that it speaks of.
#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "scene/files/gltf_values.hpp"

namespace cellproof {

struct GltfDocument {
  std::filesystem::path folder;
  nlohmann::json json;
  std::string binary;  ///< of a GLB; empty otherwise
};

/// Reads .gltf or .glb. Error: a clause.
tl::expected<GltfDocument, std::string> read_gltf(const std::filesystem::path& file);

/// The file that a buffer's `uri` names, beside the document; nothing for text within the document, or without a uri.
std::optional<std::filesystem::path> buffer_file(const std::filesystem::path& folder, const std::string& uri);

/// The files beside a .gltf or .glb that its buffers are in; none where it can't be read.
std::vector<std::filesystem::path> buffer_files(const std::filesystem::path& file);

/// The bytes of the document's buffers, each opened when it is first asked for: the binary chunk, base64 text, or a
/// file beside it.
class GltfBuffers {
 public:
  explicit GltfBuffers(const GltfDocument& document) : document_(document) {}
  /// As many bytes as the buffer says that it has. What is wrong goes to `values`; then empty.
  std::string_view bytes(std::size_t buffer, GltfValues& values);

 private:
  std::string open(const GltfObject& buffer, std::size_t number, GltfValues& values) const;

  const GltfDocument& document_;
  std::map<std::size_t, std::string> opened_;
};

}  // namespace cellproof
