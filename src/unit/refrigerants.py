#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Specific enthalpies of refrigerants at the two ends of the evaporator, fitted to CoolProp.

Vapour leaving the evaporator: at the pressure whose dew point is S, superheated by a above S.
Liquid entering it: at the pressure whose dew point is D, cooled by b below the bubble point.
Polynomials with all terms (S/100)^i (a/100)^j, i + j <= 4, and (D/100)^i (b/100)^j, i + j <= 6, degC and K,
by least squares on a grid. The zero of enthalpy is the same for both; only their difference has a meaning.
Errors are those on a grid twice as fine, over the latent heat at 30 degC, the smallest of the range of S.

usage: refrigerants.py ROWS.inc VALUES.csv      needs CoolProp, numpy
writes the C++ rows (src/unit/refrigerants.inc) and values that the tests read
(tests/data/unit/refrigerants.csv), at states that lie off the grid of the fit
"""
import sys

import CoolProp
import numpy as np
from CoolProp.CoolProp import PropsSI

S_RANGE, SUPERHEAT, SUBCOOLING = (-30.0, 30.0), 25.0, 20.0
# refrigerant: highest dew point of the liquid's pressure; R410A is critical at 71.3 degC, R32 at 78.1 degC
HOTTEST = {"R134a": 75.0, "R1234yf": 75.0, "R290": 75.0, "R32": 65.0, "R410A": 60.0}
D_LOWEST = 0.0
VAPOUR_DEGREE, LIQUID_DEGREE = 4, 6


def vapour(fluid, s, superheat):
    p = PropsSI("P", "T", s + 273.15, "Q", 1, fluid)
    if superheat < 1e-9:
        return PropsSI("H", "P", p, "Q", 1, fluid)
    return PropsSI("H", "T", s + 273.15 + superheat, "P", p, fluid)


def liquid(fluid, d, subcooling):
    p = PropsSI("P", "T", d + 273.15, "Q", 1, fluid)
    if subcooling < 1e-9:
        return PropsSI("H", "P", p, "Q", 0, fluid)
    return PropsSI("H", "T", PropsSI("T", "P", p, "Q", 0, fluid) - subcooling, "P", p, fluid)


def terms(t, dt, degree):
    """Ascending total degree, within it the power of t falling: 1, t, dt, t2, t dt, dt2, ..."""
    return np.column_stack([(t / 100)**(n - j) * (dt / 100)**j for n in range(degree + 1) for j in range(n + 1)])


def grid(low, high, most, n, m):
    return (a.ravel() for a in np.meshgrid(np.linspace(low, high, n), np.linspace(0, most, m)))


def fit(function, fluid, low, high, most, degree):
    """Coefficients, and the largest error on the finer grid [J/kg]."""
    def values(t, dt):
        return np.array([function(fluid, *x) for x in zip(t, dt)])

    t, dt = grid(low, high, most, 31, 11)
    c = np.linalg.lstsq(terms(t, dt, degree), values(t, dt), rcond=None)[0]
    t, dt = grid(low, high, most, 61, 21)
    return c, np.max(np.abs(terms(t, dt, degree) @ c - values(t, dt)))


def row(c):
    return " {" + ",\n  ".join(", ".join(f"{k:.12g}" for k in c[i:i + 5]) for i in range(0, len(c), 5)) + "}"


def main():
    rows, values = sys.argv[1], sys.argv[2]
    inc = open(rows, "w", encoding="utf-8")
    csv = open(values, "w", encoding="utf-8")
    origin = f"src/unit/refrigerants.py with CoolProp {CoolProp.__version__}, numpy {np.__version__}"
    inc.write(f"// {origin}\n// clang-format off\n")
    csv.write(f"# {origin}\nrefrigerant,kind,dew_point_degC,superheat_or_subcooling_K,h_J_kg,latent_30C_J_kg\n")
    rng = np.random.default_rng(20261126)
    for fluid, hottest in HOTTEST.items():
        latent = vapour(fluid, 30, 0) - liquid(fluid, 30, 0)
        v, v_off = fit(vapour, fluid, *S_RANGE, SUPERHEAT, VAPOUR_DEGREE)
        q, q_off = fit(liquid, fluid, D_LOWEST, hottest, SUBCOOLING, LIQUID_DEGREE)
        print(f"{fluid:8s} worst error over the latent heat: vapour {v_off / latent:.1e}, liquid {q_off / latent:.1e}")
        inc.write(f'{{"{fluid}", {S_RANGE[0]:g}, {S_RANGE[1]:g}, {SUPERHEAT:g}, {D_LOWEST:g}, {hottest:g}, {SUBCOOLING:g}, '
                  f"{v_off / latent:.3e}, {q_off / latent:.3e},\n{row(v)},\n{row(q)}}},\n")
        for function, low, high, most in ((vapour, *S_RANGE, SUPERHEAT), (liquid, D_LOWEST, hottest, SUBCOOLING)):
            corners = [(t, dt) for t in (low, high) for dt in (0, most)]
            inner = np.column_stack([rng.uniform(low, high, 30), rng.uniform(0, most, 30)]).round(2)
            for t, dt in [*corners, *inner]:
                csv.write(f"{fluid},{function.__name__},{t:g},{dt:g},{function(fluid, t, dt):.2f},{latent:.2f}\n")


if __name__ == "__main__":
    main()
