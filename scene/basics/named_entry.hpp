// SPDX-License-Identifier: GPL-3.0-or-later
// Finding an entry of the cell by its name.
#pragma once

#include <string_view>
#include <vector>

#include "scene/basics/id.hpp"

namespace cellproof {

/// The entry with that `name`, or none.
template <class Entry>
Id<Entry> id_named(const std::vector<Entry>& entries, std::string_view name) {
  for (const Id<Entry> id : ids_of(entries))
    if (entries[id.index()].name == name) return id;
  return {};
}

}  // namespace cellproof
