// SPDX-License-Identifier: GPL-3.0-or-later
#include <fstream>
#include <optional>

#include <fmt/format.h>

#include "scene/files/gltf_document.hpp"

namespace cellproof {

namespace {

int value_of_base64(char letter) {
  if (letter >= 'A' && letter <= 'Z') return letter - 'A';
  if (letter >= 'a' && letter <= 'z') return letter - 'a' + 26;
  if (letter >= '0' && letter <= '9') return letter - '0' + 52;
  return letter == '+' ? 62 : letter == '/' ? 63 : -1;
}

/// RFC 4648; nothing where a letter is none of its alphabet.
std::optional<std::string> from_base64(std::string_view text) {
  while (text.ends_with('=')) text.remove_suffix(1);
  std::string bytes;
  bytes.reserve(text.size() * 3 / 4);
  unsigned gathered = 0;
  int bits = 0;
  for (const char letter : text) {
    const int value = value_of_base64(letter);
    if (value < 0) return {};
    gathered = (gathered << 6 | static_cast<unsigned>(value)) & 0xffff;
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    bytes.push_back(static_cast<char>(gathered >> bits & 0xff));
  }
  return bytes;
}

int value_of_hex(char letter) {
  if (letter >= '0' && letter <= '9') return letter - '0';
  const char small = static_cast<char>(letter | 0x20);
  return small >= 'a' && small <= 'f' ? small - 'a' + 10 : -1;
}

/// "%20" is a blank (RFC 3986); what is no such code stays.
std::string without_codes(std::string_view uri) {
  std::string text;
  for (std::size_t i = 0; i < uri.size(); ++i) {
    const bool code =
        uri[i] == '%' && i + 2 < uri.size() && value_of_hex(uri[i + 1]) >= 0 && value_of_hex(uri[i + 2]) >= 0;
    text.push_back(code ? static_cast<char>(16 * value_of_hex(uri[i + 1]) + value_of_hex(uri[i + 2])) : uri[i]);
    if (code) i += 2;
  }
  return text;
}

}  // namespace

std::optional<std::filesystem::path> buffer_file(const std::filesystem::path& folder, const std::string& uri) {
  if (uri.empty() || uri.starts_with("data:")) return std::nullopt;
  return folder / without_codes(uri);
}

std::vector<std::filesystem::path> buffer_files(const std::filesystem::path& file) {
  std::vector<std::filesystem::path> files;
  const auto document = read_gltf(file);
  if (!document || !document->json.contains("buffers") || !document->json["buffers"].is_array()) return files;
  for (const auto& buffer : document->json["buffers"]) {
    if (!buffer.is_object() || !buffer.contains("uri") || !buffer["uri"].is_string()) continue;
    if (auto beside = buffer_file(document->folder, buffer["uri"].get<std::string>()))
      files.push_back(std::move(*beside));
  }
  return files;
}

std::string GltfBuffers::open(const GltfObject& buffer, std::size_t number, GltfValues& values) const {
  const std::size_t length = values.required_count(buffer, "byteLength");
  const std::string uri = values.optional_text(buffer, "uri");
  if (values.failed()) return {};
  std::string bytes;
  if (uri.empty()) {
    if (number == 0) bytes = document_.binary;
  } else if (uri.starts_with("data:")) {
    const std::size_t comma = uri.find(',');
    const bool base64 = comma != std::string::npos && std::string_view(uri).substr(0, comma).ends_with(";base64");
    const auto decoded = base64 ? from_base64(std::string_view(uri).substr(comma + 1)) : std::nullopt;
    if (!decoded) values.fail(buffer, "holds text that is no base64");
    bytes = decoded.value_or("");
  } else {
    const std::filesystem::path file = *buffer_file(document_.folder, uri);
    std::error_code error;
    if (!std::filesystem::is_regular_file(file, error)) {
      values.fail(buffer, fmt::format("is in the file {}, which is not there", file.string()));
      return {};
    }
    const auto size = std::filesystem::file_size(file, error);
    bytes.resize(error ? 0 : std::min<std::size_t>(size, length));
    std::ifstream in(file, std::ios::binary);
    in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    bytes.resize(static_cast<std::size_t>(in.gcount()));
  }
  if (bytes.size() < length)
    values.fail(buffer, fmt::format("says {} bytes, but only {} are there", length, bytes.size()));
  bytes.resize(std::min(bytes.size(), length));
  return bytes;
}

std::string_view GltfBuffers::bytes(std::size_t number, GltfValues& values) {
  const auto known = opened_.find(number);
  if (known != opened_.end()) return known->second;
  const GltfObject buffer = values.entry("buffers", number);
  return opened_[number] = values.failed() ? "" : open(buffer, number, values);
}

}  // namespace cellproof
