// SPDX-License-Identifier: Apache-2.0
// The error of a step falls at the order that stepper.hpp states, on random linear networks whose
// exact solution is known from their eigenvalues.
#include <Eigen/Dense>
#include <cmath>
#include <random>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/sample_cabin.hpp"

namespace core = cabinload::core;
namespace network = cabinload::network;
namespace test = cabinload::test;
namespace vehicle = cabinload::vehicle;
using network::Lane;

namespace {

constexpr int kSamples = 500;
constexpr unsigned kSeed = 20261125;
constexpr double kAirDensity_kg_m3 = 1.15;  // of the air node, see stepper_layout.cpp

struct Sample {
  network::Cabin cabin;
  double exchange_W_K = 0, T_start_K = 0, T_out_K = 0, ramp_K_s = 0;
};

/// Chains of one to four nodes with stated films and no long wave, outdoors on a ramp. Every node
/// of a chain takes at least 200 s; the air does too, or at most 3 s.
class Sampler {
 public:
  Sample next(bool fast_air) {
    Sample s;
    double inside_W_K = 0;
    const int chains = static_cast<int>(between(1, 5));
    for (int c = 0; c < chains; ++c) {
      s.cabin.chains.push_back(chain());
      inside_W_K += s.cabin.chains.back().area_m2 * 5;  // no film is larger
    }
    s.exchange_W_K = between(0, 0.5) * inside_W_K;
    const double takes_s = fast_air ? between(0.3, 3) : between(200, 1000);
    s.cabin.volume_m3 = takes_s * (inside_W_K + s.exchange_W_K) /
                        (kAirDensity_kg_m3 * core::kSpecificHeatDryAir_J_kgK);
    s.T_start_K = between(280, 310);
    s.T_out_K = between(270, 320);
    s.ramp_K_s = between(1, 4) / 3600 * (between(0, 1) > 0.5 ? 1 : -1);
    return s;
  }

 private:
  double between(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random_);
  }
  network::Chain chain() {
    network::Chain c;
    c.name = "chain";
    c.area_m2 = between(1, 10);
    c.outside = between(0, 1) > 0.3 ? vehicle::Outside::open_air : vehicle::Outside::adiabatic;
    c.films.inside_W_m2K = between(1, 5);
    c.films.outside_W_m2K = c.outside == vehicle::Outside::open_air ? between(5, 20) : 0;
    const int nodes = static_cast<int>(between(1, 5));
    for (int i = 0; i + 1 < nodes; ++i) c.G_W_K.push_back(c.area_m2 * between(0.5, 20));
    for (int i = 0; i < nodes; ++i) {
      // Nominal films of stepper_layout.cpp: 8 inside, 20 outside.
      const double in = i + 1 < nodes ? c.G_W_K[static_cast<std::size_t>(i)] : 8 * c.area_m2;
      const double out = i > 0 ? c.G_W_K[static_cast<std::size_t>(i) - 1] : 20 * c.area_m2;
      c.C_J_K.push_back((in + out) * between(200, 2000));
    }
    return c;
  }
  std::mt19937 random_{kSeed};
};

/// C dT/dt = -G T + g (T_out + ramp t), solved in the eigenvectors of C^-1/2 G C^-1/2. Nodes chain
/// by chain, the air last.
class Exact {
 public:
  explicit Exact(const Sample& s) : s_(s) {
    const auto n = static_cast<Eigen::Index>(s.cabin.nodes()) - 2;  // without air and star
    Eigen::MatrixXd G = Eigen::MatrixXd::Zero(n + 1, n + 1);
    Eigen::VectorXd C(n + 1), out = Eigen::VectorXd::Zero(n + 1);
    const auto couple = [&](Eigen::Index i, Eigen::Index j, double W_K) {
      G(i, i) += W_K, G(j, j) += W_K, G(i, j) -= W_K, G(j, i) -= W_K;
    };
    Eigen::Index first = 0;
    for (const network::Chain& c : s.cabin.chains) {
      const auto last = first + static_cast<Eigen::Index>(c.C_J_K.size()) - 1;
      for (Eigen::Index i = first; i <= last; ++i) {
        C[i] = c.C_J_K[static_cast<std::size_t>(i - first)];
        if (i < last) couple(i, i + 1, c.G_W_K[static_cast<std::size_t>(i - first)]);
      }
      out[first] += c.films.outside_W_m2K * c.area_m2;
      couple(last, n, c.films.inside_W_m2K * c.area_m2);
      first = last + 1;
    }
    C[n] = s.cabin.volume_m3 * kAirDensity_kg_m3 * core::kSpecificHeatDryAir_J_kgK;
    out[n] += s.exchange_W_K;
    G.diagonal() += out;
    root_ = C.cwiseSqrt();
    const Eigen::VectorXd over = root_.cwiseInverse();
    solver_.compute(over.asDiagonal() * G * over.asDiagonal());
    const Eigen::MatrixXd& V = solver_.eigenvectors();
    start_ = V.transpose() * root_ * s.T_start_K;
    out_ = V.transpose() * (over.asDiagonal() * out);
  }
  [[nodiscard]] Eigen::VectorXd at(double t_s) const {
    Eigen::VectorXd y(start_.size());
    for (Eigen::Index i = 0; i < y.size(); ++i) {
      const double rate = solver_.eigenvalues()[i], x = rate * t_s;
      // Integrals of exp(-rate (t - u)) and of u exp(-rate (t - u)) over 0..t; a network without
      // outdoors has a mode of rate 0.
      const double one = x < 1e-8 ? t_s : -std::expm1(-x) / rate;
      const double ramp = x < 1e-8 ? 0.5 * t_s * t_s : (t_s - one) / rate;
      y[i] = start_[i] * std::exp(-x) + out_[i] * (s_.T_out_K * one + s_.ramp_K_s * ramp);
    }
    return (solver_.eigenvectors() * y).cwiseQuotient(root_);
  }

