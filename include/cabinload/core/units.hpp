// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/error.hpp>
#include <string>
#include <string_view>

namespace cabinload::core {

/// What a number measures. A temperature point and a temperature difference are different things.
enum class Quantity {
  dimensionless,           ///< fraction [1]; "30 %" is 0.3
  length,                  ///< m
  area,                    ///< m2
  volume,                  ///< m3
  temperature,             ///< point, K
  temperature_difference,  ///< K
  power,                   ///< W
  energy,                  ///< J; "2.4 kWh", "8000 BTU"
  charge,                  ///< C; "100 Ah"
  voltage,                 ///< V
  current,                 ///< A
  time,                    ///< s; "90 min"
  speed,                   ///< m/s
  volume_flow,             ///< m3/s; "200 m3/h", "150 ft3/min"
  mass,                    ///< kg
  pressure,                ///< Pa
  angle,                   ///< rad; "30 degree", "SW" is not an angle
  conductivity,            ///< W/(m K)
  conductance,             ///< W/(m2 K), a U-value or a film
  resistance,              ///< m2 K/W; "R-7" (US) is not accepted, "7 ft2 degF h/BTU" is
  density,                 ///< kg/m3
  specific_heat,           ///< J/(kg K)
  areal_heat_capacity,     ///< J/(m2 K)
  heat_rate_per_K,         ///< W/K
  irradiance,              ///< W/m2
};

/// Which units text output uses.
enum class UnitSystem { si, us };

/// Why a text is not a value of the wanted quantity.
class UnitError : public Error {
 public:
  using Error::Error;
};

/// The value of `text` in the SI unit of `quantity` (see the enum).
///
/// Accepts a number with a unit as people write it: "78 degF", "26 C" is refused ("C" is the
/// coulomb: write degC), "6000 BTU/h", "6 ft 3 in" (sums of lengths), "30 ft2", "2.4 kWh", "1.5
/// in". A bare number is refused by this function ("30: 30 what?"), except for dimensionless.
/// @throws UnitError  not a number, not finite, unknown unit, or a unit of another quantity; the
/// text
///                    says which and gives an example that would be right
[[nodiscard]] double parse_quantity(std::string_view text, Quantity quantity);

/// The SI unit's UDUNITS spelling: "W", "K", "m2", "1".
[[nodiscard]] std::string_view si_unit(Quantity quantity);
/// "temperature", "area": for messages.
[[nodiscard]] std::string_view name(Quantity quantity);
/// An example that parses: "78 degF or 25.5 degC".
[[nodiscard]] std::string_view example(Quantity quantity);

/// A unit as people write it in UDUNITS' own spelling, for files that others read: "kWh" is "kW h";
/// "1" of no unit. "degF" alone stays what it is, a point or the size of a step.
/// @throws UnitError  UDUNITS does not know it
[[nodiscard]] std::string udunits_spelling(std::string_view unit);

/// `value_SI` for people, with its unit: "25.6 °C" or "78.1 °F", "2.4 kWh", "1.2 m²".
/// Temperatures and differences are shown in °C / K or °F / °F.
[[nodiscard]] std::string format_quantity(double value_SI, Quantity quantity, UnitSystem system,
                                          int decimals);

}  // namespace cabinload::core
