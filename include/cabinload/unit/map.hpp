// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <functional>
#include <string>
#include <vector>

namespace cabinload::unit {

/// What a unit gives at full cabin air flow.
struct Output {
  double total_W = 0;  ///< gross coil heat: net capacity and the cabin fan's heat
  double power_W = 0;  ///< compressor and condenser fan
};

/// Gross capacity and power by evaporator inlet wet bulb, condenser inlet and compressor speed: the
/// one form in which every unit ends, however it was described.
///
/// A regular grid, parabolas through three neighbours in each direction: a bi-quadratic comes back
/// exactly. Beyond the range it goes on straight (capacity not below 0, power not below a tenth of
/// the range's least), and says so.
class Map {
 public:
  /// Range over which a description holds.
  struct Range {
    double wet_bulb_low_K, wet_bulb_high_K;
    double condenser_low_K, condenser_high_K;
    double speed_low_1;  ///< of full
  };
  /// Computes a node of the grid.
  using Function = std::function<Output(double wet_bulb_K, double condenser_K, double speed_1)>;
  Map() = default;
  /// Asks `function` for every node of the grid. @pre low < high, 0 < speed_low_1 <= 1
  Map(const Range& range, const Function& function);

  /// At one state of the air, by speed: values at the slowest, the middle and full speed.
  struct Line {
    std::array<Output, 3> at;
    double speed_low_1 = 1;
    bool inside = true;  ///< false: beyond the range of the description
    /// By a parabola through the three; speed clamped to speed_low_1..1.
    [[nodiscard]] Output speed(double speed_1) const;
  };
  /// All speeds at one state of the air.
  [[nodiscard]] Line line(double wet_bulb_K, double condenser_K) const;
  /// Capacity and power there; speed clamped to the map's.
  [[nodiscard]] Output at(double wet_bulb_K, double condenser_K, double speed_1) const {
    return line(wet_bulb_K, condenser_K).speed(speed_1);
  }
  /// Range of the description.
  [[nodiscard]] const Range& range() const { return range_; }

 private:
  static constexpr int kWet = 11, kCondenser = 15, kSpeed = 3;
  [[nodiscard]] const Output& node(int x, int y, int s) const {
    return nodes_[static_cast<std::size_t>((x * kCondenser + y) * kSpeed + s)];
  }
  Range range_{};
  std::vector<Output> nodes_;
};

/// Factors of an ideal vapour-compression cycle, 1 at 19.44 degC wet bulb, 35 degC condenser inlet
/// and full speed (AHRI 210/240 condition A). Sum over i + j + k <= 3 of c x^i y^j s^k in degC.
/// Source: src/unit/generic_factors.py, which states the cycle; CoolProp for the refrigerants.
struct GenericFactors {
  const char* refrigerant;
  double wet_bulb_low_degC, wet_bulb_high_degC, condenser_low_degC, condenser_high_degC,
      speed_low_1;
  double capacity_error_1, power_error_1;  ///< worst of the fit over its range, of rated
  std::array<double, 20> capacity, power;
  /// Over full cabin air flow f: 1 + a (f - 1) + b (f - 1)^2, 0.4..1.2 of full.
  std::array<double, 2> capacity_flow, power_flow;
  /// Factors on rated capacity and power [1], in the members of Output; not clamped to the range.
  [[nodiscard]] Output at(double wet_bulb_degC, double condenser_degC, double speed_1) const;
};
/// R134a, R1234yf, R290, R32, R410A.
[[nodiscard]] const std::vector<GenericFactors>& generic_factors();
/// @throws core::RangeError  unknown refrigerant (lists the known ones)
[[nodiscard]] const GenericFactors& generic_factors(const std::string& refrigerant);

/// One measured point of a unit, at full cabin air flow.
struct MeasuredPoint {
  double capacity_W = 0;  ///< total, net of the cabin fan
  double power_W = 0;     ///< all of the unit
  double wet_bulb_K = 0, dry_bulb_K = 0, condenser_K = 0;
  double speed_1 = 1;  ///< of full
};

/// A map through measured points, and how well it goes through them.
struct Fit {
  Map map;
  std::string form;  ///< "bi-quadratic of its own" or "generic factors times ..."
  std::vector<double> capacity_residual_1, power_residual_1;  ///< fit over measured, less 1
  double worst_1 = 0;
};
/// From nine points at full speed that span three wet bulbs and three condenser inlets: a
/// bi-quadratic of its own for capacity and for power over capacity. Fewer, or other speeds:
/// generic factors times 1 + b (condenser) + c (wet bulb) + d (speed), with the terms that the
/// points can tell apart (spread of 5 K, 2 K, 0.1). One point scales the generic factors.
/// @param fan_W      cabin fan: net capacity plus this is the coil's
/// @param standby_W  controls, part of the power
/// @throws core::RangeError  no points, a figure at or below 0
[[nodiscard]] Fit fit_points(const std::vector<MeasuredPoint>& points, const GenericFactors& shape,
                             double fan_W, double standby_W);

}  // namespace cabinload::unit
