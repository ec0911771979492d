// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/cell.hpp"

namespace cellproof {

Cell::Cell() = default;
Cell::Cell(const Cell&) = default;
Cell::Cell(Cell&&) noexcept = default;
Cell& Cell::operator=(const Cell&) = default;
Cell& Cell::operator=(Cell&&) noexcept = default;
Cell::~Cell() = default;

}  // namespace cellproof
