// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/compressor.hpp>
#include <cmath>
#include <vector>

namespace cabinload::unit {
namespace {

/// Powers of S and D in the ten terms.
struct Powers {
  int S, D;
};
constexpr std::array<Powers, 10> kTerms = {
    {{0, 0}, {1, 0}, {0, 1}, {2, 0}, {1, 1}, {0, 2}, {3, 0}, {2, 1}, {1, 2}, {0, 3}}};

/// Coefficients of a^0 .. a^n in (offset + slope a)^n, n at most 3.
std::array<double, 4> expanded(int n, double offset, double slope) {
  std::array<double, 4> c{1.0, 0.0, 0.0, 0.0};
  for (int factor = 0; factor < n; ++factor) {
    std::array<double, 4> next{};
    for (std::size_t i = 0; i < 4; ++i) next[i] = offset * c[i] + (i > 0 ? slope * c[i - 1] : 0.0);
    c = next;
  }
  return c;
}

constexpr const char* kUnitsHint = "are the coefficients in other units (degF, BTU/h, kg/h, lb/h)?";
constexpr int kChecked = 21;  ///< points of the checking grid along S and along D

[[noreturn]] void refuse(const CompressorSheet& s, const std::string& what) {
  throw core::RangeError(fmt::format("unit: compressor '{}': {}", s.key, what));
}

void require(const CompressorSheet& s, bool good, const char* what, double value,
             const std::string& must) {
  if (!good) refuse(s, fmt::format("{} = {:g}, must be {}", what, value, must));
}

void check_numbers(const CompressorSheet& s) {
  const auto finite = [&](const TenCoefficients& c, const char* name) {
    for (std::size_t i = 0; i < c.size(); ++i)
      if (!std::isfinite(c[i]))
        refuse(s,
               fmt::format("coefficient C{} of {} = {}, must be a finite number", i, name, c[i]));
  };
  finite(s.output, s.form == SheetForm::capacity ? "capacity" : "mass flow");
  finite(s.power, "power");
  require(s, s.S_min_degC >= -60 && s.S_min_degC < 60, "lowest suction dew point in degC",
          s.S_min_degC, "-60 or above and below 60");
  require(s, s.S_max_degC > s.S_min_degC && s.S_max_degC <= 60, "highest suction dew point in degC",
          s.S_max_degC, "above the lowest and at most 60");
  require(s, s.D_min_degC >= -30 && s.D_min_degC < 100, "lowest discharge dew point in degC",
          s.D_min_degC, "-30 or above and below 100");
  require(s, s.D_max_degC > s.D_min_degC && s.D_max_degC <= 100,
          "highest discharge dew point in degC", s.D_max_degC, "above the lowest and at most 100");
  require(s, s.D_max_degC > s.S_max_degC, "highest discharge dew point in degC", s.D_max_degC,
          "above the highest suction dew point");
  require(s, s.superheat_K >= 0 && s.superheat_K <= 25, "superheat in K", s.superheat_K, "0 to 25");
  require(s, s.subcooling_K >= 0 && s.subcooling_K <= 20, "subcooling in K", s.subcooling_K,
          "0 to 20");
  for (const double e : {s.output_exponent_1, s.power_exponent_1})
    require(s, e >= 0.5 && e <= 2, "exponent of the speed", e, "0.5 to 2");
  require(s, s.minimum_speed_1 > 0 && s.minimum_speed_1 <= 1, "minimum speed", s.minimum_speed_1,
          "above 0 and at most 1 (full)");
}

void check_refrigerant(const CompressorSheet& s, const Refrigerant& r) {
  const auto within = [&](const char* what, double low, double high, double least, double most) {
    if (low < least || high > most)
      refuse(s, fmt::format("{} from {:g} to {:g} degC, must lie within {:g} to {:g} for {} (range "
                            "of its enthalpies)",
                            what, low, high, least, most, r.name));
  };
  within("suction dew point", s.S_min_degC, s.S_max_degC, r.S_min_degC, r.S_max_degC);
  within("discharge dew point", s.D_min_degC, s.D_max_degC, r.D_min_degC, r.D_max_degC);
}

/// A point of the checking grid.
struct Place {
  double S, D;
  [[nodiscard]] std::string text() const {
    return fmt::format("at suction {:g} and discharge {:g} degC, inside its range", S, D);
  }
};

std::vector<Place> grid(const CompressorSheet& s) {
  std::vector<Place> places;
  for (int i = 0; i < kChecked; ++i)
    for (int j = 0; j < kChecked; ++j) {
      const Place p{std::lerp(s.S_min_degC, s.S_max_degC, i / (kChecked - 1.0)),
                    std::lerp(s.D_min_degC, s.D_max_degC, j / (kChecked - 1.0))};
      if (p.D > p.S) places.push_back(p);  // else no state of a compressor
    }
  return places;
}

void check_positive(const CompressorSheet& s, const Place& place) {
  const auto positive = [&](const char* what, const TenCoefficients& c) {
    const double value = ten_terms(c, place.S, place.D);
    if (!(value > 0))
      refuse(s, fmt::format("{} = {:g} {}, must be above 0; shorten the range or correct the "
                            "coefficients",
                            what, value, place.text()));
  };
  positive("power in W", s.power);
  positive(s.form == SheetForm::capacity ? "capacity in W" : "mass flow in kg/s", s.output);
}

/// Nothing comes out of a compressor that the second law forbids.
void check_second_law(const CompressorMap& map, const Place& place) {
  const CompressorSheet& s = map.sheet();
  const double carnot_1 = core::to_kelvin(place.S) / (place.D - place.S);
  for (const double speed : {1.0, s.minimum_speed_1}) {
    const auto p = map.at(place.S, place.D, speed);
    const double cop_1 = p.capacity_W / p.power_W;
    if (cop_1 > carnot_1)
      refuse(s, fmt::format("capacity over power = {:.4g} {} at {:.0f} % speed, must be at most "
                            "{:.4g}, Carnot's between these temperatures; {}",
                            cop_1, place.text(), 100 * speed, carnot_1, kUnitsHint));
  }
}

void check_trends(const CompressorMap& map) {
  const CompressorSheet& s = map.sheet();
  bool rises = true, falls = true;
  for (int i = 0; i < kChecked; ++i) {
    const double u = i / (kChecked - 1.0);
    const double S = std::lerp(s.S_min_degC, s.S_max_degC, u);
    const double D = std::lerp(s.D_min_degC, s.D_max_degC, u);
    rises = rises && map.at(S, s.D_max_degC, 1).capacity_W > map.at(S, s.D_min_degC, 1).capacity_W;
    falls = falls && map.at(s.S_max_degC, D, 1).capacity_W < map.at(s.S_min_degC, D, 1).capacity_W;
  }
  if (rises)
    refuse(s,
           "capacity rises with the discharge dew point everywhere, must fall; are suction and "
           "discharge exchanged?");
  if (falls)
    refuse(s,
           "capacity falls with a rising suction dew point everywhere, must rise; are suction "
           "and discharge exchanged?");
}

}  // namespace

double ten_terms(const TenCoefficients& c, double S, double D) {
  return c[0] + S * (c[1] + S * (c[3] + S * c[6] + D * c[7]) + D * (c[4] + D * c[8])) +
         D * (c[2] + D * (c[5] + D * c[9]));
}

TenCoefficients in_celsius_SI(const TenCoefficients& sheet, SheetTemperature scale,
                              double unit_in_SI) {
  if (!std::isfinite(unit_in_SI) || unit_in_SI <= 0)
    throw core::RangeError(fmt::format(
        "unit: one unit of the sheet = {:g} in SI, must be above 0 (1 for W)", unit_in_SI));
  const bool fahrenheit = scale == SheetTemperature::degF;
  const double offset = fahrenheit ? 32.0 : 0.0, slope = fahrenheit ? 1.8 : 1.0;
  TenCoefficients out{};
  for (std::size_t k = 0; k < sheet.size(); ++k) {
    const auto S = expanded(kTerms[k].S, offset, slope), D = expanded(kTerms[k].D, offset, slope);
    for (std::size_t m = 0; m < out.size(); ++m)
      out[m] += unit_in_SI * sheet[k] * S[static_cast<std::size_t>(kTerms[m].S)] *
                D[static_cast<std::size_t>(kTerms[m].D)];
  }
  return out;
}

CompressorMap::CompressorMap(const CompressorSheet& sheet) : sheet_(sheet) {
  const CompressorSheet& s = sheet_;
  check_numbers(s);
  if (s.form == SheetForm::mass_flow) {
    refrigerant_ = &unit::refrigerant(s.refrigerant);
    check_refrigerant(s, *refrigerant_);
  }
  const std::vector<Place> places = grid(s);
  for (const Place& place : places) check_positive(s, place);
  for (const Place& place : places) check_second_law(*this, place);
  check_trends(*this);
}

CompressorMap::Point CompressorMap::at(double S_degC, double D_degC, double speed_1) const {
  const CompressorSheet& s = sheet_;
  const double S = std::clamp(S_degC, s.S_min_degC, s.S_max_degC);
  const double D = std::clamp(D_degC, s.D_min_degC, s.D_max_degC);
  double capacity_W = ten_terms(s.output, S, D);
  if (refrigerant_ != nullptr)
    capacity_W *=
        refrigerant_->vapour_J_kg(S, s.superheat_K) - refrigerant_->liquid_J_kg(D, s.subcooling_K);
  return {capacity_W * std::pow(speed_1, s.output_exponent_1),
          ten_terms(s.power, S, D) * std::pow(speed_1, s.power_exponent_1)};
}

bool CompressorMap::inside(double S_degC, double D_degC) const {
  return S_degC >= sheet_.S_min_degC && S_degC <= sheet_.S_max_degC &&
         D_degC >= sheet_.D_min_degC && D_degC <= sheet_.D_max_degC && D_degC > S_degC;
}

}  // namespace cabinload::unit
