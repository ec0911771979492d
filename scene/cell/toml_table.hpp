// SPDX-License-Identifier: GPL-3.0-or-later
// Typed, located access to TOML: every wrong type, unit, range or key becomes an error with line, key and mend.
#pragma once

#include <initializer_list>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scene/basics/input_error.hpp"
#include "scene/basics/units.hpp"
#include "scene/cell/name_book.hpp"
#include "scene/cell/toml_tree.hpp"

namespace cellproof {

/// What one reading gathers. The first error stays; reading goes on with zeros and empty texts, which nobody sees.
struct Reading {
  std::string file;
  DefaultUnits units;
  std::optional<InputError> error;
  std::vector<std::string> cautions;
  NameBook names;

  void fail(const Origin& where, std::string what, std::string mend);
  bool failed() const { return error.has_value(); }
};

/// Which numbers will do.
enum class Sign { any, not_negative, positive };

class TomlTable;

/// A value and its place. One that is missing (a required key; the error is already reported) reads as zero or empty.
class TomlItem {
 public:
  TomlItem(Reading& reading, const TomlValue* value, Origin where);

  explicit operator bool() const { return value_ != nullptr; }
  const Origin& where() const { return where_; }
  Reading& reading() const { return *reading_; }
  bool is_text() const;
  bool is_list() const;
  bool is_table() const;

  double number(Sign sign = Sign::any) const;               ///< without a unit
  double quantity(Kind kind, Sign sign = Sign::any) const;  ///< bare in default units, or a text with its unit
  double fraction(Sign sign = Sign::any) const;             ///< bare, or in hundredths: 0.5 or "50 %"
  int whole_number(int least, int most) const;
  bool truth() const;        ///< true or false
  std::string text() const;  ///< not empty
  /// A value of ours in the unit that this quantity is written in, for messages: "23.48 inHg".
  std::string in_written_unit(double value, Kind kind) const;
  std::vector<TomlItem> list() const;
  /// Exactly `count` entries (missing ones, after an error, read as zero); `shape` shows how it is written: "[x, y,
  /// z]".
  std::vector<TomlItem> list_of(std::size_t count, std::string_view shape) const;
  /// As a table that may have these keys and no others.
  TomlTable table(std::vector<std::string_view> keys) const;
  /// As a table with keys of the user's own.
  std::vector<std::pair<std::string, TomlItem>> entries() const;

  void fail(std::string what, std::string mend) const;

 private:
  void fail_type(std::string_view wanted, std::string_view mend) const;
  double finite_quantity(Kind kind, Sign sign) const;
  void check_sign(double value, Sign sign) const;

  Reading* reading_;
  const TomlValue* value_;
  Origin where_;
};

/// A table with its known keys; an unknown one has been reported. Asking for a key that is not among them throws
/// std::logic_error: a bug.
class TomlTable {
 public:
  TomlTable(Reading& reading, const TomlValue* value, Origin where, std::vector<std::string_view> keys);

  const Origin& where() const { return where_; }
  Reading& reading() const { return *reading_; }
  bool has(std::string_view key) const;
  TomlItem required(std::string_view key) const;
  std::optional<TomlItem> optional(std::string_view key) const;
  /// A list of tables (`[[key]]`), empty if there is none; a table with a `name` has it in its place: `body "table"`.
  std::vector<TomlItem> tables(std::string_view key) const;
  /// The one key of these that is there; an error names them all, and the first is taken.
  std::string_view exactly_one(std::initializer_list<std::string_view> keys) const;
  /// The same, empty where none is there.
  std::string_view at_most_one(std::initializer_list<std::string_view> keys) const;

  void fail(std::string what, std::string mend) const;

 private:
  const TomlValue* find(std::string_view key) const;
  Origin place_of(std::string_view key, const TomlValue& value) const;

  Reading* reading_;
  const TomlValue* value_;
  Origin where_;
  std::vector<std::string_view> keys_;
};

/// "arm" and "on" to "arm.on"; a key that TOML would quote is quoted.
std::string joined_key(const std::string& path, std::string_view key);

/// The candidate nearest to a misspelt word, at most two edits away; empty if there is none.
std::string nearest_word(std::string_view word, const std::vector<std::string_view>& candidates);

}  // namespace cellproof
