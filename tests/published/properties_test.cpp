// SPDX-License-Identifier: Apache-2.0
// Laws that hold for every cabin, on seeded samples of the whole way from choice to trace.
#include <cabinload/core/constants.hpp>
#include <cabinload/sun/sun.hpp>
#include <cmath>
#include <limits>
#include <random>

#include "support/box_run.hpp"
#include "support/catch.hpp"
#include "support/checks.hpp"

namespace core = cabinload::core;
namespace scenario = cabinload::scenario;
namespace test = cabinload::test;
namespace vehicle = cabinload::vehicle;
using core::DayProfile;
using core::DaySchedule;

namespace {

constexpr int kSamples = 1000;
constexpr unsigned kSeed = 20261125;

/// The built-in scenario with nobody and nothing in it.
scenario::Scenario empty_cabin() {
  static const scenario::Scenario built_in = scenario::read("", {});
  scenario::Scenario s = built_in;
  s.people.clear();
  s.supply.bank.place = cabinload::power::Place::outside;  // its own losses are a gain
  s.air.fresh_air_m3_s = DayProfile(0.0);
  return s;
}

/// A random cabin on a random summer day; nothing in it but what a property puts there.
class Sampler {
 public:
  explicit Sampler(unsigned seed) : random_(seed) {}
  scenario::Scenario next() {
    scenario::Scenario s = empty_cabin();
    s.choice.body = pick(vehicle::bodies());
    s.choice.insulation = pick(vehicle::insulations());
    s.choice.paint = pick(vehicle::paints());
    s.choice.cover = pick(vehicle::covers());
    s.choice.heading_rad = between(0, 2 * core::kPi);
    s.vehicle = vehicle::make(s.choice);
    s.vehicle.leakage_area_m2 *= between(0.3, 3);
    auto& day = s.weather.day.emplace();
    day.T_high_K = core::to_kelvin(between(30, 45));
    day.T_low_K = day.T_high_K - between(5, 15);
    day.T_dew_K = day.T_low_K - between(2, 15);
    day.latitude_rad = between(-0.9, 0.9);
    day.date = {static_cast<int>(between(1, 12.99)), static_cast<int>(between(1, 28))};
    day.wind_m_s = between(0, 8);
    s.start.warm_up_days = 1;
    s.step_s = 120;
    return s;
  }
  double between(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random_);
  }

 private:
  template <class Table>
  std::string pick(const Table& table) {
    return table[static_cast<std::size_t>(between(0, static_cast<double>(table.size()) - 1e-9))]
        .key;
  }
  std::mt19937 random_;
};

cabinload::simulation::Trace run(const scenario::Scenario& s) {
  const auto weather = cabinload::weather::make(*s.weather.day);
  const auto forcing = cabinload::forcing::make(weather, s.site, s.vehicle);
  cabinload::simulation::Options options;
  options.unit_enabled = false;
  return cabinload::simulation::run(cabinload::network::assemble(s.vehicle), forcing, s, options);
}

double highest(const std::vector<double>& v) {
  return *std::max_element(v.begin(), v.end());
}

/// More insulation of the same mass: every foam conducts less.
void insulate(vehicle::Vehicle& v, double factor) {
  for (auto& s : v.surfaces)
    for (auto* layers : {&s.layers, &s.framing})
      for (auto& l : *layers)
        if (l.k_W_mK < 0.06) l.k_W_mK *= factor;
}

std::string seeded(int samples) {
  return "seed 20261125, " + std::to_string(samples) + " samples";
}

void tell(const std::string& what, int samples, int failures) {
  test::record({"Laws on samples", what, seeded(samples), 0, 0, static_cast<double>(failures),
                "counterexamples", ""});
}

/// Counts the samples that break a property; tells of the first that does.
template <class Holds>
int count_against(unsigned seed, int samples, Holds holds) {
  Sampler sampler(kSeed + seed);
  int failures = 0;
  for (int i = 0; i < samples; ++i) {
    scenario::Scenario s = sampler.next();
    const std::string told = holds(s, sampler);
    if (told.empty()) continue;
    if (failures++ == 0)
      UNSCOPED_INFO("sample " << i << ": " << s.choice.body << ", " << s.choice.insulation << ", "
                              << s.choice.paint << ": " << told);
  }
  return failures;
}

/// A law: no sample breaks it.
template <class Holds>
void for_all(const std::string& what, unsigned seed, Holds holds, int samples = kSamples) {
  const int failures = count_against(seed, samples, holds);
  CHECK(failures == 0);
  tell(what, samples, failures);
}

