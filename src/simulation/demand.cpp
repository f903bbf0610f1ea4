// SPDX-License-Identifier: Apache-2.0
#include "cabin_air.hpp"
#include "surroundings.hpp"

#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/network/superposition.hpp>
#include <cabinload/simulation/demand.hpp>
#include <cabinload/simulation/run.hpp>
#include <cmath>
#include <numeric>

#include "demand_causes.hpp"
#include "require_step.hpp"
#include "wet_faces.hpp"

namespace cabinload::simulation {
namespace {

constexpr double kLargestResidual_1 = 1e-6;

int place_of(const network::Cabin& cabin, const std::string& name) {
  if (name == "air") return -1;
  for (std::size_t c = 0; c < cabin.chains.size(); ++c)
    if (cabin.chains[c].name == name) return static_cast<int>(c);
  throw core::RangeError("no surface is named '" + name + "', where cooling or heating should act");
}

/// One step's demand.
struct Step {
  double T_out_K = 0, heating_W = 0, sensible_W = 0, water_kg_s = 0;
};

class DemandRun {
 public:
  DemandRun(const network::Cabin& cabin, const forcing::Forcing& forcing,
            const scenario::Scenario& scenario, const DemandOptions& options)
      : cabin_(cabin),
        forcing_(forcing),
        scenario_(scenario),
        options_(options),
        dt_s_(scenario.step_s),
        T_ref_K_(options.T_set_K.lowest()),
        heat_place_(place_of(cabin, scenario.ideal.heat_place)),
        cool_place_(place_of(cabin, options.place)),
        stepper_(std::span(&cabin, 1), dt_s_),
        drive_(cabin.chains.size()),
        around_(cabin, forcing, scenario),
        causes_(cabin, scenario),
        parts_(stepper_, causes_.list().size() - 1, T_ref_K_, cool_place_) {}

  Demand run();

 private:
  Step step(double t_s);
  void hold(const network::Response<1>& response, double second_of_day, Step& step);
  void hold_humidity(bool cooling, Step& step);
  void account_heat();
  void add_to_hour(const Step& step);
  void close_hour(Demand& out);
  void close_balance(Demand& out) const;

