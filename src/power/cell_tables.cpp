// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/power/cell_bank.hpp>
#include <cmath>

#include "require.hpp"

namespace cabinload::power {
namespace {

using core::to_kelvin;
constexpr double kMonth_s = 30.0 * 86400.0;

/// Points of a 12 V bank in volts, as voltmeter charts print them, to volts per nominal volt.
Curve per_volt(std::vector<Curve::Point> points_of_12_V) {
  for (Curve::Point& p : points_of_12_V) p.y /= 12.0;
  return {std::move(points_of_12_V)};
}
Curve by_degC(std::vector<Curve::Point> points) {
  for (Curve::Point& p : points) p.x = to_kelvin(p.x);
  return {std::move(points)};
}
Bands from_degC(std::vector<Bands::Band> bands) {
  for (Bands::Band& b : bands) b.from = to_kelvin(b.from);
  return {std::move(bands)};
}

CellTable lfp() {
  CellTable t;
  // 3.2 V a cell, four cells: reference page read, tests/data/power/README.md.
  t.rated_1 = 12.8 / 12.0;
  // At rest, 12.8 V pack: chart of a calculator page, read; common practice. Its 14.6 V of a full
  // bank is under charge: 13.8 V instead, engineering judgement.
  t.open_1 = per_volt({{0.0, 10.0},
                       {0.1, 12.0},
                       {0.2, 12.8},
                       {0.3, 13.0},
                       {0.4, 13.2},
                       {0.7, 13.3},
                       {0.9, 13.4},
                       {0.99, 13.6},
                       {1.0, 13.8}});
  t.upper_1 = 14.4 / 12.0;  // two pack data sheets, read
  // 6 mohm of a 100 Ah pack of 12.8 V with its electronics: from memory, engineering judgement.
  t.resistance_h = 0.05;
  // At -20 degC 2.5 to 3 times: read on a supplier's page; the rest engineering judgement.
  t.resistance_1 = by_degC({{-20, 3.0}, {-10, 2.2}, {0, 1.6}, {10, 1.25}, {25, 1.0}, {45, 0.85}});
  // Rates by range of a cell data sheet, read (0-15 degC 0.2 C, then 0.5 C; discharge below 0 degC
  // 0.2 C, then 1 C); ends 0, -20 and 50 degC of a pack data sheet, read; 0.2 C above 45 degC:
  // engineering judgement.
  t.charge_per_h = from_degC({{0, 0.2}, {15, 0.5}, {45, 0.2}, {50, 0.0}});
  t.discharge_per_h = from_degC({{-20, 0.2}, {0, 1.0}, {50, 0.0}});
  t.taper_per_h = 10;    // tapers over the last 5 % at 0.5 C; engineering judgement
  t.coulombic_1 = 0.99;  // at least; from memory
  t.self_discharge_1_s = 0.03 / kMonth_s;                 // common practice, no published source
  t.J_per_K_J = 1000.0 / (110.0 * 3600.0);                // 110 Wh/kg, 1000 J/(kg K); from memory
  t.disconnect_1 = 11.2 / 12, t.reconnect_1 = 12.8 / 12;  // common practice, no published source
  t.usable_low_1 = 0.1;  // usable depth 0.8 to 1.0 on a reference page, read
  return t;
}

/// Lead-acid in absorbent glass mat, at the capacity of the 20 h rate.
CellTable agm() {
  CellTable t;
  t.rated_1 = 1.0;
  // At rest: common practice; charts read differ by 0.2 V.
  t.open_1 = per_volt({{0.0, 11.5}, {0.25, 11.9}, {0.5, 12.2}, {0.75, 12.5}, {1.0, 12.8}});
  t.upper_1 = 14.4 / 12.0;  // common practice, no published source
  t.resistance_h = 0.07;    // 8 mohm of 100 Ah at 12 V: from memory, engineering judgement
  t.resistance_1 = by_degC({{-20, 2.5}, {0, 1.4}, {25, 1.0}, {45, 0.9}});  // engineering judgement
  // From memory; makers' limits differ.
  t.charge_per_h = from_degC({{-20, 0.1}, {0, 0.2}, {50, 0.0}});
  t.discharge_per_h = from_degC({{-20, 0.5}, {0, 1.0}, {60, 0.0}});
  t.taper_per_h = 1;     // at 0.2 C the upper voltage comes at 80 %: common practice
  t.coulombic_1 = 0.95;  // from memory
  t.self_discharge_1_s = 0.03 / kMonth_s;                 // common practice, no published source
  t.J_per_K_J = 900.0 / (42.0 * 3600.0);                  // 42 Wh/kg, 900 J/(kg K); from memory
  t.disconnect_1 = 11.0 / 12, t.reconnect_1 = 12.4 / 12;  // common practice, no published source
  t.usable_low_1 = 0.5;                                   // common practice, no published source
  return t;
}

}  // namespace

std::string_view name_of(Chemistry chemistry) {
  return chemistry == Chemistry::lfp ? "lfp" : "agm";
}

const CellTable& cells_of(Chemistry chemistry) {
  static const CellTable kLfp = lfp(), kAgm = agm();
  return chemistry == Chemistry::lfp ? kLfp : kAgm;
}

BankDescription bank_of(Chemistry chemistry, double nominal_energy_J, double nominal_V) {
  require(nominal_energy_J > 0 && std::isfinite(nominal_energy_J), "battery", "energy in Wh",
          nominal_energy_J / 3600, "above 0");
  require(nominal_V == 12 || nominal_V == 24 || nominal_V == 48, "battery", "volts", nominal_V,
          "12, 24 or 48");
  BankDescription d;
  d.chemistry = chemistry;
  d.cells = cells_of(chemistry);
  d.nominal_energy_J = nominal_energy_J;
  d.nominal_V = nominal_V;
  d.usable_low_1 = d.cells.usable_low_1;
  d.reconnect_charge_1 = d.usable_low_1 + 0.1;
  d.disconnect_V = d.cells.disconnect_1 * nominal_V;
  d.reconnect_V = d.cells.reconnect_1 * nominal_V;
  d.heat_capacity_J_K = d.cells.J_per_K_J * nominal_energy_J;
  d.ua_W_K = 1.5 * std::pow(nominal_energy_J / (1280 * 3600.0), 2.0 / 3.0);
  return d;
}

double rated_V(const BankDescription& bank) {
  return bank.cells.rated_1 * bank.nominal_V;
}

double capacity_Ah(const BankDescription& bank) {
  return bank.nominal_energy_J / 3600.0 / rated_V(bank);
}

std::string_view name_of(BankLimit limit) {
  switch (limit) {
    case BankLimit::none:
      break;
    case BankLimit::port:
      return "port";
    case BankLimit::temperature:
      return "temperature";
    case BankLimit::rate:
      return "rate";
    case BankLimit::empty:
      return "empty";
    case BankLimit::low_voltage:
      return "low_voltage";
    case BankLimit::cold_charge:
      return "cold_charge";
    case BankLimit::full:
      return "full";
  }
  return "none";
}

}  // namespace cabinload::power
