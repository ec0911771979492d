// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace cellproof {

/// Has the graphics do all that was asked of them so far, and waits for it.
///
/// Every drawing of the panels makes their pieces anew and gives the old ones back. The drawing library (Open3D 0.16.1)
/// keeps a fixed pool of handles for pieces, and what is given back comes free only once the graphics have got to it;
/// a drawing that the graphics have no time for is not even sent to them. An open list is drawn anew without end, so
/// that on slow graphics the pool ran out within a second, and the library writes to where a missing handle points
/// (`createRenderPrimitive`). Done once a drawing, before the panels', no more than one drawing's pieces are ever held.
void finish_graphics();

}  // namespace cellproof
