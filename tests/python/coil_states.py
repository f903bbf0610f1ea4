#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Independent solution of a wet or dry cooling coil over 200 states: tests/data/unit/coil_states.csv.

The coil cools a share (1 - bypass) of the air to saturation at its apparatus dew point, the rest
passes; its total heat is given. Humid air by PsychroLib, the apparatus dew point by a root of
scipy's. Sensible heat is what the leaving air's temperature says, latent the rest of the total.
Usage: coil_states.py [--compare]   (--compare: exit 1 when the committed file differs, 77 without
the libraries)
"""
import pathlib
import random
import sys

try:
    import numpy as np
    import psychrolib
    import scipy
    from scipy.optimize import brentq
except ImportError as e:
    print("skipped:", e)
    sys.exit(77)

OUT = pathlib.Path(__file__).resolve().parent.parent / "data" / "unit" / "coil_states.csv"
psychrolib.SetUnitSystem(psychrolib.SI)


def coil(T, W, p, flow, total, bypass):
    """Apparatus dew point, leaving temperature and humidity, sensible and latent heat."""
    h = psychrolib.GetMoistAirEnthalpy(T, W)
    adp = brentq(lambda t: psychrolib.GetSatAirEnthalpy(t, p) - (h - total / (flow * (1 - bypass))),
                 -40, T, xtol=1e-10)
    W_adp = psychrolib.GetSatHumRatio(adp, p)
    W_out = W - (1 - bypass) * (W - W_adp) if W_adp < W else W
    T_out = psychrolib.GetTDryBulbFromEnthalpyAndHumRatio(h - total / flow, W_out)
    sensible = flow * (psychrolib.GetMoistAirEnthalpy(T, W_out) - psychrolib.GetMoistAirEnthalpy(T_out, W_out))
    return adp, T_out, W_out, sensible, total - sensible


def table():
    rng = random.Random(44)
    text = (f"# tests/python/coil_states.py with PsychroLib 2.5.0, scipy {scipy.__version__}\n"
            "T_degC,W_1,p_Pa,flow_kg_s,total_W,bypass_1,T_adp_degC,T_out_degC,W_out_1,sensible_W,latent_W\n")
    count = 0
    while count < 200:
        T, rh = rng.uniform(18, 40), rng.uniform(0.08, 0.95)
        p = rng.choice([101325, 95000, 84500, 75000])
        W = psychrolib.GetHumRatioFromRelHum(T, rh, p)
        flow, bypass = rng.uniform(0.03, 0.3), rng.uniform(0.03, 0.5)
        state = [float(f"{v:.8g}") for v in (T, W, p, flow, flow * rng.uniform(4e3, 3.5e4), bypass)]
        try:
            found = coil(*state)
        except ValueError:
            continue
        if found[0] < 0.5:  # frost is another matter
            continue
        count += 1
        text += ",".join(f"{v:.8g}" for v in state) + "," + ",".join(f"{v:.8g}" for v in found) + "\n"
    return text


def main():
    fresh = table()
    if "--compare" in sys.argv[1:]:
        def numbers(text):
            return np.array([[float(v) for v in x.split(",")] for x in text.splitlines()[2:]])
        same = np.allclose(numbers(OUT.read_text(encoding="utf-8")), numbers(fresh), rtol=1e-6, atol=1e-6)
        print("as committed" if same else f"{OUT.name} differs")
        return 0 if same else 1
    OUT.write_text(fresh, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
