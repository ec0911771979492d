// SPDX-License-Identifier: GPL-3.0-or-later
// In which way a fixture lets go of a part.
#pragma once

#include <string_view>

#include "scene/forces/contact_forces.hpp"

namespace cellproof {

enum class Gives { slide, turn, tip, lift };
std::string_view name_of(Gives gives);      ///< "slide", "turn", "tip", "lift"
std::string_view sentence_of(Gives gives);  ///< "slides", "turns", "tips", "lifts off"

/// At the greatest multiple: lift if next to nothing of what presses without the load is left; tip if the part turns
/// over rests that do not slide; else turn if it moves about a place within three times the spread of what
/// holds it, or slide.
Gives what_gives(const Contacts& contacts, const Wrench& constant, const HeldMultiple& held);

/// Of a load that is not held: lift if it draws the part off, tip if rests that stick would not hold it either, else
/// slide.
Gives what_fails_at_rest(Contacts contacts, const Wrench& constant);

}  // namespace cellproof
