// SPDX-License-Identifier: GPL-3.0-or-later
// TOML as plain values that know their lines. Only toml_tree.cpp sees the TOML library.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <tl/expected.hpp>

namespace cellproof {

struct TomlEntry;
struct TomlValue;
struct TomlDate {};  ///< a date or time: nothing in a cell file takes one
using TomlList = std::vector<TomlValue>;
using TomlKeys = std::vector<TomlEntry>;  ///< in the order of the file

struct TomlValue {
  int line = 0;  ///< 1-based; of the key, where the value has one
  std::variant<bool, std::int64_t, double, std::string, TomlDate, TomlList, TomlKeys> value;
};

struct TomlEntry {
  std::string key;
  TomlValue value;
};

struct TomlSyntaxError {
  int line = 0;
  std::string what, mend;
};

/// The document's top table. Text that is not UTF-8 is an error of its own.
tl::expected<TomlValue, TomlSyntaxError> parse_toml(std::string_view text);

}  // namespace cellproof
