// SPDX-License-Identifier: GPL-3.0-or-later
// Opens models: each shape once, on all the threads given, with its search tree and its rays' tree.
#pragma once

#include <filesystem>
#include <memory>
#include <stop_token>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "scene/basics/model_error.hpp"
#include "scene/cell/cell.hpp"
#include "scene/solids/distance.hpp"
#include "scene/solids/rays.hpp"

namespace cellproof {

struct ModelRequest {
  Shape shape;
};

struct Model {
  std::shared_ptr<const Solid> solid;
  std::shared_ptr<const RayBody> rays;
  std::size_t degenerate_dropped = 0;
};

/// One answer a request, in their order; equal requests share their model. File paths are relative to `folder`. Once
/// stop is requested, what is not open yet stays empty.
std::vector<tl::expected<Model, ModelError>> open_models(const std::vector<ModelRequest>& requests,
                                                         const std::filesystem::path& folder,
                                                         const std::stop_token& stop = {}, int threads = 0);

}  // namespace cellproof
