// SPDX-License-Identifier: Apache-2.0
// An invented week and scenario to run without any file: hot days, warm nights.
#pragma once
#include <cabinload/core/constants.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/run.hpp>
#include <cmath>

#include "support/sample_cabin.hpp"

namespace cabinload::test {

/// Forcing for sample_vehicle(): `hours` hours, mean and swing of the air as given.
inline forcing::Forcing sample_forcing(std::size_t hours, double mean_degC, double swing_K) {
  forcing::Forcing f;
  f.hours = hours;
  f.first_day = 195;
  for (std::size_t k = 0; k < hours; ++k) {
    const double day = 2 * core::kPi * static_cast<double>(k) / 24.0;
    const double T_K = core::to_kelvin(mean_degC) - swing_K * std::cos(day - 0.8);
    f.T_out_K.push_back(T_K);
    f.T_sky_K.push_back(T_K - 15.0);
    f.T_ground_K.push_back(T_K + 10.0 * std::max(0.0, -std::cos(day)));
    f.T_under_K.push_back(T_K);
    f.W_out_1.push_back(0.010);
    f.p_Pa.push_back(95000.0);
    f.wind_m_s.push_back(1.5);
  }
  const vehicle::Vehicle v = sample_vehicle();
  f.surfaces.resize(v.surfaces.size());
  f.windows.resize(v.windows.size());
  for (std::size_t s = 0; s < hours * forcing::kSlotsPerHour; ++s) {
    const double day =
        2 * core::kPi * (static_cast<double>(s) + 0.5) / (24.0 * forcing::kSlotsPerHour);
    const double sun = std::max(0.0, -std::cos(day));
    f.ghi_W_m2.push_back(900 * sun);
    for (std::size_t i = 0; i < v.surfaces.size(); ++i) {
      const bool open = v.surfaces[i].outside == vehicle::Outside::open_air;
      f.surfaces[i].incident_W_m2.push_back(open ? (v.surfaces[i].tilt_rad < 0.1 ? 900 : 350) * sun
                                                 : 0.0);
    }
    for (auto& w : f.windows) {
      w.transmitted_W_m2.push_back(280 * sun);
      w.absorbed_outer_W_m2.push_back(15 * sun);
      w.absorbed_inner_W_m2.push_back(15 * sun);
      w.inside_cover_W_m2.push_back(0);
      w.outside_cover_W_m2.push_back(0);
    }
  }
  return f;
}

/// Two people, a generic unit and battery; nights 22:00 to 07:00, limit 25 degC.
inline scenario::Scenario sample_scenario() {
  scenario::Scenario s;
  s.vehicle = sample_vehicle();
  s.people = {{"person", 2, core::DaySchedule::parse("18:00-08:00"),
               core::DaySchedule::parse("22:00-07:00")}};
  for (const auto& description : unit::built_in())
    if (description.volts == 24) s.unit = description;
  s.unit_settings.T_set_K = core::to_kelvin(24);
  s.unit_settings.condenser_air_rise_K = 3.0;
  s.unit_on = core::DaySchedule::parse("21:00-07:00");
  s.supply.bank = power::bank_of(power::Chemistry::lfp, 2400 * 3600.0, 24);
  s.supply.unit_V = 24;
  s.step_s = 60;
  return s;
}

}  // namespace cabinload::test
