// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace cellproof {

/// Why a model can't be had, and what to do. Where it was asked for, the caller knows.
struct ModelError {
  std::string what, mend;
};

}  // namespace cellproof
