// SPDX-License-Identifier: Apache-2.0
// The cabin network again, as plainly as it can be written: one full matrix, LU at every step. It
// shares with the program only the description of the cabin and the film laws (films.hpp).
#pragma once
#include <Eigen/Dense>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/stepper.hpp>
#include <cmath>

namespace cabinload::test {

class DenseNetwork {
 public:
  DenseNetwork(const network::Cabin& cabin, double dt_s) : cabin_(cabin), dt_s_(dt_s) {
    for (const auto& chain : cabin.chains) {
      first_.push_back(C_.size());
      C_.insert(C_.end(), chain.C_J_K.begin(), chain.C_J_K.end());
    }
    air_ = C_.size();
    star_ = air_ + 1;
    n_ = star_ + 1;
    C_.push_back(cabin.volume_m3 * 1.15 * core::kSpecificHeatDryAir_J_kgK *
                 cabin.air_capacity_factor_1);
    C_.push_back(0.0);
    theta_ = Eigen::VectorXd::Constant(static_cast<Eigen::Index>(n_), 0.5);
    choose_theta();
    start_at(293.15);
  }

  void start_at(double T_K) { T_ = Eigen::VectorXd::Constant(static_cast<Eigen::Index>(n_), T_K); }
  [[nodiscard]] double T_air_K() const { return T_[index(air_)]; }
  [[nodiscard]] std::size_t nodes() const { return n_; }

  /// One step with a given heat of the unit to the air [W].
  void step(const network::Drive<1>& d, double unit_W) {
    assemble(d);
    b_[index(air_)] += unit_W;
    const Eigen::VectorXd during = A_.partialPivLu().solve(b_);
    const double star_K = during[index(star_)];
    T_ += (during - T_).cwiseQuotient(theta_);
    T_[index(star_)] = star_K;
  }

