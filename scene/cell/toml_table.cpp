// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/toml_table.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <stdexcept>
#include <utility>

#include <fmt/format.h>

namespace cellproof {
namespace {

std::string_view sort_of(const TomlValue& value) {
  static constexpr std::string_view words[] = {"true or false", "a number", "a number", "a text",
                                               "a date",        "a list",   "a table"};
  return words[value.value.index()];
}

bool is_bare_key(std::string_view key) {
  return !key.empty() && std::all_of(key.begin(), key.end(), [](unsigned char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-';
  });
}

/// Insertions, deletions, replacements and swaps of neighbours (optimal string alignment).
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::vector<std::size_t>> cost(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) cost[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) cost[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replaced = cost[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      cost[i][j] = std::min({cost[i - 1][j] + 1, cost[i][j - 1] + 1, replaced});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        cost[i][j] = std::min(cost[i][j], cost[i - 2][j - 2] + 1);
    }
  }
  return cost[a.size()][b.size()];
}

/// Too far apart in length to be misspellings of each other; keeps huge keys cheap.
bool lengths_differ_much(std::string_view a, std::string_view b) {
  return std::max(a.size(), b.size()) - std::min(a.size(), b.size()) > 2;
}

const std::string* name_in(const TomlValue& value) {
  const auto* keys = std::get_if<TomlKeys>(&value.value);
  if (!keys) return nullptr;
  for (const TomlEntry& entry : *keys)
    if (entry.key == "name") return std::get_if<std::string>(&entry.value.value);
  return nullptr;
}

/// "is a text with its unit where …" splits a sentence of units.cpp at its "; " into what is wrong and the mend.
std::pair<std::string, std::string> what_and_mend(const std::string& sentence) {
  const auto cut = sentence.rfind("; ");
  if (cut == std::string::npos) return {sentence, {}};
  return {sentence.substr(0, cut), sentence.substr(cut + 2)};
}

}  // namespace

void Reading::fail(const Origin& where, std::string what, std::string mend) {
  if (error) return;
  error = InputError{file, where.line, where.key, std::move(what), std::move(mend)};
}

std::string joined_key(const std::string& path, std::string_view key) {
  const std::string shown = is_bare_key(key) ? std::string(key) : fmt::format("\"{}\"", key);
  return path.empty() ? shown : path + "." + shown;
}

std::string nearest_word(std::string_view word, const std::vector<std::string_view>& candidates) {
  std::string_view best;
  std::size_t least = 3;
  for (const std::string_view candidate : candidates) {
    if (lengths_differ_much(word, candidate)) continue;
    const std::size_t distance = edit_distance(word, candidate);
    // A word that shares nothing with the candidate is no misspelling of it: "a" is not "on".
    if (distance < least && distance < candidate.size()) {
      least = distance;
      best = candidate;
    }
  }
  return std::string(best);
}

TomlItem::TomlItem(Reading& reading, const TomlValue* value, Origin where)
    : reading_(&reading), value_(value), where_(std::move(where)) {}

bool TomlItem::is_text() const {
  return value_ && std::holds_alternative<std::string>(value_->value);
}
bool TomlItem::is_list() const {
  return value_ && std::holds_alternative<TomlList>(value_->value);
}
bool TomlItem::is_table() const {
  return value_ && std::holds_alternative<TomlKeys>(value_->value);
}

void TomlItem::fail(std::string what, std::string mend) const {
  reading_->fail(where_, std::move(what), std::move(mend));
}

void TomlItem::fail_type(std::string_view wanted, std::string_view mend) const {
  if (value_) fail(fmt::format("is {} where {} is wanted", sort_of(*value_), wanted), std::string(mend));
}

void TomlItem::check_sign(double value, Sign sign) const {
  if (sign == Sign::positive && !(value > 0)) fail("has to be above 0", "write a number above 0");
  if (sign == Sign::not_negative && !(value >= 0)) fail("is below 0", "write 0 or more");
}

double TomlItem::number(Sign sign) const {
  if (!value_) return 0;
  double value = 0;
  if (const auto* whole = std::get_if<std::int64_t>(&value_->value)) {
    value = static_cast<double>(*whole);
  } else if (const auto* real = std::get_if<double>(&value_->value)) {
    value = *real;
  } else {
    fail_type("a number", is_text() ? "write it bare: it has no unit" : "write a number");
    return 0;
  }
  if (!std::isfinite(value)) {
    fail("is not a finite number", "write a finite number");
    return 0;
  }
  check_sign(value, sign);
  return value;
}

