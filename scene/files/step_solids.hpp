// SPDX-License-Identifier: GPL-3.0-or-later
// The solids of a STEP file one by one, as the helper program hands them over.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "scene/basics/model_error.hpp"
#include "scene/mesh/mesh.hpp"

namespace cellproof {

struct StepSolid {
  std::string name;  ///< what `solid` of a cell file takes
  Mesh mesh;         ///< mm, where the assembly puts it
};

/// In the file's order; none where it holds surfaces only.
tl::expected<std::vector<StepSolid>, ModelError> import_step_solids(const std::filesystem::path& file,
                                                                    double deviation_mm);

/// A line with names and lengths in JSON, then each one's tessellation.
std::string step_solids_bytes(const std::vector<StepSolid>& solids);
/// Nothing if the bytes are cut off or damaged.
std::optional<std::vector<StepSolid>> step_solids_of(std::string_view bytes);

}  // namespace cellproof
