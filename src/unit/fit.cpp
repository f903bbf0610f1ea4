// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <Eigen/Dense>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/map.hpp>
#include <cmath>
#include <set>

namespace cabinload::unit {
namespace {

using core::to_celsius;
using core::to_kelvin;

/// Of a rating point, about which corrections are written.
constexpr double kMiddleWet_degC = 19.44, kMiddleCondenser_degC = 35;

struct Spread {
  double low = 1e9, high = -1e9;
  std::set<long> levels;  // to half a kelvin
  void add(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
    levels.insert(std::lround(value * 2));
  }
  [[nodiscard]] double width() const { return high - low; }
};

struct Spans {
  Spread wet, condenser, speed;
  int full_speed = 0;
};

Spans spans_of(const std::vector<MeasuredPoint>& points) {
  Spans s;
  for (const MeasuredPoint& p : points) {
    s.wet.add(to_celsius(p.wet_bulb_K));
    s.condenser.add(to_celsius(p.condenser_K));
    s.speed.add(p.speed_1);
    s.full_speed += p.speed_1 > 0.999 ? 1 : 0;
  }
  return s;
}

void check(const std::vector<MeasuredPoint>& points, double fan_W, double standby_W) {
  if (points.empty()) throw core::RangeError("unit: no measured points");
  for (std::size_t i = 0; i < points.size(); ++i) {
    const MeasuredPoint& p = points[i];
    const auto refuse = [&](const char* what, double value, const std::string& must) {
      throw core::RangeError(
          fmt::format("unit: measured[{}].{} = {:g}, must be {}", i, what, value, must));
    };
    if (!(p.capacity_W > 0)) refuse("capacity in W", p.capacity_W, "above 0");
    if (!(p.power_W > fan_W + standby_W))
      refuse("power in W", p.power_W,
             fmt::format("above cabin fan and standby, {:g} W, which are part of it",
                         fan_W + standby_W));
    if (!(p.speed_1 > 0 && p.speed_1 <= 1)) refuse("speed", p.speed_1, "above 0 and at most 1");
  }
}

using Row = Eigen::VectorXd;

/// Least squares of `rows` onto `values`.
Row solve(const std::vector<Row>& rows, const std::vector<double>& values) {
  Eigen::MatrixXd A(static_cast<Eigen::Index>(rows.size()), rows.front().size());
  Row b(A.rows());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    A.row(static_cast<Eigen::Index>(i)) = rows[i];
    b[static_cast<Eigen::Index>(i)] = values[i];
  }
  return A.colPivHouseholderQr().solve(b);
}

Row quadratic(double x, double y) {
  x -= kMiddleWet_degC;
  y -= kMiddleCondenser_degC;
  Row r(6);
  r << 1, x, x * x, y, y * y, x * y;
  return r;
}

/// Whether full-speed points tell all six terms of a bi-quadratic apart.
bool carries_own(const std::vector<MeasuredPoint>& points, const Spans& s) {
  if (points.size() < 9 || s.wet.levels.size() < 3 || s.condenser.levels.size() < 3) return false;
  if (s.wet.width() < 2 || s.condenser.width() < 5) return false;
  Eigen::MatrixXd A(static_cast<Eigen::Index>(points.size()), 6);
  for (std::size_t i = 0; i < points.size(); ++i)
    A.row(static_cast<Eigen::Index>(i)) =
        quadratic(to_celsius(points[i].wet_bulb_K), to_celsius(points[i].condenser_K));
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(A);
  qr.setThreshold(1e-6);
  return qr.rank() == A.cols();
}

/// Corrections of the generic factors, with the terms that the points can tell apart.
Row correction(const Spans& s, double x, double y, double speed) {
  std::vector<double> r = {1};
  if (s.condenser.width() >= 5) r.push_back((y - kMiddleCondenser_degC) / 20);
  if (s.wet.width() >= 2) r.push_back((x - kMiddleWet_degC) / 8);
  if (s.speed.width() >= 0.1) r.push_back(speed - 1);
  return Eigen::Map<Row>(r.data(), static_cast<Eigen::Index>(r.size()));
}

/// The first `terms` of them.
std::string words_of(const Spans& s, Eigen::Index terms) {
  std::string words = "generic factors times a constant";
  Eigen::Index left = terms - 1;
  if (s.condenser.width() >= 5 && left-- > 0) words += ", condenser inlet";
  if (s.wet.width() >= 2 && left-- > 0) words += ", wet bulb";
  if (s.speed.width() >= 0.1 && left-- > 0) words += ", speed";
  return words;
}

}  // namespace

