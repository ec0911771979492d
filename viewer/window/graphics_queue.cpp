// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/graphics_queue.hpp"

#include <filament/Engine.h>
#include <open3d/visualization/rendering/filament/FilamentEngine.h>

namespace cellproof {

void finish_graphics() {
  open3d::visualization::rendering::EngineInstance::GetInstance().flushAndWait();
}

}  // namespace cellproof
