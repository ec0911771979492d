// SPDX-License-Identifier: GPL-3.0-or-later
// What a cut takes of faces that parts touch: pads, cups, and what parts lie on.
#pragma once

#include <string>
#include <vector>

#include "scene/cycle/cycle.hpp"

namespace cellproof {

/// A moment of the cycle at which a body is meant to touch a part.
struct Touch {
  std::string step;  ///< empty at the start
  PartId part;
  bool grip = false;  ///< by the tool that takes it; else the part lies on the body
  Arrangement arrangement;
  Joints joints = Joints::Zero();
};

/// Of an end-effector body its grips, of any other what comes to lie on it, in every run.
std::vector<Touch> touches_of(const Scene& scene, const Cycle& cycle, BodyId body);

struct TouchLoss {
  std::string part, step;  ///< step: empty at the start
  bool grip = false;
  double before_mm2 = 0, after_mm2 = 0;  ///< of faces on faces within `contact_depth`
};

/// Where less of a body touches a part after it than before; of each part and step the run that loses most.
std::vector<TouchLoss> touch_losses(const Scene& before, const Scene& after, BodyId body,
                                    const std::vector<Touch>& touches);

}  // namespace cellproof
