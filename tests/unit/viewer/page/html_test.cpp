// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page/html.hpp"

#include <catch2/catch.hpp>

#include "viewer/page/html_table.hpp"

using namespace cellproof;

TEST_CASE("markup in a name is written as itself, and control characters are spaces") {
  CHECK(html_text("<b>&\"it's\"\n\x7f") == "&lt;b&gt;&amp;&quot;it's&quot;  ");
  CHECK(html_text("Gehäuse") == "Gehäuse");
  CHECK(html_text("a\uffffb\ufffe") == "a\ufffdb\ufffd");  // no characters, and none in XML either
}

TEST_CASE("base64 as in the examples of RFC 4648, section 10") {
  CHECK(base64("").empty());
  CHECK(base64("f") == "Zg==");
  CHECK(base64("fo") == "Zm8=");
  CHECK(base64("foo") == "Zm9v");
  CHECK(base64("foob") == "Zm9vYg==");
  CHECK(base64("fooba") == "Zm9vYmE=");
  CHECK(base64("foobar") == "Zm9vYmFy");
}

TEST_CASE("base64 takes bytes of any value") {
  CHECK(base64("\xff\xfe\xfd") == "//79");  // 111111 111111 111011 111101
}

TEST_CASE("a colour is six digits") {
  CHECK(html_colour({1, 0, 0.2}) == "#ff0033");
  CHECK(html_colour({0, 0, 0}) == "#000000");
}

TEST_CASE("a section or a list without content is not there") {
  CHECK(html_section("Fails", "").empty());
  CHECK(html_list({}).empty());
  CHECK(html_list({"a < b"}) == "<ul>\n<li>a &lt; b</li>\n</ul>\n");
}

TEST_CASE("a table has its heads and its rows, numbers to the right, and is not there without rows") {
  HtmlTable table({{"step"}, {"gap mm", true}});
  CHECK(table.html().empty());
  table.add({"pick <1>", "12.3"});
  table.add({"place", "3.0"}, true);
  CHECK(table.html() ==
        "<table>\n<tr><th>step</th><th class=\"n\">gap mm</th></tr>\n"
        "<tr><td>pick &lt;1&gt;</td><td class=\"n\">12.3</td></tr>\n"
        "<tr class=\"fails\"><td>place</td><td class=\"n\">3.0</td></tr>\n</table>\n");
}
