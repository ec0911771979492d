// SPDX-License-Identifier: GPL-3.0-or-later
// The one form of a user's error: where it is, what is wrong, what to do.
#pragma once

#include <string>

#include <tl/expected.hpp>

namespace cellproof {

struct InputError {
  std::string file;  ///< as the user named it
  int line = 0;      ///< 1-based, 0 where a line makes no sense (a missing file)
  std::string key;   ///< "arm.joints[2].alpha" (lists count from 1), `body "table".mesh_unit`, or empty
  std::string what;  ///< what is wrong
  std::string mend;  ///< what to do
  /// "FILE:LINE: KEY: what is wrong; what to do", leaving out the parts that are empty.
  std::string text() const;
};

template <class T>
using Input = tl::expected<T, InputError>;

}  // namespace cellproof
