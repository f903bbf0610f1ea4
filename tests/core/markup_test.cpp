// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/markup.hpp>
#include <string>

#include "support/catch.hpp"

using cabinload::core::markup_escaped;

TEST_CASE("core: markup keeps text and loses what would end it", "[core][unit]") {
  CHECK(markup_escaped("<script>alert('&\"')</script>") ==
        "&lt;script&gt;alert(&#39;&amp;&quot;&#39;)&lt;/script&gt;");
  CHECK(markup_escaped("a\tb\nc") == "a\tb\nc");
  // Of any script: an emoji, Arabic, Hebrew, combining marks.
  const std::string all = "\U0001F690 \u0634\u0627\u062D\u0646\u0629 \u05E8\u05DB\u05D1 e\u0301";
  CHECK(markup_escaped(all) == all);
}

TEST_CASE("core: markup replaces bytes that are no UTF-8, one by one", "[core][unit]") {
  const std::string no = "\xEF\xBF\xBD";
  CHECK(markup_escaped("a\xFF"
                       "b") == "a" + no + "b");
  CHECK(markup_escaped("\xC0\xAF") == no + no);           // overlong
  CHECK(markup_escaped("\xED\xA0\x80") == no + no + no);  // a surrogate
  CHECK(markup_escaped("\xF4\x90\x80\x80") == no + no + no + no);
  CHECK(markup_escaped("cut \xE2\x82") == "cut " + no + no);
  CHECK(markup_escaped(std::string("nul\0bell\a", 9)) == "nul" + no + "bell" + no);
  CHECK(markup_escaped("\xEF\xBF\xBE") == no + no + no);  // U+FFFE: XML refuses it
}
