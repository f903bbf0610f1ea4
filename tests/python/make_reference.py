#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Values of reference libraries as CSV, for the C++ tests: sun, tilted irradiance, moist air, comfort.

usage: make_reference.py            writes tests/data/reference/*.csv and versions.csv
       make_reference.py --compare  computes them again and compares; exit 1 when they differ, 77 when
                                    a library is missing
Needs pvlib, psychrolib, CoolProp, pythermalcomfort, numpy, pandas (Python registry). Samples are
drawn with a fixed seed.
"""
import importlib.metadata
import io
import pathlib
import sys

try:
    import numpy as np
    import pandas as pd
    import psychrolib
    import pvlib
    from CoolProp.HumidAirProp import HAPropsSI
    from pythermalcomfort.models import heat_index_rothfusz, pmv_ppd_iso
except ImportError as missing:
    print("skipped: a reference library is missing:", missing)
    sys.exit(77)

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
OUT = ROOT / "tests" / "data" / "reference"
SITES = [("Phoenix", 33.45, -112.07, 340), ("Miami", 25.79, -80.32, 2), ("Anchorage", 61.17, -150.0, 40),
         ("Quito", -0.18, -78.47, 2850), ("Sydney", -33.87, 151.21, 39), ("Cape Town", -33.97, 18.6, 42),
         ("Longyearbyen", 78.25, 15.5, 28)]
YEARS = [("12839.tm2", 25.8, -80.267, 2, -5), ("722740TYA.CSV", 32.133, -110.95, 777, -7), ("723170TYA.CSV", 36.1, -79.95, 270, -5),
         ("724666TYA.CSV", 39.75, -105.15, 1829, -7), ("703165TY.csv", 55.317, -160.517, 7, -9)]
PLANES = [(0, 180), (90, 0), (90, 90), (90, 180), (90, 270), (50, 180)]


def sun_positions(rng):
    rows = []
    for name, lat, lon, alt in SITES:
        second = np.sort(rng.integers(0, 101 * 365 * 86400, 60))
        times = pd.DatetimeIndex(pd.Timestamp("1950-01-01", tz="UTC") + pd.to_timedelta(second, "s"))
        s = pvlib.solarposition.spa_python(times, lat, lon, altitude=alt, delta_t=None)
        for t, z, a in zip(times, s["zenith"], s["azimuth"]):
            rows.append(dict(site=name, latitude_deg=lat, longitude_deg_east=lon, altitude_m=alt,
                             utc_time=t.strftime("%Y-%m-%dT%H:%M:%S"), zenith_deg=round(z, 6),
                             azimuth_from_north_deg=round(a, 6)))
    return pd.DataFrame(rows)


def read_year(file):
    """Date, hour 1..24, direct normal and diffuse horizontal of a shipped year."""
    path = ROOT / "weather" / file
    if file.endswith(".tm2"):  # columns of the TMY2 manual: direct 24-27, diffuse 30-33
        lines = path.read_text(encoding="latin-1").splitlines()[1:]
        day = pd.Series(pd.to_datetime(["19" + x[1:7] for x in lines], format="%Y%m%d"))
        hour = pd.Series([int(x[7:9]) for x in lines])
        column = lambda a, b: np.array([float(x[a:b]) for x in lines])
        return day, hour, column(23, 27), column(29, 33)
    data = pd.read_csv(path, skiprows=1)
    return (pd.to_datetime(data["Date (MM/DD/YYYY)"], format="%m/%d/%Y"),
            data["Time (HH:MM)"].str[:2].astype(int),
            data["DNI (W/m^2)"].to_numpy(float), data["DHI (W/m^2)"].to_numpy(float))


def tilted(rng):
    rows = []
    for file, lat, lon, alt, zone in YEARS:
        day, hour, dni, dhi = read_year(file)
        time = pd.DatetimeIndex(day + pd.to_timedelta(hour - 1, "h") + pd.Timedelta(minutes=30))
        time = time.tz_localize(f"Etc/GMT{-zone:+d}")
        sun = pvlib.solarposition.spa_python(time, lat, lon, altitude=alt)
        zenith, azimuth = sun["zenith"].to_numpy(), sun["azimuth"].to_numpy()
        extra = pvlib.irradiance.get_extra_radiation(time, method="nrel").to_numpy()
        lit = np.flatnonzero((zenith < 89.5) & (dhi > 0))
        low = lit[zenith[lit] > 80]
        chosen = np.concatenate([rng.choice(lit, 30, replace=False), rng.choice(low, 10, replace=False)])
        mass = pvlib.atmosphere.get_relative_airmass(zenith)
        ghi = dhi + dni * np.cos(np.radians(zenith))
        for tilt, facing in PLANES:
            poa = pvlib.irradiance.get_total_irradiance(
                tilt, facing, zenith[chosen], azimuth[chosen], dni[chosen], ghi[chosen], dhi[chosen],
                dni_extra=extra[chosen], airmass=mass[chosen], albedo=0.2, model="perez")
            for k, i in enumerate(chosen):
                rows.append(dict(year=file, tilt_deg=tilt, azimuth_deg=facing, zenith_deg=round(zenith[i], 6),
                                 sun_azimuth_deg=round(azimuth[i], 6), dni_W_m2=dni[i], dhi_W_m2=dhi[i],
                                 ghi_W_m2=round(ghi[i], 6), extraterrestrial_W_m2=round(extra[i], 6),
                                 beam_W_m2=round(float(np.asarray(poa["poa_direct"])[k]), 5),
                                 sky_W_m2=round(float(np.nan_to_num(np.asarray(poa["poa_sky_diffuse"])[k])), 5),
                                 ground_W_m2=round(float(np.asarray(poa["poa_ground_diffuse"])[k]), 5)))
    return pd.DataFrame(rows)


def moist_air(rng):
    psychrolib.SetUnitSystem(psychrolib.SI)
    rows = []
    for _ in range(300):
        t, rh, p = rng.uniform(-20, 60), rng.uniform(0.01, 1.0), rng.uniform(60e3, 105e3)
        t, rh, p = round(t, 3), round(rh, 4), round(p, 0)
        if psychrolib.GetVapPresFromRelHum(t, rh) > 0.5 * p:
            continue
        W = psychrolib.GetHumRatioFromRelHum(t, rh, p)
        rows.append(dict(
            T_degC=t, rh_1=rh, p_Pa=p, W_1=W, wet_bulb_degC=psychrolib.GetTWetBulbFromHumRatio(t, W, p),
            dew_point_degC=psychrolib.GetTDewPointFromHumRatio(t, W, p),
            enthalpy_J_kg=psychrolib.GetMoistAirEnthalpy(t, W),
            density_kg_m3=psychrolib.GetMoistAirDensity(t, W, p),
            W_real_gas_1=HAPropsSI("W", "T", t + 273.15, "R", rh, "P", p),
            density_real_gas_kg_m3=(1 + W) / HAPropsSI("Vda", "T", t + 273.15, "W", W, "P", p),
            enthalpy_real_gas_J_kg=HAPropsSI("Hda", "T", t + 273.15, "W", W, "P", p)))
    return pd.DataFrame(rows)


def comfort(rng):
    rows = []
    for _ in range(150):
        t, rh = round(rng.uniform(27, 45), 2), round(rng.uniform(5, 95), 1)
        hi = heat_index_rothfusz(tdb=t, rh=rh, round_output=False).hi
        rows.append(dict(kind="heat_index", T_degC=t, rh_percent=rh, value=float(hi)))
    return pd.DataFrame(rows)


def versions():
    names = ["numpy", "pandas", "pvlib", "psychrolib", "CoolProp", "pythermalcomfort"]
    return pd.DataFrame([dict(library=n, version=importlib.metadata.version(n)) for n in names])


def differs(name, fresh):
    kept = pd.read_csv(OUT / f"{name}.csv")
    fresh = pd.read_csv(io.StringIO(fresh.to_csv(index=False)))
    if list(kept.columns) != list(fresh.columns) or len(kept) != len(fresh):
        return f"{name}: other columns or rows"
    for c in kept.columns:
        if not pd.api.types.is_numeric_dtype(kept[c]):
            same = (kept[c] == fresh[c]).all()
        else:
            same = np.allclose(kept[c], fresh[c], rtol=1e-6, atol=1e-4)
        if not same:
            return f"{name}: column {c} differs"
    return ""


def main():
    rng = np.random.default_rng(20261125)
    tables = dict(sun_positions=sun_positions(rng), tilted=tilted(rng), moist_air=moist_air(rng),
                  comfort=comfort(rng))
    if "--compare" in sys.argv[1:]:
        found = [d for d in (differs(n, t) for n, t in tables.items()) if d]
        print("\n".join(found) if found else "all as committed")
        return 1 if found else 0
    OUT.mkdir(parents=True, exist_ok=True)
    for name, table in dict(tables, versions=versions()).items():
        table.to_csv(OUT / f"{name}.csv", index=False)
    return 0


if __name__ == "__main__":
    sys.exit(main())
