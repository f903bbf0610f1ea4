#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Generic factors of a small DC unit from an ideal vapour-compression cycle.

For each refrigerant: swept volume of a fixed-speed compressor, superheat 5 K, subcooling 5 K, isentropic
efficiency 0.65, evaporating temperature = wet bulb - 12 K, condensing temperature = condenser inlet + 15 K
(engineering judgement for small coils). Total capacity and compressor power over wet bulb 10..26 degC and
condenser inlet 15..60 degC, normalised at 19.44 / 35 degC (AHRI 210/240 A), fitted to
  c0 + c1 x + c2 x2 + c3 y + c4 y2 + c5 x y
by least squares, then scaled to be exactly 1 at the rating point. Prints C++ rows and the largest error;
writes the computed values of the shipped refrigerant as CSV.

usage: generic_factors.py [VALUES.csv]      needs CoolProp, numpy
"""
import sys

import CoolProp
import numpy as np
from CoolProp.CoolProp import PropsSI

SUPERHEAT_K, SUBCOOLING_K, EFFICIENCY, EVAPORATOR_K, CONDENSER_K = 5.0, 5.0, 0.65, 12.0, 15.0
WET_BULB = np.arange(10.0, 26.01, 1.0)
CONDENSER = np.arange(15.0, 60.01, 2.5)
RATED = (19.44, 35.0)


def cycle(fluid, wet_bulb, condenser):
    """Capacity and power per swept volume [J/m3]."""
    t_e, t_c = wet_bulb - EVAPORATOR_K + 273.15, condenser + CONDENSER_K + 273.15
    p_e, p_c = PropsSI("P", "T", t_e, "Q", 1, fluid), PropsSI("P", "T", t_c, "Q", 0, fluid)
    h1 = PropsSI("H", "T", t_e + SUPERHEAT_K, "P", p_e, fluid)
    s1 = PropsSI("S", "T", t_e + SUPERHEAT_K, "P", p_e, fluid)
    density = PropsSI("D", "T", t_e + SUPERHEAT_K, "P", p_e, fluid)
    h2s = PropsSI("H", "S", s1, "P", p_c, fluid)
    h3 = PropsSI("H", "T", t_c - SUBCOOLING_K, "P", p_c, fluid)
    return density * (h1 - h3), density * (h2s - h1) / EFFICIENCY


def terms(x, y):
    return np.column_stack([np.ones_like(x), x, x * x, y, y * y, x * y])


def main():
    x, y = (a.ravel() for a in np.meshgrid(WET_BULB, CONDENSER))
    for fluid in ["R134a", "R1234yf", "R290", "R32"]:
        rated = cycle(fluid, *RATED)
        values = np.array([cycle(fluid, a, b) for a, b in zip(x, y)]) / np.array(rated)
        for name, v in zip(["capacity", "power"], values.T):
            c = np.linalg.lstsq(terms(x, y), v, rcond=None)[0]
            c /= (terms(np.array([RATED[0]]), np.array([RATED[1]])) @ c)[0]
            error = np.max(np.abs(terms(x, y) @ c - v))
            print(f"{fluid:8s} {name:9s} worst error {100 * error:.2f} % of rated: "
                  "{" + ", ".join(f"{k:.8g}" for k in c) + "}")
        if fluid == "R134a" and len(sys.argv) > 1:
            with open(sys.argv[1], "w", encoding="utf-8") as out:
                out.write(f"# src/unit/generic_factors.py, CoolProp {CoolProp.__version__}, numpy {np.__version__}, "
                          f"{fluid}: over the rating point\nwet_bulb_degC,condenser_degC,capacity_1,power_1\n")
                for a, b, (q, p) in zip(x, y, values):
                    if a % 4 == 2 and b % 5 == 0:
                        out.write(f"{a:g},{b:g},{q:.6f},{p:.6f}\n")


if __name__ == "__main__":
    main()
