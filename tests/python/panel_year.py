#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Monthly energy of 1 kW of panels on the shipped years by pvlib, as CSV for the C++ tests.

Two panels: flat on a roof (Faiman's law with 16.6 W/(m2 K) and 0.85 W s/(m3 K), as include/cabinload/power/
sources.hpp says for a roof) and set up facing south at 30 degrees (25 and 6.84). Sun's position (SPA), air mass,
Perez 1990 sky, cell temperature (Faiman) and power (linear in irradiance and cell temperature, -0.4 %/K) are pvlib's.

Ours are the rules that say what an hourly file means, the same as in tests/data/forcing/make_plane_values.py:
within the hour, beam constant over the part with the sun up, diffuse by the sine of the elevation, both scaled to the
hour's mean, six samples an hour; air and wind straight lines between the ends of the hours; wind at the panel 0.6 of
the file's; the file's albedo where it has one, else 0.2. Soiling 0.97 and controller 0.95 are factors.

usage: panel_year.py            writes tests/data/power/panel_year.csv
       panel_year.py --compare  computes it again and compares; exit 1 when it differs, 77 when a library is missing
Needs pvlib, numpy, pandas (Python registry).
"""
import importlib.metadata
import io
import sys

try:
    import numpy as np
    import pandas as pd
    import pvlib
    from make_reference import ROOT, YEARS, read_year
except ImportError as missing:
    print("skipped: a reference library is missing:", missing)
    sys.exit(77)
except SystemExit:  # make_reference misses one of its own
    sys.exit(77)

OUT = ROOT / "tests" / "data" / "power" / "panel_year.csv"
PANELS = [("roof", 0, 16.6, 0.85), ("portable", 30, 25.0, 6.84)]
GAMMA_1_K, SOILING, CONTROLLER, WIND = -0.004, 0.97, 0.95, 0.6
SAMPLES = 6


def air(file):
    """Dry bulb [degC] and wind [m/s] at the ends of the hours, and the albedo of the hours (0: unknown)."""
    path = ROOT / "weather" / file
    if file.endswith(".tm2"):  # columns of the TMY2 manual: dry bulb 68-71, wind speed 96-98, both in tenths
        lines = path.read_text(encoding="latin-1").splitlines()[1:]
        column = lambda a, b: np.array([float(x[a:b]) for x in lines])
        return column(67, 71) / 10, column(95, 98) / 10, np.zeros(len(lines))
    data = pd.read_csv(path, skiprows=1)
    return tuple(data[c].to_numpy(float) for c in ("Dry-bulb (C)", "Wspd (m/s)", "Alb (unitless)"))


def between(at_end, share):
    """Straight line from the end of the hour before to this one's; the year goes round."""
    return np.roll(at_end, 1) * (1 - share) + at_end * share


def months(file, lat, lon, alt, zone):
    day, hour, dni, dhi = read_year(file)
    T, wind, albedo = air(file)
    albedo = np.where(albedo > 0, albedo, 0.2)
    samples = []
    for k in range(SAMPLES):
        time = pd.DatetimeIndex(day + pd.to_timedelta(hour - 1, "h") + pd.to_timedelta((k + 0.5) * 60 / SAMPLES, "min"))
        sun = pvlib.solarposition.spa_python(time.tz_localize(f"Etc/GMT{-zone:+d}"), lat, lon, altitude=alt)
        zenith, azimuth = sun["zenith"].to_numpy(), sun["azimuth"].to_numpy()
        extra = pvlib.irradiance.get_extra_radiation(time, method="nrel").to_numpy()
        samples.append((zenith, azimuth, np.maximum(0, np.cos(np.radians(zenith))), extra, (k + 0.5) / SAMPLES))
    up = sum((s[2] > 0).astype(float) for s in samples)
    high = sum(s[2] for s in samples)
    for mount, tilt, u0, u1 in PANELS:
        Wh = np.zeros(len(dni))
        for zenith, azimuth, sine, extra, share in samples:
            with np.errstate(divide="ignore", invalid="ignore"):
                beam = np.nan_to_num(dni * SAMPLES * (sine > 0) / up)
                diffuse = np.nan_to_num(dhi * SAMPLES * sine / high)
            poa = pvlib.irradiance.get_total_irradiance(
                tilt, 180, zenith, azimuth, beam, diffuse + beam * sine, diffuse, dni_extra=extra,
                airmass=pvlib.atmosphere.get_relative_airmass(zenith), albedo=albedo, model="perez")
            plane = np.nan_to_num(np.asarray(poa["poa_global"], float))
            cell = pvlib.temperature.faiman(plane, between(T, share), WIND * between(wind, share), u0, u1)
            power = pvlib.pvsystem.pvwatts_dc(plane, cell, 1000.0, GAMMA_1_K)
            Wh += np.maximum(0, power) * SOILING * CONTROLLER / SAMPLES
        sums = pd.Series(Wh).groupby(day.dt.month.to_numpy()).sum() / 1000
        for month, kWh in sums.items():
            yield f"{file},{mount},{tilt},{month},{kWh:.4f}\n"


def table():
    origin = "# tests/python/panel_year.py with " + ", ".join(
        f"{n} {importlib.metadata.version(n)}" for n in ("pvlib", "numpy", "pandas")) + "\n"
    text = origin + "year,mount,tilt_deg,month,kWh\n"
    for place in YEARS:
        text += "".join(months(*place))
    return text


def main():
    fresh = table()
    if "--compare" not in sys.argv[1:]:
        OUT.write_text(fresh, encoding="utf-8")
        return 0
    kept, new = (pd.read_csv(io.StringIO(t), comment="#") for t in (OUT.read_text(encoding="utf-8"), fresh))
    keys = ["year", "mount", "tilt_deg", "month"]
    same = kept[keys].equals(new[keys]) and np.allclose(kept["kWh"], new["kWh"], rtol=1e-6, atol=2e-4)
    print("as committed" if same else "panel_year.csv differs")
    return 0 if same else 1


if __name__ == "__main__":
    sys.exit(main())
