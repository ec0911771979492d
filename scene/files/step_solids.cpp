// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/step_solids.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "scene/files/cad_helper.hpp"
#include "scene/files/step_import.hpp"
#include "scene/files/tessellation.hpp"

namespace cellproof {

using nlohmann::json;

std::string step_solids_bytes(const std::vector<StepSolid>& solids) {
  json head = json::array();
  std::string bodies;
  for (const StepSolid& solid : solids) {
    const std::string bytes = tessellation_bytes(solid.mesh);
    head.push_back({solid.name, bytes.size()});
    bodies += bytes;
  }
  return head.dump(-1, ' ', true, json::error_handler_t::replace) + "\n" + bodies;
}

std::optional<std::vector<StepSolid>> step_solids_of(std::string_view bytes) {
  const std::size_t end = bytes.find('\n');
  if (end == std::string_view::npos) return {};
  const json head = json::parse(bytes.substr(0, end), nullptr, false);
  if (!head.is_array()) return {};
  bytes.remove_prefix(end + 1);
  std::vector<StepSolid> solids;
  for (const json& entry : head) {
    if (!entry.is_array() || entry.size() != 2 || !entry[0].is_string() || !entry[1].is_number_unsigned()) return {};
    const std::size_t size = entry[1].get<std::size_t>();
    if (size > bytes.size()) return {};
    auto mesh = tessellation_of(bytes.substr(0, size));
    if (!mesh) return {};
    solids.push_back({entry[0].get<std::string>(), std::move(*mesh)});
    bytes.remove_prefix(size);
  }
  if (!bytes.empty()) return {};
  return solids;
}

tl::expected<std::vector<StepSolid>, ModelError> import_step_solids(const std::filesystem::path& file,
                                                                    double deviation_mm) {
  const auto bytes = step_file_bytes(file);
  if (!bytes) return tl::unexpected(bytes.error());
  const std::string subject = fmt::format("the STEP file {}", file.string());
  const auto answer = ask_cad_helper({"solids", fmt::format("--deviation={}", deviation_mm)}, *bytes, subject);
  if (!answer) return tl::unexpected(answer.error());
  auto solids = step_solids_of(*answer);
  if (!solids) return tl::unexpected(damaged_answer(subject));
  return std::move(*solids);
}

}  // namespace cellproof