/// Turns every azimuth, after mirroring it for a sign of -1.
void turn(vehicle::Vehicle& v, double sign, double by_rad) {
  for (auto& x : v.surfaces) x.azimuth_rad = sign * x.azimuth_rad + by_rad;
  for (auto& x : v.windows) x.azimuth_rad = sign * x.azimuth_rad + by_rad;
}

/// Says the first hour in which two runs differ, "" when none does.
std::string difference(const std::vector<double>& a_K, const std::vector<double>& b_K,
                       double bar_K) {
  for (std::size_t k = 0; k < a_K.size(); ++k)
    if (std::abs(a_K[k] - b_K[k]) > bar_K)
      return "hour " + std::to_string(k) + " differs by " + std::to_string(b_K[k] - a_K[k]) + " K";
  return "";
}

}  // namespace

namespace {

/// Peaks of the load before and after a random share of every foam's conductivity.
struct Peaks {
  double before_W = 0, after_W = 0;
};

Peaks peaks_with_foam(scenario::Scenario& s, Sampler& sampler) {
  Peaks p;
  s.ideal.cool_to_K = DayProfile(s.weather.day->T_low_K - 1);
  p.before_W = highest(run(s).hourly.ideal_cooling_W);
  insulate(s.vehicle, sampler.between(0.3, 0.95));
  p.after_W = highest(run(s).hourly.ideal_cooling_W);
  return p;
}

constexpr double kRounding_W = 1e-6;
constexpr unsigned kFoamSeed = 1;
constexpr const char* kTrapped =
    "physical: sun that came in through glass heats the faces above outdoors, and more foam keeps "
    "that heat in; the same cabins without that sun have no counterexample";

}  // namespace

TEST_CASE("properties: more insulation never raises the peak while outdoors is above the set point",
          "[published][property]") {
  for_all("more foam, outdoors above the set point, no sun through the glass: the peak never rises",
          kFoamSeed, [&](scenario::Scenario& s, Sampler& sampler) -> std::string {
            for (auto& w : s.vehicle.windows) w.solar_transmittance_1 = 0;
            const Peaks p = peaks_with_foam(s, sampler);
            return p.after_W <= p.before_W + kRounding_W
                       ? ""
                       : std::to_string(p.before_W) + " W became " + std::to_string(p.after_W) +
                             " W";
          });
}

TEST_CASE("properties: with sun through the glass more insulation can raise the peak",
          "[published][property]") {
  // The cabins of the case above, sample by sample, with their glass.
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  double most_1 = 0;
  const int raised = count_against(
      kFoamSeed, kSamples, [&](scenario::Scenario& s, Sampler& sampler) -> std::string {
        const Peaks p = peaks_with_foam(s, sampler);
        if (p.after_W <= p.before_W + kRounding_W) return "";
        most_1 = std::max(most_1, p.after_W / p.before_W - 1);
        return std::to_string(p.before_W) + " W became " + std::to_string(p.after_W) + " W";
      });
  CHECK(raised > 0);
  CHECK(raised < kSamples / 2);
  test::record({"Laws on samples",
                "more foam, outdoors above the set point, sun through the glass: the peak rises",
                seeded(kSamples), kNone, kNone, static_cast<double>(raised), "counterexamples",
                kTrapped, false});
  test::record({"Laws on samples",
                "more foam, outdoors above the set point, sun through the glass: largest rise",
                seeded(kSamples), kNone, kNone, most_1, "of the peak", kTrapped, false});
}

TEST_CASE("properties: with cool outdoors and sun through glass insulation can raise the peak",
          "[published][unit]") {
  scenario::Scenario s = empty_cabin();
  s.choice.insulation = "thin";
  s.choice.side_windows = 6;
  s.vehicle = vehicle::make(s.choice);
  auto& day = s.weather.day.emplace();
  day.T_high_K = core::to_kelvin(16);
  day.T_low_K = core::to_kelvin(6);
  day.T_dew_K = core::to_kelvin(2);
  day.latitude_rad = 0.6;
  s.ideal.cool_to_K = DayProfile(core::to_kelvin(20));
  const double before_W = highest(run(s).hourly.ideal_cooling_W);
  insulate(s.vehicle, 0.5);
  const double after_W = highest(run(s).hourly.ideal_cooling_W);
  CHECK(before_W > 0);
  CHECK(after_W > before_W);
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  test::record(
      {"Laws on samples",
       "more foam, outdoors of 6 to 16 degC below the set point of 20 degC, sun through six "
       "windows, conductivity halved: peak over that before",
       "invented", kNone, kNone, after_W / before_W, "1",
       "physical: the heat of the sun would rather leave to the cooler outdoors, and more foam "
       "keeps it in",
       false});
}

