#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Ten-coefficient sheet of one ideal compressor, and balance points between two coils, as CSV for the C++ tests.

The compressor (invented): R134a, 1.05 l/s swept, clearance 4 % re-expanding along the isentrope,
isentropic efficiency 0.65, superheat 5 K, subcooling 5 K, computed with CoolProp over suction dew points -15 to
20 degC and discharge dew points 25 to 65 degC, then fitted by least squares: capacity, mass flow and power in SI
and degC, and once more, on its own, in BTU/h, lb/h and degF.

Balance points: scipy's fsolve on both dew points at once, moist air by PsychroLib, the coil's two states
(dry, wet) computed apart and chosen by the dew point of the inlet. Three compressors: the capacity sheet, the
mass-flow sheet with enthalpies straight from CoolProp, and the compressor itself without polynomials.

usage: balance_point.py            writes tests/data/unit/compressor_sheet.csv and balance_points.csv
       balance_point.py --compare  computes them again and compares; exit 1 when they differ, 77 when
                                   a library is missing
Needs CoolProp, psychrolib, numpy, scipy (Python registry).
"""
import importlib.metadata
import io
import pathlib
import sys

try:
    import numpy as np
    import psychrolib
    import scipy.optimize
    from CoolProp.CoolProp import PropsSI
except ImportError as missing:
    print("skipped: a reference library is missing:", missing)
    sys.exit(77)

OUT = pathlib.Path(__file__).resolve().parent.parent / "data" / "unit"
FLUID, SWEPT_M3_S, CLEARANCE, EFFICIENCY, SUPERHEAT_K, SUBCOOLING_K = "R134a", 1.05e-3, 0.04, 0.65, 5.0, 5.0
S_GRID, D_GRID = np.arange(-15, 20.1, 2.5), np.arange(25, 65.1, 2.5)
BTU_H_W, LB_H_KG_S = 1055.05585262 / 3600, 0.45359237 / 3600
EVAPORATOR_UA, EVAPORATOR_FLOW, CONDENSER_UA, CONDENSER_FLOW = 180.0, 0.11, 300.0, 0.30


def enthalpies(s, d):
    """Vapour leaving the evaporator, liquid entering it [J/kg]."""
    h1 = PropsSI("H", "T", s + 273.15 + SUPERHEAT_K, "P", PropsSI("P", "T", s + 273.15, "Q", 1, FLUID), FLUID)
    h3 = PropsSI("H", "T", d + 273.15 - SUBCOOLING_K, "P", PropsSI("P", "T", d + 273.15, "Q", 1, FLUID), FLUID)
    return h1, h3


def compressor(s, d):
    """Mass flow [kg/s], capacity [W], power [W] at full speed."""
    p_s, p_d = (PropsSI("P", "T", t + 273.15, "Q", 1, FLUID) for t in (s, d))
    h1, h3 = enthalpies(s, d)
    rho1, entropy = (PropsSI(k, "H", h1, "P", p_s, FLUID) for k in "DS")
    h2s, rho2s = (PropsSI(k, "P", p_d, "S", entropy, FLUID) for k in "HD")
    flow = SWEPT_M3_S * rho1 * (1 + CLEARANCE - CLEARANCE * rho2s / rho1)
    return flow, flow * (h1 - h3), flow * (h2s - h1) / EFFICIENCY


def terms(s, d):
    return np.array([1 + 0 * s, s, d, s**2, s * d, d**2, s**3, d * s**2, s * d**2, d**3])


def sheet():
    """Rows of name and ten coefficients, and the largest errors of the fit."""
    s, d = (a.ravel() for a in np.meshgrid(S_GRID, D_GRID))
    flow, capacity, power = np.array([compressor(*x) for x in zip(s, d)]).T
    rows, errors = {}, {}
    for name, v, f in (("capacity_W", capacity, 0), ("mass_flow_kg_s", flow, 0), ("power_W", power, 0),
                       ("capacity_BTU_h", capacity / BTU_H_W, 1), ("mass_flow_lb_h", flow / LB_H_KG_S, 1),
                       ("power_W_degF", power, 1)):
        A = (terms(1.8 * s + 32, 1.8 * d + 32) if f else terms(s, d)).T
        size = np.linalg.norm(A, axis=0)
        rows[name] = np.linalg.lstsq(A / size, v, rcond=None)[0] / size
        errors[name] = np.max(np.abs(A @ rows[name] / v - 1))
    return rows, errors


def inlets():
    """Dry and wet coils, sea level and 1500 m, speeds 0.3 to 1; some outside the sheet's range are left out later."""
    rng = np.random.default_rng(20261127)
    for n in range(96):
        t, speed = round(rng.uniform(18, 36), 2), round(rng.uniform(0.3, 1), 3)
        p = 101325.0 if n % 3 else psychrolib.GetStandardAtmPressure(1500.0)
        relative = rng.uniform(0.05, 0.25) if n % 2 else rng.uniform(0.4, 0.9)
        W = round(psychrolib.GetHumRatioFromRelHum(t, relative, p), 6)
        yield t, W, round(p), round(rng.uniform(18, 46), 2), speed


