#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Monthly irradiation of the shipped Tucson year on two planes, by pvlib: Perez 1990 sky, albedo 0.2.

usage: make_plane_values.py WEATHER.CSV OUT.csv       needs pvlib, pandas, numpy
"""
import sys

import numpy as np
import pandas as pd
import pvlib

data = pd.read_csv(sys.argv[1], skiprows=1)
date = pd.to_datetime(data["Date (MM/DD/YYYY)"], format="%m/%d/%Y")
hour = data["Time (HH:MM)"].str[:2].astype(int)
ghi, dni, dhi = (data[c] for c in ["GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)"])
# The rule of the project within the hour: beam constant over the part with the sun up, diffuse by the sine of the
# elevation, both scaled to the hour's mean. Six samples an hour; sun, air mass and sky by pvlib.
samples = []
for k in range(6):
    time = pd.DatetimeIndex(date + pd.to_timedelta(hour - 1, "h") + pd.to_timedelta(10 * k + 5, "min")).tz_localize("Etc/GMT+7")
    sun = pvlib.solarposition.spa_python(time, 32.133, -110.950, altitude=777)
    sine = np.maximum(0, np.cos(np.radians(sun["zenith"].to_numpy())))
    samples.append((time, sun["zenith"].to_numpy(), sun["azimuth"].to_numpy(), sine))
up = sum((s[3] > 0).astype(float) for s in samples)
high = sum(s[3] for s in samples)
monthly = {}
for plane, tilt, azimuth in [("south", 90, 180), ("roof", 0, 180)]:
    total = np.zeros(len(data))
    for time, zenith, sun_azimuth, sine in samples:
        with np.errstate(divide="ignore", invalid="ignore"):
            beam = np.nan_to_num(dni.to_numpy() * 6 * (sine > 0) / up)
            diffuse = np.nan_to_num(dhi.to_numpy() * 6 * sine / high)
        poa = pvlib.irradiance.get_total_irradiance(
            tilt, azimuth, zenith, sun_azimuth, beam, diffuse + beam * sine, diffuse,
            dni_extra=pvlib.irradiance.get_extra_radiation(time).to_numpy(),
            airmass=pvlib.atmosphere.get_relative_airmass(zenith), albedo=0.2, model="perez")
        total += np.nan_to_num(poa["poa_global"]) / 6
    monthly[plane] = (pd.Series(total) / 1000).groupby(date.dt.month).sum()
with open(sys.argv[2], "w", encoding="utf-8") as out:
    out.write(f"# make_plane_values.py: pvlib {pvlib.__version__}, pandas {pd.__version__}\nmonth,south_kWh_m2,roof_kWh_m2\n")
    for m in range(1, 13):
        out.write(f"{m},{monthly['south'][m]:.3f},{monthly['roof'][m]:.3f}\n")
