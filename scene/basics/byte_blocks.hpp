// SPDX-License-Identifier: GPL-3.0-or-later
// Several things in one stream of bytes, each behind its length.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace cellproof {

/// The bytes stay on the machine that made them.
std::string joined_blocks(const std::vector<std::string>& blocks);

/// Nothing if a length leads beyond the end.
std::optional<std::vector<std::string_view>> separate_blocks(std::string_view bytes);

}  // namespace cellproof