Fit fit_points(const std::vector<MeasuredPoint>& points, const GenericFactors& shape, double fan_W,
               double standby_W) {
  check(points, fan_W, standby_W);
  const Spans spans = spans_of(points);
  const bool own =
      spans.full_speed == static_cast<int>(points.size()) && carries_own(points, spans);
  const auto row = [&](double x, double y, double s) {
    return own ? quadratic(x, y) : correction(spans, x, y, s);
  };
  const auto generic = [&](double x, double y, double s) {
    return own ? Output{1, 1} : shape.at(x, y, s);
  };
  std::vector<Row> rows;
  std::vector<double> total, input_ratio;
  for (const MeasuredPoint& p : points) {
    const double x = to_celsius(p.wet_bulb_K), y = to_celsius(p.condenser_K);
    const Output g = generic(x, y, p.speed_1);
    const double total_W = p.capacity_W + fan_W, power_W = p.power_W - fan_W - standby_W;
    rows.push_back(row(x, y, p.speed_1));
    total.push_back(total_W / g.total_W);
    input_ratio.push_back(power_W / total_W / (g.power_W / g.total_W));
  }
  Fit fit;
  // Fewer points than terms: the terms are dropped one by one from the end.
  while (rows.front().size() > static_cast<Eigen::Index>(rows.size()))
    for (Row& r : rows) r.conservativeResize(r.size() - 1);
  const Eigen::Index terms = rows.front().size();
  const Row a = solve(rows, total), b = solve(rows, input_ratio);
  const auto value = [=](double wet_bulb_K, double condenser_K, double s) {
    const double x = to_celsius(wet_bulb_K), y = to_celsius(condenser_K);
    const Row r = row(x, y, s).head(terms);
    const Output g = generic(x, y, s);
    const double total_W = g.total_W * a.dot(r);
    // An own bi-quadratic says nothing of speed: there the generic factors do.
    const Output slow = own ? shape.at(x, y, s) : Output{1, 1};
    const Output fast = own ? shape.at(x, y, 1) : Output{1, 1};
    return Output{total_W * slow.total_W / fast.total_W,
                  total_W * g.power_W / g.total_W * b.dot(r) * slow.power_W / fast.power_W};
  };
  fit.form = own ? "a bi-quadratic of its own through the measured points" : words_of(spans, terms);
  Map::Range range{to_kelvin(shape.wet_bulb_low_degC), to_kelvin(shape.wet_bulb_high_degC),
                   to_kelvin(shape.condenser_low_degC), to_kelvin(shape.condenser_high_degC),
                   shape.speed_low_1};
  const auto bound = [](double& low_K, double& high_K, const Spread& s) {
    low_K = to_kelvin(s.low);
    high_K = to_kelvin(s.high);
  };
  if (spans.wet.width() >= 2) bound(range.wet_bulb_low_K, range.wet_bulb_high_K, spans.wet);
  if (spans.condenser.width() >= 5)
    bound(range.condenser_low_K, range.condenser_high_K, spans.condenser);
  fit.map = Map(range, value);
  for (const MeasuredPoint& p : points) {
    const Output o = fit.map.at(p.wet_bulb_K, p.condenser_K, p.speed_1);
    fit.capacity_residual_1.push_back(o.total_W / (p.capacity_W + fan_W) - 1);
    fit.power_residual_1.push_back(o.power_W / (p.power_W - fan_W - standby_W) - 1);
    fit.worst_1 = std::max({fit.worst_1, std::abs(fit.capacity_residual_1.back()),
                            std::abs(fit.power_residual_1.back())});
  }
  return fit;
}

}  // namespace cabinload::unit