 private:
  const Sample& s_;
  Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver_;
  Eigen::VectorXd root_, start_, out_;
};

struct Error {
  double chains_K = 0, air_K = 0;
};

/// Root mean square over two hours, seen every 10 min.
Error error_of(const Sample& s, const Exact& exact, double dt_s) {
  constexpr int kLooks = 12;
  constexpr double kLook_s = 600;
  network::Stepper<1> stepper(std::span(&s.cabin, 1), dt_s);
  network::Drive<1> drive(s.cabin.chains.size());
  drive.exchange_W_K = s.exchange_W_K;
  stepper.start_at(Lane<1>::Constant(s.T_start_K));
  Error sum;
  const long steps_a_look = std::lround(kLook_s / dt_s);
  for (long i = 1; i <= kLooks * steps_a_look; ++i) {
    const double t_s = static_cast<double>(i) * dt_s;
    drive.T_out_K = s.T_out_K + s.ramp_K_s * (t_s - 0.5 * dt_s);
    (void)stepper.prepare(drive);
    stepper.finish(drive, Lane<1>::Zero());
    if (i % steps_a_look != 0) continue;
    const Eigen::VectorXd T_K = exact.at(t_s);
    const Eigen::Index n = T_K.size() - 1;
    for (Eigen::Index k = 0; k < n; ++k)
      sum.chains_K += std::pow(stepper.T_node_K(static_cast<std::size_t>(k)) - T_K[k], 2) /
                      static_cast<double>(n * kLooks);
    sum.air_K += std::pow(stepper.T_air_K()[0] - T_K[n], 2) / kLooks;
  }
  return {std::sqrt(sum.chains_K), std::sqrt(sum.air_K)};
}

void tell(const char* what, const test::Worst& worst, double bar, const char* unit) {
  worst.record("Laws on samples", what, "seed 20261125, 500 networks against their eigenvalues",
               bar, unit);
}

}  // namespace

TEST_CASE("network: halving the step halves the error at the stated order", "[network][property]") {
  // stepper.hpp: order 2 for nodes slower than the step. A node faster than it follows it: order 1
  // or better (it lags a ramp by half a step), and little is left of a jump of up to 40 K, in
  // chains beside such a node too.
  constexpr double kOff_1 = 0.1, kFast_K = 0.15, kBeside_K = 0.01;
  Sampler sampler;
  test::Worst slow, fast, fast_K, beside_K;
  for (int i = 0; i < kSamples; ++i)
    for (const bool fast_air : {false, true}) {
      const Sample s = sampler.next(fast_air);
      const Exact exact(s);
      const Error at60 = error_of(s, exact, 60), at30 = error_of(s, exact, 30);
      const double chains = std::log2(at60.chains_K / at30.chains_K),
                   air = std::log2(at60.air_K / at30.air_K);
      INFO("sample " << i << (fast_air ? ", fast air" : ", slow air") << ": chains " << chains
                     << " from " << at60.chains_K << " K, air " << air << " from " << at60.air_K
                     << " K");
      if (fast_air) {
        CHECK(fast.see(std::min(air, 1.0), 1) < kOff_1);
        CHECK(fast_K.see(at60.air_K, 0) < kFast_K);
        CHECK(beside_K.see(at60.chains_K, 0) < kBeside_K);
        continue;
      }
      CHECK(slow.see(chains, 2) < kOff_1);
      CHECK(slow.see(air, 2) < kOff_1);
    }
  tell("nodes slower than the step: order of the error as the step is halved, off 2 by at most",
       slow, kOff_1, "1");
  tell("air faster than the step: order of its error as the step is halved, below 1 by at most",
       fast, kOff_1, "1");
  tell("air faster than the step: its own error, steps of 60 s, worst", fast_K, kFast_K, "K");
  tell("air faster than the step: error of the walls beside it, steps of 60 s, worst", beside_K,
       kBeside_K, "K");
}
