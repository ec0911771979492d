// SPDX-License-Identifier: GPL-3.0-or-later
// The list of what was found: a card each, worst first, with what to change.
#pragma once

#include <optional>
#include <vector>

#include "viewer/gathered_findings.hpp"
#include "viewer/pictures/canvas.hpp"

namespace cellproof {

struct CardsContent {
  const Report& report;
  const std::vector<Gathered>& groups;
  std::optional<std::size_t> chosen;  ///< into the groups
  double scrolled = 0;                ///< pixels of the list above the upper rim
  bool proved = true;                 ///< false: there is nothing yet to say
};

struct Cards {
  Image image;
  std::vector<Area> areas;  ///< by group, on the image; partly or wholly outside when scrolled away
  double list_height = 0;   ///< of the whole list
};

Cards draw_cards(const CardsContent& content, int width, int height);

/// The group after (or, backwards, before) a group, round and round; none if there is none.
std::optional<std::size_t> next_group(std::size_t count, std::optional<std::size_t> now, bool backwards);

/// The card at a pixel.
std::optional<std::size_t> card_at(const Cards& cards, const Vector2d& pixel);

}  // namespace cellproof
