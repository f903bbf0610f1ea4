// SPDX-License-Identifier: Apache-2.0
// The continuous cabin by SUNDIALS CVODE (BDF, dense).
#pragma once
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_config.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <stdexcept>

#include "support/continuous_cabin.hpp"

namespace cabinload::test {

inline int cvode_rates(double t_s, N_Vector T, N_Vector dT, void* user) {
  static_cast<Equations*>(user)->rates(t_s, N_VGetArrayPointer(T), N_VGetArrayPointer(dT));
  return 0;
}

/// How exact, and after how long it is stopped and begun anew (at most a slot).
struct CvodeSettings {
  double relative_1 = 1e-10, absolute_K = 1e-8, stop_s = 600;
};

/// Air at the end of every slot [K]; unit_W(t_s) is the heat of a unit to the air, constant within
/// a slot.
/// @throws std::runtime_error  CVODE gave up
template <class UnitW>
std::vector<double> by_cvode(const World& world, int days, double start_K, CvodeSettings settings,
                             UnitW unit_W) {
  Equations e = equations_of(world);
  const std::size_t n = nodes_of(world);
  const auto size = static_cast<sunindextype>(n);
  SUNContext context = nullptr;
#if SUNDIALS_VERSION_MAJOR >= 7
  SUNContext_Create(SUN_COMM_NULL, &context);
#else
  SUNContext_Create(nullptr, &context);
#endif
  N_Vector T = N_VNew_Serial(size, context);
  N_VConst(start_K, T);
  void* solver = CVodeCreate(CV_BDF, context);
  CVodeInit(solver, cvode_rates, 0.0, T);
  CVodeSStolerances(solver, settings.relative_1, settings.absolute_K);
  CVodeSetUserData(solver, &e);
  CVodeSetMaxNumSteps(solver, 100000);
  SUNMatrix A = SUNDenseMatrix(size, size, context);
  SUNLinearSolver linear = SUNLinSol_Dense(T, A, context);
  CVodeSetLinearSolver(solver, linear, A);
  std::vector<double> air_K;
  for (int s = 0; s < days * 144; ++s) {
    enter_slot(world, 600.0 * s, unit_W, e);
    for (double from_s = 600.0 * s; from_s < 600.0 * (s + 1) - 1e-6; from_s += settings.stop_s) {
      CVodeReInit(solver, from_s, T);
      CVodeSetStopTime(solver, from_s + settings.stop_s);
      double t_s = from_s;
      if (CVode(solver, from_s + settings.stop_s, T, &t_s, CV_NORMAL) < 0)
        throw std::runtime_error("CVODE gave up");
    }
    air_K.push_back(N_VGetArrayPointer(T)[n - 1]);
  }
  SUNLinSolFree(linear);
  SUNMatDestroy(A);
  CVodeFree(&solver);
  N_VDestroy(T);
  SUNContext_Free(&context);
  return air_K;
}

}  // namespace cabinload::test
