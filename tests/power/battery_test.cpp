// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/error.hpp>
#include <cabinload/power/battery.hpp>
#include <cmath>

#include "support/catch.hpp"

namespace power = cabinload::power;
using cabinload::test::contains;

namespace {

power::BatteryDescription one_kWh() {
  power::BatteryDescription d;
  d.capacity_J = 3.6e6;
  d.cut_off_1 = 0.1;
  d.efficiency_1 = 0.9;
  d.full_at_s = std::nan("");
  return d;
}

}  // namespace

TEST_CASE("power: a battery gives its usable energy times its efficiency", "[power][property]") {
  for (const double dt_s : {10.0, 60.0, 120.0}) {
    power::Battery b(one_kWh());
    double given_J = 0;
    for (int i = 0; i < 100000 && b.connected(); ++i) given_J += b.draw(500, dt_s) * dt_s;
    INFO("step " << dt_s);
    CHECK_RELATIVE(given_J, 0.9 * 0.9 * 3.6e6, 1e-12);  // the last step gives just the rest
    CHECK_WITHIN(b.state_of_charge_1(), 0.1, 1e-12);
    CHECK(b.draw(500, dt_s) == 0);
    CHECK(b.residual_relative() < 1e-12);
  }
}

TEST_CASE("power: it is full once a day at its hour, whatever the step", "[power][property]") {
  for (const double dt_s : {10.0, 60.0, 120.0, 600.0})
    for (const double hour : {18.0, 0.0, 23.995}) {
      auto d = one_kWh();
      d.full_at_s = hour * 3600;
      power::Battery b(d);
      int refills = 0;
      for (int i = 0; i < static_cast<int>(3 * 86400 / dt_s); ++i) {
        const double second = std::fmod(i * dt_s, 86400.0);
        const double before = b.state_of_charge_1();
        b.tick(second, dt_s);
        if (b.state_of_charge_1() > before) ++refills;
        b.draw(5, dt_s);
      }
      INFO("step " << dt_s << " s, full at " << hour << " h");
      CHECK(refills == (hour == 0.0 ? 2 : 3));  // the first midnight finds it full
      CHECK(b.residual_relative() < 1e-12);
    }
}

TEST_CASE("power: an empty battery comes back when it is charged, never by itself",
          "[power][unit]") {
  auto d = one_kWh();
  power::Battery never(d);
  never.draw(1e6, 60);
  CHECK_FALSE(never.connected());
  for (int i = 0; i < 2000; ++i) never.tick(i * 60.0, 60);
  CHECK_FALSE(never.connected());
  d.full_at_s = 3600;
  power::Battery daily(d);
  daily.draw(1e6, 60);
  daily.tick(3600 - 60, 60);
  CHECK_FALSE(daily.connected());
  daily.tick(3600, 60);
  CHECK(daily.connected());
  CHECK(daily.state_of_charge_1() == 1);
}

TEST_CASE("power: values out of range are refused by name", "[power][unit]") {
  const auto refused = [](auto change, const char* part) {
    auto d = one_kWh();
    change(d);
    CHECK_THROWS_WITH(power::Battery(d), contains(part));
  };
  using D = power::BatteryDescription&;
  refused([](D d) { d.capacity_J = 0; }, "capacity");
  refused([](D d) { d.cut_off_1 = 0.95; }, "cut-off");
  refused([](D d) { d.efficiency_1 = 1.1; }, "efficiency");
  refused([](D d) { d.reconnect_1 = 0.05; }, "reconnect");
  refused([](D d) { d.start_1 = 2; }, "charge at the start");
  refused([](D d) { d.capacity_J = std::nan(""); }, "capacity");
}
