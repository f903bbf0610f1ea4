#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Generic factors of a small DC unit from an ideal vapour-compression cycle.

For each refrigerant: a compressor of given swept volume at speed s of full, superheat 5 K, subcooling 5 K,
isentropic efficiency 0.65, volumetric efficiency 1. The coils are approaches that grow with the heat they
pass: evaporation 12 K x (heat over rated) below the wet bulb, condensation 15 K x (heat over rated) above the
condenser inlet (engineering judgement for small coils; both solved together). Total capacity and compressor
power over wet bulb x, condenser inlet y and speed s, over their values at 19.44 / 35 degC / full speed
(AHRI 210/240 condition A), fitted by least squares to all terms x^i y^j s^k of degree 3 and less, then scaled
to be exactly 1 at that point. Cabin air flow f of full: the evaporator's approach divides by
(1 - exp(-1.6 / f)) f / (1 - exp(-1.6)); capacity and power at the rating point as parabolas in f.

usage: generic_factors.py ROWS.inc VALUES.csv      needs CoolProp, numpy
writes the C++ rows (src/unit/generic_factors.inc) and the computed values that the tests read
"""
import sys

import CoolProp
import numpy as np
from CoolProp.CoolProp import PropsSI

SUPERHEAT_K, SUBCOOLING_K, EFFICIENCY, EVAPORATOR_K, CONDENSER_K, NTU = 5.0, 5.0, 0.65, 12.0, 15.0, 1.6
RATED = (19.44, 35.0, 1.0)
# refrigerant: hottest condenser inlet of the fit; R410A is critical at 71.3 degC
FLUIDS = {"R134a": 60.0, "R1234yf": 60.0, "R290": 60.0, "R32": 55.0, "R410A": 47.5}
POWERS = [(i, j, k) for n in range(4) for i in range(n, -1, -1) for j in range(n - i, -1, -1) for k in [n - i - j]]


def cycle(fluid, t_e, t_c):
    """Capacity and power per swept volume [J/m3] between two saturation temperatures [degC]."""
    t_e, t_c = t_e + 273.15, t_c + 273.15
    p_e, p_c = PropsSI("P", "T", t_e, "Q", 1, fluid), PropsSI("P", "T", t_c, "Q", 0, fluid)
    h1 = PropsSI("H", "T", t_e + SUPERHEAT_K, "P", p_e, fluid)
    s1 = PropsSI("S", "T", t_e + SUPERHEAT_K, "P", p_e, fluid)
    density = PropsSI("D", "T", t_e + SUPERHEAT_K, "P", p_e, fluid)
    h2s = PropsSI("H", "S", s1, "P", p_c, fluid)
    h3 = PropsSI("H", "T", t_c - SUBCOOLING_K, "P", p_c, fluid)
    return density * (h1 - h3), density * (h2s - h1) / EFFICIENCY


def unit(fluid, x, y, s, rated, f=1.0):
    """Capacity and power in units of the swept volume at full speed; rated: the same at the rating point."""
    q, p = rated[0] * s, rated[1] * s
    coil = f * (1 - np.exp(-NTU / f)) / (1 - np.exp(-NTU))
    for _ in range(60):
        t_e = x - EVAPORATOR_K * q / rated[0] / coil
        t_c = y + CONDENSER_K * (q + p) / (rated[0] + rated[1])
        new = [s * v for v in cycle(fluid, t_e, t_c)]
        done = abs(new[0] - q) < 1e-7 * rated[0]
        q, p = 0.5 * (q + new[0]), 0.5 * (p + new[1])
        if done:
            break
    return q, p


def terms(x, y, s):
    return np.column_stack([x**i * y**j * s**k for i, j, k in POWERS])


def fit(grid, v, rated_terms):
    c = np.linalg.lstsq(terms(*grid), v, rcond=None)[0]
    c /= (rated_terms @ c)[0]
    return c, np.max(np.abs(terms(*grid) @ c - v))


def main():
    rows, values = sys.argv[1], sys.argv[2]
    inc = open(rows, "w", encoding="utf-8")
    csv = open(values, "w", encoding="utf-8")
    origin = f"src/unit/generic_factors.py with CoolProp {CoolProp.__version__}, numpy {np.__version__}"
    inc.write(f"// {origin}\n// clang-format off\n")
    csv.write(f"# {origin}: over the rating point\nrefrigerant,wet_bulb_degC,condenser_degC,speed_1,flow_1,"
              "capacity_1,power_1\n")
    rated_terms = terms(*(np.array([v]) for v in RATED))
    for fluid, hottest in FLUIDS.items():
        rated = cycle(fluid, RATED[0] - EVAPORATOR_K, RATED[1] + CONDENSER_K)
        x, y, s = (a.ravel() for a in np.meshgrid(np.arange(8, 28.1, 2), np.arange(15, hottest + 0.1, 2.5),
                                                  np.linspace(0.25, 1, 7)))
        at = np.array([unit(fluid, *p, rated) for p in zip(x, y, s)]) / np.array(rated)
        fits = [fit((x, y, s), v, rated_terms) for v in at.T]
        flow = np.linspace(0.4, 1.2, 9)
        moved = np.array([unit(fluid, *RATED, rated, f) for f in flow]) / np.array(rated)
        curves = [np.linalg.lstsq(np.column_stack([(flow - 1), (flow - 1)**2]), v - 1, rcond=None)[0] for v in moved.T]
        curve_error = max(np.max(np.abs(1 + (flow - 1) * c[0] + (flow - 1)**2 * c[1] - v)) for c, v in zip(curves, moved.T))
        print(f"{fluid:8s} worst error of rated: capacity {100 * fits[0][1]:.2f} %, power {100 * fits[1][1]:.2f} %, "
              f"flow {100 * curve_error:.2f} %; ideal COP {rated[0] / rated[1]:.2f}")
        inc.write(f'{{"{fluid}", 8, 28, 15, {hottest:g}, 0.25, {fits[0][1]:.4f}, {fits[1][1]:.4f},\n')
        for c, _ in fits:
            inc.write(" {{" + ", ".join(f"{k:.9g}" for k in c) + "}},\n")
        inc.write(" " + ", ".join("{{" + ", ".join(f"{k:.6g}" for k in c) + "}}" for c in curves) + "},\n")
        for n, (a, b, c, (q, p)) in enumerate(zip(x, y, s, at)):
            if n % 11 == 3:
                csv.write(f"{fluid},{a:g},{b:g},{c:g},1,{q:.6f},{p:.6f}\n")
        for f, (q, p) in zip(flow, moved):
            csv.write(f"{fluid},{RATED[0]:g},{RATED[1]:g},1,{f:g},{q:.6f},{p:.6f}\n")


if __name__ == "__main__":
    main()