def coil(t, W, p, s, wet):
    """Heat taken from the air [W]."""
    dry_air_kg_s = EVAPORATOR_FLOW / psychrolib.GetMoistAirVolume(t, W, p)
    h = psychrolib.GetMoistAirEnthalpy
    cp = h(t + 0.5, W) - h(t - 0.5, W)
    effectiveness = 1 - np.exp(-EVAPORATOR_UA / (dry_air_kg_s * cp))
    if not wet:
        return effectiveness * dry_air_kg_s * cp * (t - s)
    return effectiveness * dry_air_kg_s * (h(t, W) - psychrolib.GetSatAirEnthalpy(s, p))


def condenser_W_K(t, p):
    C = CONDENSER_FLOW / psychrolib.GetDryAirVolume(t, p) * (psychrolib.GetDryAirEnthalpy(1) - psychrolib.GetDryAirEnthalpy(0))
    return C * (1 - np.exp(-CONDENSER_UA / C))


def balance(machine, t, W, p, t_out, speed):
    """S, D [degC], capacity, power [W], wet. machine(s, d) gives capacity and power at full speed."""
    conductance = condenser_W_K(t_out, p)
    for wet in (False, True):
        def off(x):
            q, power = (speed * v for v in machine(*x))
            return [(coil(t, W, p, x[0], wet) - q) / 1e3, x[1] - t_out - (q + power) / conductance]

        x, _, state, why = scipy.optimize.fsolve(off, [t - 12, t_out + 10], xtol=1e-12, full_output=True)
        if max(abs(v) for v in off(x)) > 1e-8:
            raise RuntimeError(f"no balance: {why}")
        if wet or x[0] >= psychrolib.GetTDewPointFromHumRatio(t, W, p):
            return (*x, *(speed * v for v in machine(*x)), wet)


def points(rows):
    def by_capacity(s, d):
        return rows["capacity_W"] @ terms(s, d), rows["power_W"] @ terms(s, d)

    def by_mass_flow(s, d):
        h1, h3 = enthalpies(s, d)
        return (rows["mass_flow_kg_s"] @ terms(s, d)) * (h1 - h3), rows["power_W"] @ terms(s, d)

    def itself(s, d):
        return compressor(s, d)[1:]

    for inlet in inlets():
        found = [balance(m, *inlet) for m in (by_capacity, by_mass_flow, itself)]
        if all(S_GRID[0] <= s <= S_GRID[-1] and D_GRID[0] <= d <= D_GRID[-1] for s, d, *_ in found):
            yield inlet, found


def tables():
    psychrolib.SetUnitSystem(psychrolib.SI)
    origin = "# tests/python/balance_point.py with " + ", ".join(
        f"{n} {importlib.metadata.version(n)}" for n in ("CoolProp", "psychrolib", "numpy", "scipy")) + "\n"
    rows, errors = sheet()
    worst = "# largest error of the fits, relative: " + ", ".join(f"{n} {e:.1e}" for n, e in errors.items()) + "\n"
    text = origin + worst + "what," + ",".join(f"C{i}" for i in range(10)) + "\n"
    for name, c in rows.items():
        text += name + "," + ",".join(f"{v:.15g}" for v in c) + "\n"
    out = origin + (f"# evaporator UA {EVAPORATOR_UA:g} W/K, flow {EVAPORATOR_FLOW:g} m3/s; condenser UA {CONDENSER_UA:g} W/K, "
                    f"flow {CONDENSER_FLOW:g} m3/s\n")
    kinds = ("capacity_sheet", "mass_flow_sheet", "compressor")
    out += "T_evaporator_degC,W_1,p_Pa,T_condenser_degC,speed_1,wet," + ",".join(
        f"{k}_{v}" for k in kinds for v in ("S_degC", "D_degC", "capacity_W", "power_W")) + "\n"
    for inlet, found in points(rows):
        out += ",".join(f"{v:g}" for v in inlet) + f",{int(found[0][4])},"
        out += ",".join(f"{v:.6f}" for f in found for v in f[:4]) + "\n"
    return {"compressor_sheet.csv": text, "balance_points.csv": out}


def differs(name, fresh):
    def numbers(text):
        lines = [x for x in text.splitlines() if not x.startswith("#")][1:]
        return np.genfromtxt(io.StringIO("\n".join(x.split(",", 1)[1] for x in lines)), delimiter=",")

    kept, new = numbers((OUT / name).read_text(encoding="utf-8")), numbers(fresh)
    return kept.shape != new.shape or not np.allclose(kept, new, rtol=1e-5, atol=1e-5 if "points" in name else 0)


def main():
    fresh = tables()
    if "--compare" in sys.argv[1:]:
        wrong = [n for n, text in fresh.items() if differs(n, text)]
        print("\n".join(n + " differs" for n in wrong) if wrong else "all as committed")
        return 1 if wrong else 0
    for name, text in fresh.items():
        (OUT / name).write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