/// Beyond this, double precision no longer tells a thousandth of a millimetre: a slip of the unit or the pen.
constexpr double farthest_mm = 1e9;

double TomlItem::quantity(Kind kind, Sign sign) const {
  const double value = finite_quantity(kind, sign);
  if (kind != Kind::length || std::abs(value) <= farthest_mm) return value;
  fail(fmt::format("is {:g} mm, and lengths in a cell go up to 1000 km", value), "correct the number or its unit");
  return 0;
}

double TomlItem::finite_quantity(Kind kind, Sign sign) const {
  if (!value_) return 0;
  if (const auto* text = std::get_if<std::string>(&value_->value)) {
    const auto value = parse_quantity(*text, kind);
    if (!value) {
      auto [what, mend] = what_and_mend(value.error());
      fail(std::move(what), std::move(mend));
      return 0;
    }
    check_sign(*value, sign);
    return *value;
  }
  if (is_list() || is_table() || std::holds_alternative<bool>(value_->value)) {
    fail_type(fmt::format("a quantity ({})", kind_name(kind)),
              fmt::format("write a number, or a text with its unit: {}", units_of(kind)));
    return 0;
  }
  const double value = number(sign) * bare_factor(kind, reading_->units);
  if (std::isfinite(value)) return value;
  fail("is not a finite number", "write a finite number");
  return 0;
}

double TomlItem::fraction(Sign sign) const {
  if (!is_text()) return number(sign);
  const std::string_view text = std::get<std::string>(value_->value);
  double percent = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), percent);
  const auto behind = text.substr(static_cast<std::size_t>(end - text.data()));
  if (error == std::errc{} && std::isfinite(percent) && (behind == " %" || behind == "%")) {
    check_sign(percent, sign);
    return percent / 100;
  }
  fail(fmt::format("is \"{}\" where a fraction is wanted", text), "write 0.5 or \"50 %\"");
  return 0;
}

std::string TomlItem::in_written_unit(double value, Kind kind) const {
  const std::string unit = is_text() ? unit_in(std::get<std::string>(value_->value)) : bare_unit(kind, reading_->units);
  return fmt::format("{:.6g} {}", value / unit_factor(unit, kind).value_or(1.0), unit);
}

int TomlItem::whole_number(int least, int most) const {
  if (!value_) return least;
  const auto* whole = std::get_if<std::int64_t>(&value_->value);
  if (!whole)
    fail_type("a whole number", fmt::format("write a whole number from {} to {}", least, most));
  else if (*whole < least || *whole > most)
    fail(fmt::format("is {}", *whole), fmt::format("write a whole number from {} to {}", least, most));
  else
    return static_cast<int>(*whole);
  return least;
}

bool TomlItem::truth() const {
  if (!value_) return false;
  const auto* truth = std::get_if<bool>(&value_->value);
  if (!truth) fail_type("true or false", "write true or false, without quotes");
  return truth && *truth;
}

std::string TomlItem::text() const {
  if (!value_) return {};
  const auto* text = std::get_if<std::string>(&value_->value);
  if (!text) {
    fail_type("a text", "write it in quotes");
    return {};
  }
  if (text->empty()) fail("is empty", "write something between the quotes, or leave the key out");
  return *text;
}

std::vector<TomlItem> TomlItem::list() const {
  std::vector<TomlItem> items;
  if (!value_) return items;
  const auto* list = std::get_if<TomlList>(&value_->value);
  if (!list) {
    fail_type("a list", "write it in square brackets: [ … ]");
    return items;
  }
  for (const TomlValue& value : *list)
    items.emplace_back(*reading_, &value, Origin{value.line, fmt::format("{}[{}]", where_.key, items.size() + 1)});
  return items;
}

std::vector<TomlItem> TomlItem::list_of(std::size_t count, std::string_view shape) const {
  std::vector<TomlItem> items;
  if (value_ && !is_list())
    fail_type(fmt::format("a list of {}", count), fmt::format("write {}", shape));
  else
    items = list();
  if (is_list() && items.size() != count)
    fail(fmt::format("has {} entries where {} are wanted", items.size(), count), fmt::format("write {}", shape));
  items.resize(count, TomlItem(*reading_, nullptr, where_));
  return items;
}