 private:
  static Eigen::Index index(std::size_t i) { return static_cast<Eigen::Index>(i); }
  // Nominal films 20 and 8 W/m2K: the rule that stepper.hpp documents, found by bisection.
  static double theta_of(double x) {
    double low = 0.5, high = 1;
    for (int i = 0; i < 60; ++i) {
      const double theta = 0.5 * (low + high);
      ((1 - (1 - theta) * x) / (1 + theta * x) < std::exp(-x) ? low : high) = theta;
    }
    return low;
  }
  void choose_theta() {
    double inside_W_K = 0;
    for (std::size_t c = 0; c < cabin_.chains.size(); ++c) {
      const auto& chain = cabin_.chains[c];
      const std::size_t n = chain.C_J_K.size();
      inside_W_K += 3.2 * chain.area_m2;
      for (std::size_t i = 0; i < n; ++i) {
        double G = i + 1 < n ? chain.G_W_K[i] : 8.0 * chain.area_m2;
        if (i > 0) G += chain.G_W_K[i - 1];
        if (i == 0 && chain.outside != vehicle::Outside::adiabatic) G += 20.0 * chain.area_m2;
        theta_[index(first_[c] + i)] = theta_of(dt_s_ * G / chain.C_J_K[i]);
      }
    }
    theta_[index(air_)] = theta_of(dt_s_ * inside_W_K / C_[air_]);
    theta_[index(star_)] = 1.0;
  }
  void couple(std::size_t i, std::size_t j, double G) {
    A_(index(i), index(i)) += G;
    A_(index(j), index(j)) += G;
    A_(index(i), index(j)) -= G;
    A_(index(j), index(i)) -= G;
  }
  void boundary(std::size_t i, double G, double T_K) {
    A_(index(i), index(i)) += G;
    b_[index(i)] += G * T_K;
  }
  /// Tangent of sigma (T_seen^4 - T^4) at the face's temperature: h (T_eff - T).
  void radiate(std::size_t i, double area_eps, double T_seen_K) {
    const double T = T_[index(i)], sigma = core::kStefanBoltzmann_W_m2K4;
    const double h = 4 * sigma * area_eps * T * T * T;
    A_(index(i), index(i)) += h;
    b_[index(i)] += sigma * area_eps * (std::pow(T_seen_K, 4) - std::pow(T, 4)) + h * T;
  }
  void outside(const network::Chain& chain, std::size_t i, const network::Drive<1>& d) {
    const double A = chain.area_m2, e = chain.emittance_out_1 * A;
    const double law = d.film_still_W_m2K[0] + chain.wind_share_1 * d.film_wind_W_m2K[0];
    const double stated = chain.films.outside_W_m2K;
    if (chain.outside == vehicle::Outside::open_air) {
      boundary(i, (stated > 0 ? stated : law) * A, d.T_out_K[0]);
      radiate(i, e * chain.view.air_1, d.T_out_K[0]);
      radiate(i, e * chain.view.sky_1, d.T_sky_K[0]);
      radiate(i, e * chain.view.ground_1, d.T_ground_K[0]);
    } else if (chain.outside == vehicle::Outside::underbody) {
      boundary(i, (stated > 0 ? stated : law) * A, d.T_out_K[0]);
      radiate(i, e * chain.view.ground_1, d.T_under_K[0]);
    } else if (chain.outside == vehicle::Outside::fixed) {
      boundary(i, (stated > 0 ? stated : 20.0) * A, chain.T_fixed_K.at(0));
    }
  }
  void assemble(const network::Drive<1>& d) {
    A_ = Eigen::MatrixXd::Zero(index(n_), index(n_));
    b_ = Eigen::VectorXd::Zero(index(n_));
    for (std::size_t i = 0; i < n_; ++i)
      boundary(i, C_[i] / (theta_[index(i)] * dt_s_), T_[index(i)]);
    boundary(star_, 1e-9, T_[index(star_)]);
    boundary(air_, d.exchange_W_K[0], d.T_out_K[0]);
    b_[index(air_)] += d.air_W[0];
    b_[index(star_)] += d.radiant_W[0];
    const double star = 4.0 * core::kStefanBoltzmann_W_m2K4 * std::pow(T_[index(star_)], 3);
    for (std::size_t c = 0; c < cabin_.chains.size(); ++c) {
      const auto& chain = cabin_.chains[c];
      const std::size_t n = chain.C_J_K.size(), last = first_[c] + n - 1;
      outside(chain, first_[c], d);
      b_[index(first_[c])] += d.at[c].outer_W[0];
      b_[index(last)] += d.at[c].inner_W[0];
      for (std::size_t i = 0; i + 1 < n; ++i)
        couple(first_[c] + i, first_[c] + i + 1, chain.G_W_K[i]);
      const double dT = T_[index(last)] - T_[index(air_)];
      double film = (dT > 0 ? chain.film.surface_warmer : chain.film.surface_cooler) *
                    std::cbrt(std::abs(dT));
      film = std::max(film, network::kLeastInsideFilm_W_m2K) + d.mixing_W_m2K[0];
      if (chain.films.inside_W_m2K > 0) film = chain.films.inside_W_m2K;
      double ga = film * chain.area_m2, gs = chain.radiant_area_m2 * star;
      if (chain.films.inside_radiant_W_m2K > 0)
        gs = chain.films.inside_radiant_W_m2K * chain.area_m2;
      const double part = 1.0 / (1.0 + d.at[c].inside_cover_m2K_W[0] * (ga + gs) / chain.area_m2);
      couple(last, air_, ga * part);
      couple(last, star_, gs * part);
    }
  }

  const network::Cabin& cabin_;
  double dt_s_;
  std::vector<double> C_;
  std::vector<std::size_t> first_;
  std::size_t air_ = 0, star_ = 0, n_ = 0;
  Eigen::VectorXd theta_, T_, b_;
  Eigen::MatrixXd A_;
};

}  // namespace cabinload::test
