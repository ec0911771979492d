// SPDX-License-Identifier: GPL-3.0-or-later
// A page taken apart by an XML parser (Expat), so that what is not well-formed fails.
#pragma once

#include <map>
#include <string>
#include <vector>

#include <catch2/catch.hpp>
#include <expat.h>

namespace cellproof::test {

struct Element {
  std::string name, text;  ///< the text within, that of inner elements too
  std::map<std::string, std::string> attributes;
};

struct Markup {
  std::vector<Element> elements;  ///< in the order in which they begin
  std::vector<std::size_t> open;

  std::vector<Element> named(const std::string& name) const {
    std::vector<Element> found;
    for (const Element& element : elements)
      if (element.name == name) found.push_back(element);
    return found;
  }
  bool says(const std::string& words) const { return elements.front().text.find(words) != std::string::npos; }
};

inline Markup markup_of(const std::string& page) {
  Markup markup;
  XML_Parser parser = XML_ParserCreate("UTF-8");
  XML_SetUserData(parser, &markup);
  XML_SetElementHandler(
      parser,
      [](void* to, const char* name, const char** attributes) {
        auto& all = *static_cast<Markup*>(to);
        Element element{name, "", {}};
        for (; *attributes; attributes += 2) element.attributes[attributes[0]] = attributes[1];
        all.open.push_back(all.elements.size());
        all.elements.push_back(std::move(element));
      },
      [](void* to, const char*) { static_cast<Markup*>(to)->open.pop_back(); });
  XML_SetCharacterDataHandler(parser, [](void* to, const char* text, int size) {
    auto& all = *static_cast<Markup*>(to);
    for (const std::size_t element : all.open) all.elements[element].text.append(text, static_cast<std::size_t>(size));
  });
  const XML_Status status = XML_Parse(parser, page.data(), static_cast<int>(page.size()), 1);
  const std::string trouble = status == XML_STATUS_OK ? "" : XML_ErrorString(XML_GetErrorCode(parser));
  const auto line = XML_GetCurrentLineNumber(parser);
  XML_ParserFree(parser);
  INFO(trouble << ", line " << line);
  REQUIRE(status == XML_STATUS_OK);
  return markup;
}

}  // namespace cellproof::test
