// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/xml_stream.hpp"

#include <algorithm>

#include <expat.h>
#include <fmt/format.h>

namespace cellproof {

std::optional<std::string_view> XmlElement::attribute(std::string_view wanted) const {
  for (const char* const* at = attributes; *at; at += 2)
    if (wanted == *at) return at[1];
  return {};
}

struct XmlStream::State {
  const XmlVisitor* visitor;
  XML_Parser parser;
  std::string trouble;

  void stop(std::string what) {
    if (what.empty() || !trouble.empty()) return;
    trouble = fmt::format("line {}: {}", XML_GetCurrentLineNumber(parser), what);
    XML_StopParser(parser, XML_FALSE);
  }
  static State& of(void* data) { return *static_cast<State*>(data); }

  void parse(std::string_view piece, bool last) {
    if (!trouble.empty()) return;
    if (XML_Parse(parser, piece.data(), static_cast<int>(piece.size()), last ? 1 : 0) == XML_STATUS_OK) return;
    if (trouble.empty())
      trouble = fmt::format("line {}: {}", XML_GetCurrentLineNumber(parser), XML_ErrorString(XML_GetErrorCode(parser)));
  }
};

XmlStream::XmlStream(const XmlVisitor& visitor)
    : state_(new State{&visitor, XML_ParserCreateNS(nullptr, '|'), std::string{}}) {
  XML_SetUserData(state_->parser, state_.get());
  XML_SetElementHandler(
      state_->parser,
      [](void* data, const char* element, const char** attributes) {
        State& state = State::of(data);
        if (state.trouble.empty()) state.stop(state.visitor->begin({element, attributes}));
      },
      [](void* data, const char* element) {
        State& state = State::of(data);
        if (state.trouble.empty()) state.stop(state.visitor->end(element));
      });
  XML_SetStartNamespaceDeclHandler(state_->parser, [](void* data, const char* prefix, const char* uri) {
    State::of(data).visitor->declare(prefix ? prefix : "", uri ? uri : "");
  });
  XML_SetStartDoctypeDeclHandler(state_->parser, [](void* data, const char*, const char*, const char*, int) {
    State::of(data).stop("it has a document type, which is not read");
  });
}

XmlStream::~XmlStream() {
  XML_ParserFree(state_->parser);
}

bool XmlStream::take(std::string_view piece) {
  constexpr std::size_t most = 1 << 20;  // expat counts in int
  for (; !piece.empty(); piece.remove_prefix(std::min(most, piece.size()))) state_->parse(piece.substr(0, most), false);
  return state_->trouble.empty();
}

std::string XmlStream::finish() {
  state_->parse({}, true);
  return state_->trouble;
}

}  // namespace cellproof
