// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/study/sampling.hpp>
#include <cmath>
#include <initializer_list>
#include <numbers>

#include "require.hpp"

namespace cabinload::study {
namespace {

constexpr double kNormal95 = 1.6448536269514722;  // 95th percentile of the standard normal
constexpr double kLeastShare = 1e-6;              // of a normal distribution between its bounds

/// Share of the standard normal distribution below x; full relative precision for x < 0.
double normal_below(double x) {
  return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

double polynomial(std::initializer_list<double> highest_first, double x) {
  double sum = 0;
  for (const double c : highest_first) sum = sum * x + c;
  return sum;
}

/// [Acklam2003], u <= 0.5; relative error below 1.15e-9.
double acklam(double u) {
  if (u < 0.02425) {
    const double q = std::sqrt(-2.0 * std::log(u));
    return polynomial({-7.784894002430293e-03, -3.223964580411365e-01, -2.400758277161838e+00,
                       -2.549732539343734e+00, 4.374664141464968e+00, 2.938163982698783e+00},
                      q) /
           polynomial({7.784695709041462e-03, 3.224671290700398e-01, 2.445134137142996e+00,
                       3.754408661907416e+00, 1.0},
                      q);
  }
  const double q = u - 0.5, r = q * q;
  return q *
         polynomial({-3.969683028665376e+01, 2.209460984245205e+02, -2.759285104469687e+02,
                     1.383577518672690e+02, -3.066479806614716e+01, 2.506628277459239e+00},
                    r) /
         polynomial({-5.447609879822406e+01, 1.615858368580409e+02, -1.556989798598866e+02,
                     6.680131188771972e+01, -1.328068155288572e+01, 1.0},
                    r);
}

/// One step of Newton's rule on normal_below(x) = u squares the error.
double lower_half_quantile(double u) {
  const double x = acklam(u);
  const double density = std::exp(-0.5 * x * x) / std::sqrt(2.0 * std::numbers::pi);
  return x - (normal_below(x) - u) / density;
}

/// Throws "key: what = value, must be rule" for the first rule broken.
class Rules {
 public:
  explicit Rules(const std::string& key) : key_(key) {}
  void finite(const char* what, double value) const {
    rule(std::isfinite(value), what, value, "a finite number");
  }
  void rule(bool good, const char* what, double value, const std::string& must) const {
    require(good, "{}: {} = {:g}, must be {}", key_, what, value, must);
  }

 private:
  const std::string& key_;
};

struct Check {
  Rules rules;
  void operator()(const Uniform& d) const {
    rules.finite("low", d.low);
    rules.finite("high", d.high);
    rules.rule(d.low <= d.high, "low", d.low, fmt::format("at most high = {:g}", d.high));
  }
  void operator()(const Triangular& d) const {
    (*this)(Uniform{d.low, d.high});
    rules.rule(d.mode >= d.low && d.mode <= d.high, "mode", d.mode,
               fmt::format("between low = {:g} and high = {:g}", d.low, d.high));
  }
  void operator()(const TruncatedNormal& d) const {
    (*this)(Uniform{d.low, d.high});
    rules.rule(d.low < d.high, "low", d.low, fmt::format("below high = {:g}", d.high));
    rules.finite("mean", d.mean);
    rules.finite("deviation", d.deviation);
    rules.rule(d.deviation > 0, "deviation", d.deviation, "above 0");
    const double a = (d.low - d.mean) / d.deviation, b = (d.high - d.mean) / d.deviation;
    rules.rule(normal_below(b) - normal_below(a) >= kLeastShare, "mean", d.mean,
               fmt::format("nearer to the range from low = {:g} to high = {:g}, which holds less "
                           "than a millionth of the distribution",
                           d.low, d.high));
  }
  void operator()(const Lognormal& d) const {
    rules.finite("median", d.median);
    rules.finite("factor", d.factor);
    rules.rule(d.median > 0, "median", d.median, "above 0");
    rules.rule(d.factor >= 1, "factor", d.factor, "at least 1");
  }
  void operator()(const Choice& d) const { rules.rule(d.count >= 1, "choices", 0, "at least 1"); }
};

struct Quantile {
  double u;
  double operator()(const Uniform& d) const { return std::lerp(d.low, d.high, u); }
  double operator()(const Triangular& d) const {
    const double width = d.high - d.low;
    const double x = u * width < d.mode - d.low
                         ? d.low + std::sqrt(u * width * (d.mode - d.low))
                         : d.high - std::sqrt((1 - u) * width * (d.high - d.mode));
    return std::clamp(x, d.low, d.high);
  }
  double operator()(const TruncatedNormal& d) const {
    const double a = (d.low - d.mean) / d.deviation, b = (d.high - d.mean) / d.deviation;
    // The share in the nearer tail keeps its digits; the one beyond it would round to 1.
    const double below = std::lerp(normal_below(a), normal_below(b), u);
    const double above = std::lerp(normal_below(-b), normal_below(-a), 1 - u);
    const double z = below < above ? normal_quantile(below) : -normal_quantile(above);
    return std::clamp(d.mean + d.deviation * z, d.low, d.high);
  }
  double operator()(const Lognormal& d) const {
    return d.median * std::pow(d.factor, normal_quantile(u) / kNormal95);
  }
  double operator()(const Choice& d) const {
    const auto count = static_cast<double>(d.count);
    return std::min(std::floor(u * count), count - 1);
  }
};

void require_unit(double u, const char* what) {
  require(u > 0 && u < 1, "{} = {:g}, must lie between 0 and 1, both excluded", what, u);
}

}  // namespace

void check(const Distribution& distribution, const std::string& key) {
  std::visit(Check{Rules(key)}, distribution);
}

double quantile(const Distribution& distribution, double u) {
  require_unit(u, "u");
  return std::visit(Quantile{u}, distribution);
}

double normal_quantile(double u) {
  require_unit(u, "u");
  return u <= 0.5 ? lower_half_quantile(u) : -lower_half_quantile(1 - u);
}

Interval wilson(std::uint64_t count, std::uint64_t trials, double confidence) {
  require(trials > 0, "proportion: samples = 0, must be at least 1");
  require(count <= trials, "proportion: count = {}, must be at most samples = {}", count, trials);
  require_unit(confidence, "confidence");
  const double n = static_cast<double>(trials), p = static_cast<double>(count) / n;
  const double z = normal_quantile(0.5 + 0.5 * confidence), share = z * z / n;
  const double middle = (p + 0.5 * share) / (1 + share);
  const double half = z * std::sqrt(p * (1 - p) / n + 0.25 * share / n) / (1 + share);
  return {count == 0 ? 0.0 : middle - half, count == trials ? 1.0 : middle + half};
}

std::vector<double> percentiles(std::vector<double> values, std::span<const double> percents) {
  require(!values.empty(), "percentiles: values = 0, must be at least 1");
  for (const double value : values)
    require(std::isfinite(value), "percentiles: a value is not finite");
  std::sort(values.begin(), values.end());
  std::vector<double> out;
  for (const double percent : percents) {
    require(percent >= 0 && percent <= 100, "percentile = {:g}, must be between 0 and 100",
            percent);
    const double place = static_cast<double>(values.size() - 1) * percent / 100.0;
    const auto i = static_cast<std::size_t>(place);
    const double next = values[std::min(i + 1, values.size() - 1)];
    out.push_back(std::lerp(values[i], next, place - static_cast<double>(i)));
  }
  return out;
}

}  // namespace cabinload::study
