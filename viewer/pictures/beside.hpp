// SPDX-License-Identifier: GPL-3.0-or-later
// Two pictures side by side.
#pragma once

#include "viewer/pictures/image.hpp"

namespace cellproof {

/// The taller one's height; a thin bar between them.
Image beside(const Image& left, const Image& right);

}  // namespace cellproof
