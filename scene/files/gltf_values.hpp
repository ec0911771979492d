// SPDX-License-Identifier: GPL-3.0-or-later
// Typed access to a glTF document's JSON: the first thing wrong is kept with its place, and what is then read is zero.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <nlohmann/json.hpp>

namespace cellproof {

/// An object of the document and how a message calls it: "accessors[3]".
struct GltfObject {
  const nlohmann::json* json = nullptr;
  std::string place;
};

class GltfValues {
 public:
  explicit GltfValues(const nlohmann::json& root) : root_(root) {}

  bool failed() const { return !trouble_.empty(); }
  const std::string& trouble() const { return trouble_; }
  void fail(const GltfObject& where, std::string_view what);

  /// The numbered entry of one of the document's lists: accessors, meshes …
  GltfObject entry(std::string_view list, std::size_t number);
  GltfObject root() const { return {&root_, "the document"}; }

  /// A whole number that is not negative; nothing if the key is not there.
  std::optional<std::size_t> optional_count(const GltfObject& object, std::string_view key);
  std::size_t required_count(const GltfObject& object, std::string_view key);
  std::string optional_text(const GltfObject& object, std::string_view key);
  bool optional_flag(const GltfObject& object, std::string_view key);
  std::optional<GltfObject> optional_object(const GltfObject& object, std::string_view key);
  std::vector<GltfObject> objects(const GltfObject& object, std::string_view key);
  std::vector<std::size_t> counts(const GltfObject& object, std::string_view key);
  std::vector<std::string> texts(const GltfObject& object, std::string_view key);
  /// So many numbers, or none if the key is not there.
  std::vector<double> numbers(const GltfObject& object, std::string_view key, std::optional<std::size_t> how_many);

 private:
  const nlohmann::json* find(const GltfObject& object, std::string_view key) const;
  const nlohmann::json* list(const GltfObject& object, std::string_view key);
  std::size_t as_count(const GltfObject& object, std::string_view key, const nlohmann::json& value);

  const nlohmann::json& root_;
  std::string trouble_;
};

}  // namespace cellproof
