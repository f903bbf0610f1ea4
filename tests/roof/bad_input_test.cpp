#include "support/catch.hpp"
TEST_CASE("xbad_input") {
  CHECK(true);
}
