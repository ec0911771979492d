// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/text_encoding.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("text of every width of character is UTF-8") {
  CHECK_FALSE(first_not_utf8(""));
  CHECK_FALSE(first_not_utf8("vise"));
  CHECK_FALSE(first_not_utf8("Spannzange \xc3\xa4 \xe2\x80\x94 \xf0\x9f\x94\xa9"));
  // The first and the last character of each width (RFC 3629, section 3, printed).
  CHECK_FALSE(first_not_utf8("\x7f\xc2\x80\xdf\xbf\xe0\xa0\x80\xef\xbf\xbf\xf0\x90\x80\x80\xf4\x8f\xbf\xbf"));
  CHECK_FALSE(first_not_utf8("\xed\x9f\xbf\xee\x80\x80"));  // either side of the surrogates
}

TEST_CASE("the first byte that is not UTF-8 is found") {
  CHECK(first_not_utf8("Gr\xf6\xdf"
                       "e")
            .value() == 2);                      // Latin-1
  CHECK(first_not_utf8("a\x80").value() == 1);   // goes on with nothing before
  CHECK(first_not_utf8("ab\xc3").value() == 2);  // ends early
  CHECK(first_not_utf8("\xe2\x80x").value() == 0);
  CHECK(first_not_utf8("\xc0\xaf").value() == 0);  // longer than it needs (RFC 3629, section 10, printed)
  CHECK(first_not_utf8("\xe0\x9f\xbf").value() == 0);
  CHECK(first_not_utf8("\xf0\x8f\xbf\xbf").value() == 0);
  CHECK(first_not_utf8("ok \xed\xa0\x80").value() == 3);   // a surrogate
  CHECK(first_not_utf8("\xf4\x90\x80\x80").value() == 0);  // beyond U+10FFFF
  CHECK(first_not_utf8("\xff").value() == 0);
}

TEST_CASE("UTF-16 is told by its byte order mark") {
  CHECK(
      begins_as_utf16("\xff\xfe"
                      "f"));
  CHECK(begins_as_utf16("\xfe\xff"));
  CHECK_FALSE(
      begins_as_utf16("\xef\xbb\xbf"
                      "format = 1"));  // UTF-8 with a mark
  CHECK_FALSE(begins_as_utf16("f"));
}