TomlTable TomlItem::table(std::vector<std::string_view> keys) const {
  if (!is_table()) fail_type("a table", fmt::format("write {{ … }} with some of: {}", fmt::join(keys, ", ")));
  return TomlTable(*reading_, is_table() ? value_ : nullptr, where_, std::move(keys));
}

std::vector<std::pair<std::string, TomlItem>> TomlItem::entries() const {
  std::vector<std::pair<std::string, TomlItem>> items;
  if (!value_) return items;
  const auto* keys = std::get_if<TomlKeys>(&value_->value);
  if (!keys) {
    fail_type("a table", "write { \"key\" = … }");
    return items;
  }
  for (const TomlEntry& entry : *keys)
    items.emplace_back(entry.key,
                       TomlItem(*reading_, &entry.value, Origin{entry.value.line, joined_key(where_.key, entry.key)}));
  return items;
}

TomlTable::TomlTable(Reading& reading, const TomlValue* value, Origin where, std::vector<std::string_view> keys)
    : reading_(&reading), value_(value), where_(std::move(where)), keys_(std::move(keys)) {
  if (!value_) return;
  for (const TomlEntry& entry : std::get<TomlKeys>(value_->value)) {
    if (std::find(keys_.begin(), keys_.end(), entry.key) != keys_.end()) continue;
    const std::string near = nearest_word(entry.key, keys_);
    reading.fail(place_of(entry.key, entry.value), "is not a key that is known here",
                 near.empty() ? fmt::format("use one of {}", fmt::join(keys_, ", "))
                              : fmt::format("did you mean \"{}\"?", near));
  }
}

const TomlValue* TomlTable::find(std::string_view key) const {
  if (std::find(keys_.begin(), keys_.end(), key) == keys_.end())
    throw std::logic_error(fmt::format("{}: the key {} was not declared", where_.key, key));
  if (!value_) return nullptr;
  for (const TomlEntry& entry : std::get<TomlKeys>(value_->value))
    if (entry.key == key) return &entry.value;
  return nullptr;
}

Origin TomlTable::place_of(std::string_view key, const TomlValue& value) const {
  return {value.line, joined_key(where_.key, key)};
}

bool TomlTable::has(std::string_view key) const {
  return find(key) != nullptr;
}

TomlItem TomlTable::required(std::string_view key) const {
  const TomlValue* value = find(key);
  if (value) return TomlItem(*reading_, value, place_of(key, *value));
  const Origin where{where_.line, joined_key(where_.key, key)};
  if (value_) reading_->fail(where, "is missing", fmt::format("add {} = …", key));
  return TomlItem(*reading_, nullptr, where);
}

std::optional<TomlItem> TomlTable::optional(std::string_view key) const {
  const TomlValue* value = find(key);
  if (!value) return std::nullopt;
  return TomlItem(*reading_, value, place_of(key, *value));
}

std::vector<TomlItem> TomlTable::tables(std::string_view key) const {
  std::vector<TomlItem> items;
  const TomlValue* value = find(key);
  if (!value) return items;
  const auto* list = std::get_if<TomlList>(&value->value);
  if (!list) {
    reading_->fail(place_of(key, *value), fmt::format("is {} where a list of tables is wanted", sort_of(*value)),
                   fmt::format("write [[{}]] above each", key));
    return items;
  }
  const std::string path = joined_key(where_.key, key);
  for (const TomlValue& entry : *list) {
    const std::string* name = name_in(entry);
    items.emplace_back(*reading_, &entry,
                       Origin{entry.line, name ? fmt::format("{} \"{}\"", path, *name)
                                               : fmt::format("{}[{}]", path, items.size() + 1)});
  }
  return items;
}

std::string_view TomlTable::exactly_one(std::initializer_list<std::string_view> keys) const {
  const std::string_view one = at_most_one(keys);
  if (!one.empty()) return one;
  fail(fmt::format("has none of {}", fmt::join(keys, ", ")), "give exactly one of them");
  return *keys.begin();
}

std::string_view TomlTable::at_most_one(std::initializer_list<std::string_view> keys) const {
  std::vector<std::string_view> there;
  for (const std::string_view key : keys)
    if (has(key)) there.push_back(key);
  if (there.empty()) return {};
  if (there.size() > 1)
    fail(fmt::format("has both {} and {}", there[0], there[1]),
         fmt::format("give exactly one of {}", fmt::join(keys, ", ")));
  return there[0];
}

void TomlTable::fail(std::string what, std::string mend) const {
  if (value_) reading_->fail(where_, std::move(what), std::move(mend));
}

}  // namespace cellproof
