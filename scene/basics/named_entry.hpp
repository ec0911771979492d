// SPDX-License-Identifier: GPL-3.0-or-later
// Finding an entry of the cell by its name.
#pragma once

#include <string>
#include <vector>

namespace cellproof {

/// Index of the entry with that `name`, -1 if there is none.
template <class Entry>
int index_named(const std::vector<Entry>& entries, const std::string& name) {
  for (std::size_t i = 0; i < entries.size(); ++i)
    if (entries[i].name == name) return static_cast<int>(i);
  return -1;
}

}  // namespace cellproof
