// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/chosen_solids.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "cad/commands.hpp"

namespace cellproof::cad {

namespace {

std::string names_of(const StepModel& model) {
  constexpr std::size_t most = 20;
  std::string names;
  for (std::size_t i = 0; i < std::min(most, model.solids.size()); ++i)
    names += fmt::format("{}'{}'", i == 0 ? "" : ", ", model.solids[i].name);
  if (model.solids.size() > most) names += fmt::format(" and {} more", model.solids.size() - most);
  return names.empty() ? "none" : names;
}

}  // namespace

const NamedSolid& solid_named(const StepModel& model, const std::string& name) {
  const auto found = std::find_if(model.solids.begin(), model.solids.end(),
                                  [&](const NamedSolid& solid) { return solid.name == name; });
  if (found == model.solids.end())
    throw Refused(fmt::format("has no solid '{}'; its solids are {}", name, names_of(model)));
  return *found;
}

}  // namespace cellproof::cad
