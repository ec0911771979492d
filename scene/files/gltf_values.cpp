// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/gltf_values.hpp"

#include <fmt/format.h>

namespace cellproof {

using nlohmann::json;

void GltfValues::fail(const GltfObject& where, std::string_view what) {
  if (trouble_.empty()) trouble_ = fmt::format("{} {}", where.place, what);
}

const json* GltfValues::find(const GltfObject& object, std::string_view key) const {
  if (!object.json || !object.json->is_object()) return nullptr;
  const auto found = object.json->find(std::string(key));
  return found == object.json->end() ? nullptr : &*found;
}

const json* GltfValues::list(const GltfObject& object, std::string_view key) {
  const json* value = find(object, key);
  if (value && !value->is_array()) fail(object, fmt::format("has a {} that is no list", key));
  return value && value->is_array() ? value : nullptr;
}

GltfObject GltfValues::entry(std::string_view name, std::size_t number) {
  const std::string place = fmt::format("{}[{}]", name, number);
  const json* all = list(root(), name);
  if (!all || number >= all->size() || !(*all)[number].is_object()) {
    fail({nullptr, place}, "is asked for but is not there");
    return {nullptr, place};
  }
  return {&(*all)[number], place};
}

std::size_t GltfValues::as_count(const GltfObject& object, std::string_view key, const json& value) {
  // Whole numbers may be written 3.0 (glTF 2.0, 2.7); beyond 2^53 doubles and sizes no longer agree.
  constexpr double most = 9007199254740992.0;
  const double number = value.is_number() ? value.get<double>() : -1;
  if (number >= 0 && number <= most && number == static_cast<double>(static_cast<std::size_t>(number)))
    return static_cast<std::size_t>(number);
  fail(object, fmt::format("has a {} that is no count", key));
  return 0;
}

std::optional<std::size_t> GltfValues::optional_count(const GltfObject& object, std::string_view key) {
  const json* value = find(object, key);
  if (!value) return {};
  return as_count(object, key, *value);
}

std::size_t GltfValues::required_count(const GltfObject& object, std::string_view key) {
  const auto count = optional_count(object, key);
  if (!count) fail(object, fmt::format("has no {}", key));
  return count.value_or(0);
}

std::string GltfValues::optional_text(const GltfObject& object, std::string_view key) {
  const json* value = find(object, key);
  if (!value) return {};
  if (value->is_string()) return value->get<std::string>();
  fail(object, fmt::format("has a {} that is no text", key));
  return {};
}

bool GltfValues::optional_flag(const GltfObject& object, std::string_view key) {
  const json* value = find(object, key);
  if (value && !value->is_boolean()) fail(object, fmt::format("has a {} that is neither true nor false", key));
  return value && value->is_boolean() && value->get<bool>();
}

std::optional<GltfObject> GltfValues::optional_object(const GltfObject& object, std::string_view key) {
  const json* value = find(object, key);
  if (!value) return {};
  if (!value->is_object()) fail(object, fmt::format("has {} that are no object", key));
  return GltfObject{value, fmt::format("{}.{}", object.place, key)};
}

std::vector<GltfObject> GltfValues::objects(const GltfObject& object, std::string_view key) {
  std::vector<GltfObject> all;
  if (const json* values = list(object, key))
    for (const json& value : *values) all.push_back({&value, fmt::format("{}.{}[{}]", object.place, key, all.size())});
  return all;
}

std::vector<std::size_t> GltfValues::counts(const GltfObject& object, std::string_view key) {
  std::vector<std::size_t> all;
  if (const json* values = list(object, key))
    for (const json& value : *values) all.push_back(as_count(object, key, value));
  return all;
}

std::vector<std::string> GltfValues::texts(const GltfObject& object, std::string_view key) {
  std::vector<std::string> all;
  if (const json* values = list(object, key))
    for (const json& value : *values) all.push_back(value.is_string() ? value.get<std::string>() : "?");
  return all;
}

std::vector<double> GltfValues::numbers(const GltfObject& object, std::string_view key,
                                        std::optional<std::size_t> how_many) {
  std::vector<double> all;
  const json* values = list(object, key);
  if (!values) return all;
  for (const json& value : *values) {
    if (!value.is_number()) fail(object, fmt::format("has a {} with an entry that is no number", key));
    all.push_back(value.is_number() ? value.get<double>() : 0);
  }
  if (how_many && all.size() != *how_many) {
    fail(object, fmt::format("has a {} of {} numbers; {} make one", key, all.size(), *how_many));
    all.assign(*how_many, 0);
  }
  return all;
}

}  // namespace cellproof
