// SPDX-License-Identifier: GPL-3.0-or-later
// Output files are written whole or not at all.
#pragma once

#include <string>
#include <string_view>

#include <tl/expected.hpp>

namespace cellproof {

/// Writes beside the file under another name, then puts it in place. "-" is standard output; a
/// device or pipe is written to, and the file behind a link is replaced, not the link. Error: a sentence.
tl::expected<void, std::string> write_whole(const std::string& file, std::string_view content);

}  // namespace cellproof
