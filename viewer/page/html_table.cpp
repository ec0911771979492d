// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page/html_table.hpp"

#include <fmt/format.h>

#include "viewer/page/html.hpp"

namespace cellproof {

std::string HtmlTable::cell(const char* kind, std::size_t column, const std::string& words) const {
  return fmt::format("<{0}{1}>{2}</{0}>", kind, columns_.at(column).of_numbers ? " class=\"n\"" : "", html_text(words));
}

void HtmlTable::add(const std::vector<std::string>& cells, bool fails) {
  rows_ += fails ? "<tr class=\"fails\">" : "<tr>";
  for (std::size_t i = 0; i < cells.size(); ++i) rows_ += cell("td", i, cells[i]);
  rows_ += "</tr>\n";
}

std::string HtmlTable::html() const {
  if (rows_.empty()) return {};
  std::string heads;
  for (std::size_t i = 0; i < columns_.size(); ++i) heads += cell("th", i, columns_[i].head);
  return fmt::format("<table>\n<tr>{}</tr>\n{}</table>\n", heads, rows_);
}

}  // namespace cellproof
