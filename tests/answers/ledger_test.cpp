// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/ledger.hpp>
#include <map>

#include "support/catch.hpp"

namespace answers = cabinload::answers;
using cabinload::simulation::FlowAccount;

namespace {

/// Words of every row, by account and key, when all flows of FlowAccount are `W`.
std::map<std::string, std::string> words(double W) {
  FlowAccount a;
  for (double FlowAccount::*flow :
       {&FlowAccount::roof_W, &FlowAccount::walls_W, &FlowAccount::floor_W, &FlowAccount::windows_W,
        &FlowAccount::exchange_W, &FlowAccount::supply_W, &FlowAccount::coil_W,
        &FlowAccount::given_back_W, &FlowAccount::battery_W, &FlowAccount::partitions_W})
    a.*flow = W;
  a.loss_W = -W;  // counts as going out
  std::map<std::string, std::string> all;
  for (const auto& account : answers::ledger("x", a, 0).accounts)
    for (const auto& row : account.rows) {
      CHECK(row.W == W);
      all[account.key + "." + row.key] = row.words;
    }
  return all;
}

}  // namespace

TEST_CASE("answers: a flow is named by the way it goes", "[answers][unit]") {
  const auto in = words(10), out = words(-10);
  CHECK(in.size() == 11);
  CHECK(out.size() == 11);
  // Where the direction is told by the words, they follow it.
  const struct {
    const char *key, *in, *out;
  } named[] = {
      {"heat.supply", "battery and electronics", "into a battery cooler than the air"},
      {"heat.coil", "given by the unit's coil", "taken by the unit's coil"},
      {"heat.stored", "given back by shell and contents", "soaked up by shell and contents"},
      {"electricity.battery", "out of the battery, charge and heat",
       "into the battery, charge and heat"},
      {"electricity.loss", "heat that a cool battery takes up", "heat of battery and converters"},
  };
  for (const auto& n : named) {
    INFO(n.key);
    CHECK(in.at(n.key) == n.in);
    CHECK(out.at(n.key) == n.out);
  }
  // Elsewhere they hold both ways: nothing that comes in is called a loss, or taken.
  for (const auto& [key, text] : in)
    for (const char* wrong : {"loss", "taken", "into", "soaked"})
      CHECK(text.find(wrong) == std::string::npos);
  for (const auto& [key, text] : out)
    for (const char* wrong : {"given", "out of", "takes up"})
      CHECK(text.find(wrong) == std::string::npos);
}
