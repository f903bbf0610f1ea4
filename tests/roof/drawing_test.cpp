#include "support/catch.hpp"
TEST_CASE("xdrawing") {
  CHECK(true);
}
