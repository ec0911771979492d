// SPDX-License-Identifier: GPL-3.0-or-later
// XML read from its beginning to its end, element by element, by expat.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace cellproof {

/// Names with a namespace are "URI|name". Valid while the element is visited.
struct XmlElement {
  std::string_view name;
  const char* const* attributes = nullptr;  ///< names and values in turn, then a null

  std::optional<std::string_view> attribute(std::string_view wanted) const;
};

struct XmlVisitor {
  std::function<std::string(const XmlElement&)> begin;  ///< a clause: what is wrong with it; empty: nothing
  std::function<std::string(std::string_view name)> end;
  std::function<void(std::string_view prefix, std::string_view uri)> declare = [](auto, auto) {};
};

/// Takes the text in pieces. A document type, which could multiply text, is refused.
class XmlStream {
 public:
  explicit XmlStream(const XmlVisitor& visitor);
  ~XmlStream();
  XmlStream(const XmlStream&) = delete;
  XmlStream& operator=(const XmlStream&) = delete;

  /// False once something is wrong.
  bool take(std::string_view piece);
  /// Call it at the end: what is wrong and in which line, or empty.
  std::string finish();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace cellproof
