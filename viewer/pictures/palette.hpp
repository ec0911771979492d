// SPDX-License-Identifier: GPL-3.0-or-later
// The colours of all pictures: apart in hue for any colour vision, and apart in lightness in grey.
#pragma once

#include "scene/scene.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof::palette {

inline constexpr Colour paper{0.975, 0.968, 0.945};
inline constexpr Colour ink{0.13, 0.12, 0.11};
inline constexpr Colour faint_ink{0.42, 0.40, 0.37};
inline constexpr Colour surroundings{0.80, 0.78, 0.73};
inline constexpr Colour arm{0.93, 0.68, 0.24};
inline constexpr Colour end_effector{0.20, 0.42, 0.62};
inline constexpr Colour part{0.30, 0.66, 0.50};
inline constexpr Colour marked{0.78, 0.20, 0.10};  ///< what the picture is about
inline constexpr Colour camera{0.45, 0.25, 0.50};

inline constexpr Colour of(BodyKind kind) {
  switch (kind) {
    case BodyKind::arm:
      return arm;
    case BodyKind::end_effector:
      return end_effector;
    case BodyKind::part:
      return part;
    case BodyKind::surroundings:
      break;
  }
  return surroundings;
}

}  // namespace cellproof::palette
