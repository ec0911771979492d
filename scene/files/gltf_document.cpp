// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/gltf_document.hpp"

#include <fstream>
#include <iterator>

#include <fmt/format.h>

namespace cellproof {

namespace {

constexpr int deepest_nesting = 100;  // brackets in brackets; glTF itself needs some ten

std::string content_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::size_t word_at(std::string_view bytes, std::size_t at) {
  std::size_t word = 0;
  for (std::size_t i = 4; i-- > 0;) word = word << 8 | static_cast<unsigned char>(bytes[at + i]);
  return word;
}

struct Chunks {
  std::string_view text, binary;
};

/// The JSON chunk and the binary one of a GLB (glTF 2.0, 4.4).
tl::expected<Chunks, std::string> chunks_of(std::string_view bytes) {
  if (bytes.size() < 20) return tl::unexpected(std::string("it is cut off"));
  if (word_at(bytes, 4) != 2)
    return tl::unexpected(fmt::format("it is glTF {}, and glTF 2 is read", word_at(bytes, 4)));
  const std::size_t length = word_at(bytes, 8);
  if (length > bytes.size()) return tl::unexpected(std::string("it is cut off"));
  Chunks chunks;
  for (std::size_t at = 12; at + 8 <= length;) {
    const std::size_t size = word_at(bytes, at);
    if (size > length - at - 8) return tl::unexpected(std::string("a chunk of it is longer than the file"));
    const std::string_view kind = bytes.substr(at + 4, 4), data = bytes.substr(at + 8, size);
    if (kind == "JSON" && chunks.text.empty()) chunks.text = data;
    if (kind == std::string_view("BIN\0", 4) && chunks.binary.empty()) chunks.binary = data;
    at += 8 + size;
  }
  return chunks;
}

/// True if brackets outside of texts are nested deeper than in any glTF.
bool nested_too_deep(std::string_view json) {
  int depth = 0;
  bool in_text = false;
  for (std::size_t i = 0; i < json.size(); ++i) {
    const char letter = json[i];
    if (in_text && letter == '\\') ++i;
    if (letter == '"') in_text = !in_text;
    if (in_text) continue;
    if (letter == '{' || letter == '[') ++depth;
    if (letter == '}' || letter == ']') --depth;
    if (depth > deepest_nesting) return true;
  }
  return false;
}

tl::expected<nlohmann::json, std::string> parse(std::string_view text) {
  if (nested_too_deep(text))
    return tl::unexpected(fmt::format("its brackets are nested more than {} deep", deepest_nesting));
  nlohmann::json json = nlohmann::json::parse(text, nullptr, false);
  if (json.is_discarded() || !json.is_object()) return tl::unexpected(std::string("its JSON is cut off or damaged"));
  return json;
}

}  // namespace

tl::expected<GltfDocument, std::string> read_gltf(const std::filesystem::path& file) {
  const std::string bytes = content_of(file);
  Chunks chunks{bytes, {}};
  if (bytes.starts_with("glTF")) {
    const auto found = chunks_of(bytes);
    if (!found) return tl::unexpected(found.error());
    chunks = *found;
  }
  auto json = parse(chunks.text);
  if (!json) return tl::unexpected(json.error());
  return GltfDocument{file.parent_path(), std::move(*json), std::string(chunks.binary)};
}

}  // namespace cellproof