  const network::Cabin& cabin_;
  const forcing::Forcing& forcing_;
  const scenario::Scenario& scenario_;
  const DemandOptions& options_;
  double dt_s_, T_ref_K_;
  int heat_place_, cool_place_;
  network::Stepper<1> stepper_;
  DewGuard dew_guard_;
  network::Drive<1> drive_;
  Surroundings around_;
  DemandCauses causes_;
  network::Superposition parts_;
  MixedAir vapour_;
  WetFaces wet_;
  std::vector<double> water_;  // by cause, of the step [kg/s]
  bool cooled_ = false;        // in the step before
  double air_W_ = 0;
  double heat_in_J_ = 0, heat_throughput_J_ = 0, stored_at_start_J_ = 0, parts_residual_W_ = 0;
  struct {
    double seconds = 0, T_out = 0, T_air = 0, sensible = 0, latent = 0;
    std::vector<double> sensible_by_cause, latent_by_cause;
  } hour_;
};

/// Heating, or cooling of any capacity: exactly what brings the air to its set point by the end of
/// the step.
void DemandRun::hold(const network::Response<1>& response, double second_of_day, Step& s) {
  const scenario::Ideal& ideal = scenario_.ideal;
  const double T_K = response.free_K[0];
  const auto act = [&](double T_set_K, double limit_W, int place) {
    const double per_W =
        place < 0 ? response.per_W[0] : stepper_.face_per_W(static_cast<std::size_t>(place));
    double W = (T_set_K - T_K) / per_W;
    if (limit_W > 0) W = std::clamp(W, -limit_W, limit_W);
    if (place < 0)
      air_W_ = W;
    else
      stepper_.heat_face(static_cast<std::size_t>(place), W);
    return W;
  };
  air_W_ = 0;
  if (ideal.heat_to_K && T_K < ideal.heat_to_K->at(second_of_day))
    s.heating_W = act(ideal.heat_to_K->at(second_of_day), ideal.heat_limit_W, heat_place_);
  else if (options_.hours.active(second_of_day) && T_K > options_.T_set_K.at(second_of_day))
    s.sensible_W = -act(options_.T_set_K.at(second_of_day), 0, cool_place_);
  if (!options_.by_cause) return;
  // Heating is no demand for cooling: it is a source of the rest.
  if (heat_place_ < 0)
    parts_.set_air(parts_.rest(), s.heating_W);
  else
    parts_.set_inner(parts_.rest(), static_cast<std::size_t>(heat_place_), s.heating_W);
}

/// Water that has to leave during the step, whole and by cause.
void DemandRun::hold_humidity(bool cooling, Step& s) {
  const Outdoors& out = around_.out();
  const double in_kg_s = around_.exchange_kg_s(), flow_kg_s = in_kg_s + wet_.flow_kg_s;
  const double mass_kg = around_.air_kg() * cabin_.moisture_capacity_factor_1;
  const double W_in_1 = flow_kg_s > 0 ? (in_kg_s * out.W_1 + wet_.water_kg_s) / flow_kg_s : 0.0;
  const double W_most_1 =
      air::humidity_ratio_from_relative_1(T_ref_K_, options_.humidity_1, out.p_Pa);
  const double source_kg_s = around_.gains().moisture_kg_s;
  const double over_theta = MixedAir::over_theta(mass_kg, flow_kg_s, dt_s_);
  const double K_kg_s = over_theta * mass_kg / dt_s_;
  const double before = vapour_.value();
  if (cooling)
    s.water_kg_s =
        std::max(0.0, K_kg_s * before + flow_kg_s * W_in_1 + source_kg_s -
                          (K_kg_s + flow_kg_s) * (before + (W_most_1 - before) / over_theta));
  vapour_.step(mass_kg, flow_kg_s, W_in_1, source_kg_s - s.water_kg_s, dt_s_);
  const double during = before + (vapour_.value() - before) / over_theta;
  if (!options_.by_cause) return;
  // Each flow over what the air may hold; the rest is what the air's own water does.
  causes_.water(around_, wet_, W_most_1, water_);
  water_[parts_.rest()] = K_kg_s * (before - W_most_1) - (K_kg_s + flow_kg_s) * (during - W_most_1);
}

Step DemandRun::step(double t_s) {
  const double middle_s = t_s + 0.5 * dt_s_;
  const double second_of_day = core::second_of_day(middle_s);
  Step s;
  around_.set(
      middle_s, second_of_day,
      {.T_air_K = stepper_.T_air_K()[0], .stirring_m3_s = cooled_ ? options_.stirring_m3_s : 0.0},
      drive_);
  s.T_out_K = around_.out().T_K;
  network::Response<1> response = stepper_.prepare(drive_);
  wet_ = wet_faces(cabin_, stepper_, 0, dew_guard_, vapour_.value(), around_.out().p_Pa, response,
                   [&](std::size_t chain, double W) {
                     if (options_.by_cause) parts_.set_inner(causes_.condensation(), chain, W);
                   });
  if (options_.by_cause)
    causes_.act(around_, drive_, T_ref_K_, second_of_day, stepper_.T_air_K()[0], parts_);
  hold(response, second_of_day, s);
  stepper_.finish(drive_, network::Lane<1>::Constant(air_W_));
  if (options_.by_cause) parts_.step();
  account_heat();
  cooled_ = s.sensible_W > 0;
  hold_humidity(cooled_, s);
  return s;
}

void DemandRun::account_heat() {
  const network::Flows<1>& f = stepper_.flows();
  for (const auto* flow : {&f.envelope_W, &f.windows_W, &f.sun_inside_W, &f.exchange_W, &f.gains_W,
                           &f.unit_W, &f.placed_W}) {
    heat_in_J_ += (*flow)[0] * dt_s_;
    heat_throughput_J_ += std::abs((*flow)[0]) * dt_s_;
  }
}

void DemandRun::add_to_hour(const Step& s) {
  const double h_J_kg =
      core::kVaporizationHeat_J_kg + core::kSpecificHeatVapour_J_kgK * core::to_celsius(T_ref_K_);
  hour_.seconds += dt_s_;
  hour_.T_out += s.T_out_K * dt_s_;
  hour_.T_air += stepper_.T_air_K()[0] * dt_s_;
  hour_.sensible += s.sensible_W * dt_s_;
  hour_.latent += s.water_kg_s * h_J_kg * dt_s_;
  if (!options_.by_cause) return;
  double sensible_W = 0, latent_W = 0;
  for (std::size_t c = 0; c < causes_.list().size(); ++c) {
    const double part_W = parts_.removed_W(c), water_W = water_[c] * h_J_kg;
    sensible_W += part_W;
    latent_W += water_W;
    if (s.sensible_W > 0) hour_.sensible_by_cause[c] += part_W * dt_s_;
    if (s.water_kg_s > 0) hour_.latent_by_cause[c] += water_W * dt_s_;
  }
  parts_residual_W_ = std::max({parts_residual_W_, std::abs(sensible_W - s.sensible_W),
                                std::abs(latent_W - s.water_kg_s * h_J_kg)});
}

void DemandRun::close_hour(Demand& out) {
  const double per_s = 1.0 / hour_.seconds;
  out.T_out_mean_K.push_back(hour_.T_out * per_s);
  out.T_air_mean_K.push_back(hour_.T_air * per_s);
  out.sensible_W.push_back(hour_.sensible * per_s);
  out.latent_W.push_back(hour_.latent * per_s);
  for (std::size_t c = 0; c < out.causes.size(); ++c) {
    out.sensible_by_cause_W[c].push_back(hour_.sensible_by_cause[c] * per_s);
    out.latent_by_cause_W[c].push_back(hour_.latent_by_cause[c] * per_s);
  }
  hour_.seconds = hour_.T_out = hour_.T_air = hour_.sensible = hour_.latent = 0;
  hour_.sensible_by_cause.assign(out.causes.size(), 0.0);
  hour_.latent_by_cause.assign(out.causes.size(), 0.0);
}

void DemandRun::close_balance(Demand& out) const {
  const double change_J = stepper_.stored_J() - stored_at_start_J_;
  const double one_kelvin_J = stored_at_start_J_ / stepper_.T_air_K()[0];
  out.heat_residual_relative =
      std::abs(change_J - heat_in_J_) / std::max(heat_throughput_J_, one_kelvin_J);
  out.moisture_residual_relative = vapour_.residual_relative();
  out.parts_residual_W = parts_residual_W_;
  const double worst = std::max(out.heat_residual_relative, out.moisture_residual_relative);
  if (!(worst <= kLargestResidual_1))
    throw core::NumericalError("the balance of the run does not close: relative residual " +
                               std::to_string(worst) + ", allowed 1e-6");
}

Demand DemandRun::run() {
  const Nights days = nights_of(scenario_.night, forcing_.hours, forcing_.first_day);
  const double observe_s = days.first * core::kSecondsInDay;
  const double start_s = observe_s - scenario_.start.warm_up_days * core::kSecondsInDay;
  const double end_s = observe_s + days.count * core::kSecondsInDay;
  const Outdoors out = around_.outdoors_at(start_s);
  const double T_start_K = scenario_.start.T_K.value_or(out.T_K);
  stepper_.start_at(network::Lane<1>::Constant(T_start_K));
  parts_.start_at(T_start_K);
  vapour_.start_at(out.W_1);
  stored_at_start_J_ = stepper_.stored_J();

  Demand result;
  result.start_s = observe_s;
  result.T_set_K = T_ref_K_;
  if (options_.by_cause) result.causes = causes_.list();
  result.sensible_by_cause_W.resize(result.causes.size());
  result.latent_by_cause_W.resize(result.causes.size());
  hour_.sensible_by_cause.assign(result.causes.size(), 0.0);
  hour_.latent_by_cause.assign(result.causes.size(), 0.0);
  water_.assign(result.causes.size(), 0.0);
  const long steps = std::lround((end_s - start_s) / dt_s_);
  const long report_every = std::max(1L, steps / 20);
  for (long i = 0; i < steps; ++i) {
    const double t_s = start_s + static_cast<double>(i) * dt_s_;
    const Step s = step(t_s);
    if (options_.progress && i % report_every == 0)
      options_.progress(static_cast<double>(i) / static_cast<double>(steps));
    if (t_s < observe_s - 0.5 * dt_s_) continue;
    add_to_hour(s);
    if (hour_.seconds > core::kSecondsInHour - 0.5 * dt_s_) close_hour(result);
  }
  if (!std::isfinite(stepper_.T_air_K()[0]))
    throw core::NumericalError("the cabin temperature is not finite at the end of the run");
  close_balance(result);
  return result;
}

}  // namespace

DemandOptions demand_options(const scenario::Scenario& scenario) {
  DemandOptions options;
  if (scenario.ideal.cool_to_K) {
    options.T_set_K = *scenario.ideal.cool_to_K;
    options.place = scenario.ideal.cool_place;
    return options;
  }
  options.T_set_K = core::DayProfile(scenario.unit_settings.T_set_K - scenario.air.return_offset_K);
  options.stirring_m3_s = scenario.unit.air_flow_m3_s;
  return options;
}

Demand demand(const network::Cabin& cabin, const forcing::Forcing& forcing,
              const scenario::Scenario& scenario, const DemandOptions& options) {
  require_step(scenario.step_s);
  if (!(options.humidity_1 >= 0.05 && options.humidity_1 <= 1))
    throw core::RangeError("the humidity to hold must be between 5 % and 100 %");
  return DemandRun(cabin, forcing, scenario, options).run();
}

}  // namespace cabinload::simulation
