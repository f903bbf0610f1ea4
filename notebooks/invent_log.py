# SPDX-License-Identifier: Apache-2.0
"""Invents the log of logged_week.ipynb: a week of a closed van, as a cheap logger would tell it.

The "van" is the model itself with a paint and cracks that the notebook does not know, the logger reads
0.3 K high, scatters by 0.2 K and rounds to 0.5 K. So the log is a rehearsal of the method, no evidence
about the model. Run by hand: python3 invent_log.py > logged_week.csv"""
import h5py
import numpy as np
from run_cabinload import result

HIDDEN = ["--set", "vehicle.paint=sand", "--set", "vehicle.leakage_area=140 cm2"]
WEEK = ["--weather", "tucson", "--from", "06-10", "--to", "06-16", "--people", "0",
        "--set", "air.fresh_air=0 m3/h"]

with h5py.File(result("hold", *WEEK, *HIDDEN, "--samples", 0)) as h5:
    hourly = h5["trace_unit_off/hourly"]
    hours = hourly["time"][:]
    chosen = (hours >= 24 * 160) & (hours < 24 * 167)  # 10 to 16 June of a year of 365 days
    cabin, outdoors = hourly["T_air_mean"][chosen] - 273.15, hourly["T_out_mean"][chosen] - 273.15

noise = np.random.default_rng(20)
print("# Invented: written by invent_log.py. Closed empty van, unit off; means of the hour that begins at `hour`.")
print("day,hour,outdoors_degC,cabin_degC")
for k, (inside, outside) in enumerate(zip(cabin, outdoors)):
    read = [0.5 * round(2 * (T + 0.3 + noise.normal(0, 0.2))) for T in (outside, inside)]
    print(f"06-{10 + k // 24},{k % 24},{read[0]:.1f},{read[1]:.1f}")
