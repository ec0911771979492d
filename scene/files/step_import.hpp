// SPDX-License-Identifier: GPL-3.0-or-later
// STEP files to meshes, by the helper program or from what it answered before.
#pragma once

#include <filesystem>
#include <stop_token>
#include <string>

#include <tl/expected.hpp>

#include "scene/basics/model_error.hpp"
#include "scene/mesh/mesh.hpp"

namespace cellproof {

struct StepRequest {
  std::filesystem::path file;
  double deviation_mm = 0.05;  ///< how far the triangles may lie from the surface
  std::string solid;           ///< "" for all solids of the file, where its assembly puts them
};

/// In mm, with the deviation measured and the exact area, volume, centroid and inertia. Reads AP203, AP214 and AP242.
tl::expected<Mesh, ModelError> import_step(const StepRequest& request, const std::stop_token& stop = {});

/// All of a file. Error: it is missing, no file, or empty.
tl::expected<std::string, ModelError> step_file_bytes(const std::filesystem::path& file);
/// That the helper's answer about `subject` is not whole.
ModelError damaged_answer(const std::string& subject);

}  // namespace cellproof