TEST_CASE("properties: a lighter paint never warms", "[published][property]") {
  constexpr double kRounding_K = 1e-9;
  for_all("a lighter paint of equal emittance never warms, any hour", 2,
          [&](scenario::Scenario& s, Sampler& sampler) -> std::string {
            const auto dark = run(s).hourly.T_air_mean_K;
            const double lighter = sampler.between(0.2, 0.95);
            for (auto& surface : s.vehicle.surfaces) surface.absorptance_1 *= lighter;
            const auto light = run(s).hourly.T_air_mean_K;
            for (std::size_t k = 0; k < dark.size(); ++k)
              if (light[k] > dark[k] + kRounding_K)
                return "hour " + std::to_string(k) + " warmer by " +
                       std::to_string(light[k] - dark[k]) + " K";
            return "";
          });
}

TEST_CASE("properties: more leakage never raises CO2", "[published][property]") {
  constexpr double kRounding_ppm = 1e-6;
  for_all("more leakage never raises the CO2 peak", 3,
          [&](scenario::Scenario& s, Sampler& sampler) -> std::string {
            cabinload::occupants::Person person;
            person.present = person.asleep = DaySchedule::always();
            s.people = {person};
            // Held at one temperature, so that the stack drives both alike.
            s.ideal.cool_to_K = s.ideal.heat_to_K = DayProfile(core::to_kelvin(24));
            const double before = highest(run(s).hourly.co2_ppm);
            s.vehicle.leakage_area_m2 *= sampler.between(1.05, 4);
            const double after = highest(run(s).hourly.co2_ppm);
            return after <= before + kRounding_ppm
                       ? ""
                       : std::to_string(before) + " ppm became " + std::to_string(after);
          });
}

TEST_CASE("properties: nothing inside and a constant world end at the world's temperature",
          "[published][property]") {
  constexpr double kSettled_K = 0.01;  // eight days; the slowest cabin forgets in two
  for_all("zero gains and constant outdoors end at outdoors", 4,
          [&](scenario::Scenario& s, Sampler& sampler) -> std::string {
            auto& day = *s.weather.day;
            day.T_K = DayProfile(day.T_low_K);
            day.sky = cabinload::weather::TypedDay::Sky::none;
            s.site.sky_as_air = true;
            s.site.ground = cabinload::forcing::Ground::as_air;
            s.start.T_K = day.T_low_K + sampler.between(-15, 15);
            s.start.warm_up_days = 8;
            const double end_K = run(s).hourly.T_air_mean_K.back();
            return std::abs(end_K - day.T_low_K) < kSettled_K
                       ? ""
                       : "ends " + std::to_string(end_K - day.T_low_K) + " K off";
          });
}

TEST_CASE("properties: the heading turned and all azimuths turned back, a cabin is the same",
          "[published][property]") {
  constexpr double kRounding_K = 1e-6;  // sines of turned angles
  for_all("heading turned, azimuths turned back, in the sun: the air of every hour is the same", 5,
          [&](scenario::Scenario& s, Sampler& sampler) -> std::string {
            const auto before_K = run(s).hourly.T_air_mean_K;
            const double by_rad = sampler.between(-3, 3);
            turn(s.vehicle, 1, by_rad);
            s.vehicle.heading_rad -= by_rad;
            return difference(before_K, run(s).hourly.T_air_mean_K, kRounding_K);
          });
}

TEST_CASE("properties: without sun no azimuth matters", "[published][property]") {
  constexpr int kFewer = 200;
  for_all(
      "all azimuths mirrored, no sun: the air of every hour is the same to the last bit", 6,
      [&](scenario::Scenario& s, Sampler&) -> std::string {
        s.weather.day->sky = cabinload::weather::TypedDay::Sky::none;
        const auto before_K = run(s).hourly.T_air_mean_K;
        turn(s.vehicle, -1, 0);
        return difference(before_K, run(s).hourly.T_air_mean_K, 0);
      },
      kFewer);
}

