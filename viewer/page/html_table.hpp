// SPDX-License-Identifier: GPL-3.0-or-later
// A table in a page.
#pragma once

#include <string>
#include <vector>

namespace cellproof {

struct HtmlColumn {
  std::string head;
  bool of_numbers = false;  ///< set to the right
};

class HtmlTable {
 public:
  explicit HtmlTable(std::vector<HtmlColumn> columns) : columns_(std::move(columns)) {}

  /// As many cells as there are columns. `fails` has the row in the marking colour.
  void add(const std::vector<std::string>& cells, bool fails = false);

  /// Empty without rows.
  std::string html() const;

 private:
  std::string cell(const char* kind, std::size_t column, const std::string& words) const;

  std::vector<HtmlColumn> columns_;
  std::string rows_;
};

}  // namespace cellproof
