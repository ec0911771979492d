// SPDX-License-Identifier: GPL-3.0-or-later
// The helper program cellproof-cad, which holds the CAD library: found beside our own, run under limits.
#pragma once

#include <filesystem>
#include <stop_token>
#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "scene/basics/model_error.hpp"

namespace cellproof {

/// Beside the program that runs; it may not be there.
std::filesystem::path cad_helper();

/// What the helper answers to `input`. Its time is 60 s, or what the environment's CELLPROOF_CAD_SECONDS says; its
/// memory 4096 MiB, or CELLPROOF_CAD_MEMORY. Error: the helper's own sentence's end, to follow `subject` ("the STEP
/// file a.step"); or that it is missing, crashed, ran out of its time or its memory.
tl::expected<std::string, ModelError> ask_cad_helper(const std::vector<std::string>& arguments, std::string_view input,
                                                     const std::string& subject, const std::stop_token& stop = {});

}  // namespace cellproof