TEST_CASE("properties: sun and plane mirrored in the meridian, a plane receives the same",
          "[published][property]") {
  constexpr double kRounding_W_m2 = 1e-9;
  std::mt19937 random(kSeed);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  int failures = 0, told_apart = 0;
  for (int i = 0; i < kSamples; ++i) {
    const double zenith = between(0.01, 1.5), A = between(-core::kPi, core::kPi);
    const double dni = between(50, 1000), dhi = between(30, 400), outside = between(1321, 1412);
    const double tilt = between(0.05, core::kPi - 0.05), a = between(-core::kPi, core::kPi);
    const auto plane = [&](double sun_azimuth, double azimuth) {
      return cabinload::sun::tilted({zenith, sun_azimuth}, dni, dhi, dhi + dni * std::cos(zenith),
                                    outside, tilt, azimuth, 0.2);
    };
    const auto apart_W_m2 = [](const cabinload::sun::Tilted& x, const cabinload::sun::Tilted& y) {
      return std::max({std::abs(x.beam_W_m2 - y.beam_W_m2), std::abs(x.sky_W_m2 - y.sky_W_m2),
                       std::abs(x.ground_W_m2 - y.ground_W_m2)});
    };
    if (apart_W_m2(plane(A, a), plane(-A, -a)) > kRounding_W_m2 && failures++ == 0)
      UNSCOPED_INFO("sample " << i << ": zenith " << zenith << ", sun " << A << ", plane " << a);
    // With the plane alone mirrored it is another plane: the law is not empty.
    if (apart_W_m2(plane(A, a), plane(A, -a)) > 1) ++told_apart;
  }
  CHECK(failures == 0);
  CHECK(told_apart > kSamples / 2);
  tell("sun and plane mirrored in the meridian: direct, sky and ground on the plane are the same",
       kSamples, failures);
}

namespace {

/// Largest difference of anything that the sun does to a vehicle, over all slots [W/m2].
double apart_W_m2(const cabinload::forcing::Forcing& a, const cabinload::forcing::Forcing& b) {
  double most = 0;
  const auto compare = [&](const std::vector<double>& x, const std::vector<double>& y) {
    if (x.size() != y.size()) most = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < std::min(x.size(), y.size()); ++i)
      most = std::max(most, std::abs(x[i] - y[i]));
  };
  compare(a.ghi_W_m2, b.ghi_W_m2);
  for (std::size_t i = 0; i < a.surfaces.size(); ++i) {
    compare(a.surfaces[i].incident_W_m2, b.surfaces[i].incident_W_m2);
    compare(a.surfaces[i].inside_W_m2, b.surfaces[i].inside_W_m2);
  }
  for (std::size_t i = 0; i < a.windows.size(); ++i) {
    const auto &x = a.windows[i], &y = b.windows[i];
    compare(x.transmitted_W_m2, y.transmitted_W_m2);
    compare(x.absorbed_outer_W_m2, y.absorbed_outer_W_m2);
    compare(x.absorbed_inner_W_m2, y.absorbed_inner_W_m2);
    compare(x.inside_cover_W_m2, y.inside_cover_W_m2);
    compare(x.outside_cover_W_m2, y.outside_cover_W_m2);
  }
  return most;
}

}  // namespace

TEST_CASE("properties: the heading turned and all azimuths turned back, the forcing is the same",
          "[published][property]") {
  constexpr double kRounding_W_m2 = 1e-6;
  constexpr int kFewer = 300;
  int told_apart = 0;
  for_all(
      "heading turned, azimuths turned back: sun on every surface and through every window is the "
      "same",
      7,
      [&](scenario::Scenario& s, Sampler& sampler) -> std::string {
        const auto weather = cabinload::weather::make(*s.weather.day);
        const auto forced = [&] { return cabinload::forcing::make(weather, s.site, s.vehicle); };
        // A skyline and an awning, so that what hides the sun has to turn as well.
        if (sampler.between(0, 1) > 0.5)
          s.site.skyline = {{sampler.between(-3, 0), 0.3}, {sampler.between(0, 3), 0.02}};
        for (auto& w : s.vehicle.windows) {
          w.shelter.width_m = w.shelter.height_m = std::sqrt(w.area_m2);
          w.shelter.overhang_depth_m = sampler.between(0.1, 1);
          w.shelter.fin_depth_m = sampler.between(0.05, 0.3);
        }
        const auto before = forced();
        const double h_rad = sampler.between(-3, 3);
        s.vehicle.heading_rad += h_rad;
        if (apart_W_m2(before, forced()) > 1) ++told_apart;
        turn(s.vehicle, 1, -h_rad);
        const auto after = forced();
        if (highest(after.ghi_W_m2) < 50) return "no sun in the sample";
        if (after.T_sky_K != before.T_sky_K || after.T_ground_K != before.T_ground_K)
          return "sky or ground differ";
        const double apart = apart_W_m2(before, after);
        return apart <= kRounding_W_m2 ? "" : "differs by " + std::to_string(apart) + " W/m2";
      },
      kFewer);
  CHECK(told_apart > kFewer / 2);  // turned alone, the heading matters
}
