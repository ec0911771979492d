// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/finding_cards.hpp"

#include <array>

#include <fmt/format.h>

#include "viewer/desk/panel_style.hpp"

namespace cellproof {

namespace {

constexpr double pad = 9, gap = 6, line_height = 15.5, letter_size = 12;

std::string head_words(const Report& report, const Gathered& group) {
  const std::string where = where_words(report.findings, group);
  return std::string(name_of(report.findings[group.worst].check)) + (where.empty() ? "" : ": " + where);
}

struct CardLine {
  std::string words;
  Lettering lettering;
};

std::vector<CardLine> lines_of(Canvas& canvas, const CardsContent& content, std::size_t number, double width) {
  const Report& report = content.report;
  const Gathered& group = content.groups[number];
  const Finding& finding = report.findings[group.worst];
  std::vector<CardLine> lines;
  const auto add = [&](const std::string& words, const Lettering& lettering, double inset) {
    for (auto& line : panel::wrapped(canvas, words, lettering, width - inset)) lines.push_back({line, lettering});
  };
  add(head_words(report, group), panel::letters(letter_size, panel::colour_of(finding.severity), true), 18);
  add(finding.message, panel::letters(letter_size), 0);
  if (!finding.mend.empty()) add("Change: " + finding.mend, panel::letters(letter_size, panel::faint), 0);
  if (const std::string root = root_words(report.findings, content.groups, number); !root.empty())
    add(root, panel::letters(letter_size, panel::faint), 0);
  return lines;
}

Area draw_card(Canvas& canvas, const CardsContent& content, std::size_t number, double top, double width) {
  const Gathered& group = content.groups[number];
  const Finding& finding = content.report.findings[group.worst];
  const auto lines = lines_of(canvas, content, number, width - 2 * pad - 8);
  const Area area{4, top, width - 8, 2 * pad + line_height * static_cast<double>(lines.size()) - 3};
  const bool chosen = content.chosen == number;
  canvas.fill(area, chosen ? panel::chosen : panel::raised);
  canvas.fill({area.left, area.top, 3, area.height}, panel::colour_of(finding.severity));
  if (chosen)
    canvas.line(std::array<Vector2d, 4>{Vector2d(area.left, area.top), Vector2d(area.left + area.width, area.top),
                                        Vector2d(area.left + area.width, area.top + area.height),
                                        Vector2d(area.left, area.top + area.height)},
                {panel::text, 1.2}, true);
  panel::draw_sign(canvas, finding.severity, {area.left + area.width - 13, area.top + 13}, 5);
  double base = area.top + pad + 10;
  for (const CardLine& line : lines) {
    canvas.text({area.left + pad + 2, base}, line.words, line.lettering);
    base += line_height;
  }
  return area;
}

}  // namespace

Cards draw_cards(const CardsContent& content, int width, int height) {
  Cards cards;
  cards.image = blank_image(width, height, panel::back);
  Canvas canvas(cards.image);
  double top = 2 - content.scrolled;
  if (!content.proved)
    canvas.text({12, 24}, "What is found comes here.", panel::letters(letter_size + 1, panel::faint));
  else if (content.groups.empty())
    canvas.text({12, 24}, "Nothing found to change.", panel::letters(letter_size + 1, panel::passes, true));
  for (std::size_t i = 0; i < content.groups.size(); ++i) {
    cards.areas.push_back(draw_card(canvas, content, i, top, width));
    top += cards.areas.back().height + gap;
  }
  cards.list_height = top + content.scrolled;
  return cards;
}

std::optional<std::size_t> next_group(std::size_t count, std::optional<std::size_t> now, bool backwards) {
  if (count == 0) return std::nullopt;
  if (!now) return backwards ? count - 1 : 0;
  return (*now + (backwards ? count - 1 : 1)) % count;
}

std::optional<std::size_t> card_at(const Cards& cards, const Vector2d& pixel) {
  for (std::size_t i = 0; i < cards.areas.size(); ++i)
    if (cards.areas[i].overlaps({pixel.x(), pixel.y(), 0.5, 0.5})) return i;
  return std::nullopt;
}

}  // namespace cellproof
