#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes a result with the program, opens it with h5py and xarray, and checks what FORMAT.md promises.

usage: read_results.py PROGRAM
"""
import json
import os
import shutil
import subprocess
import sys
import tempfile

try:
    import h5netcdf  # noqa: F401  (xarray's engine)
    import h5py
    import numpy as np
    import xarray as xr
except ImportError as e:
    sys.exit(f"error: {e}; on Debian: apt-get install python3-h5py python3-xarray python3-h5netcdf")

program = sys.argv[1]
folder = tempfile.mkdtemp(prefix="cabinload-results-")
try:
    path = os.path.join(folder, "june.h5")
    command = [program, "hold", "--from", "06-28", "--to", "07-04", "--steps", "07-01", "--out", path]
    first = subprocess.run(command, capture_output=True, text=True, check=False)
    assert first.returncode in (0, 1), first.stderr
    shown = subprocess.run([program, "show", path], capture_output=True, text=True, check=False)
    assert shown.stdout == first.stdout, "show prints another answer than hold did"
    assert shown.returncode == first.returncode
    assert os.listdir(folder) == ["june.h5"], os.listdir(folder)

    with h5py.File(path) as file:
        for name in ("title", "history", "source", "filetype", "format_version", "program_version", "git_commit",
                     "input_sha256", "command_line", "created_utc", "dependencies"):
            assert name in file.attrs, name
        assert list(file.attrs["format_version"]) == [1, 4]
        sets = []
        file.visititems(lambda name, item: sets.append((name, item)) if isinstance(item, h5py.Dataset) else None)
        assert len(sets) > 50, len(sets)
        for name, item in sets:
            assert "units" in item.attrs and "long_name" in item.attrs, name
            if item.attrs["units"] == "K":
                assert item.attrs["units_metadata"] == "temperature: on_scale", name
        units = sorted({item.attrs["units"] for _, item in sets} - {""})
        answer = json.loads(file["answer/json"][()].decode())
        dates = [d.decode() for d in file["nights/date"][:]]
        assert dates == [n["date"] for n in answer["each_night"]], dates
        np.testing.assert_allclose(file["nights/unit_energy"][:], [n["electric_Wh"] for n in answer["each_night"]], rtol=1e-12)
        minutes = np.round(np.diff(file["trace/step/time"][:]) * 60, 6)
        # The unit is on from 21:00 to 07:00: 2 min; else 5 min.
        assert sorted(set(minutes)) == [2, 5] and len(minutes) + 1 == 10 * 30 + 14 * 12, minutes
        assert "vehicle" in file["scenario/toml"][()].decode()

    for unit in units:   # UDUNITS spelling: its own program must understand every one
        if shutil.which("udunits2"):
            if " since " in unit:
                continue
            check = subprocess.run(["udunits2", "-H", unit, "-W", unit], capture_output=True, text=True, check=False)
            assert check.returncode == 0 and "1 " in check.stdout, (unit, check.stdout, check.stderr)
        else:
            sys.exit("error: udunits2 is missing; on Debian: apt-get install udunits-bin")

    with xr.open_dataset(path, group="trace/hourly", engine="h5netcdf") as hourly:
        assert hourly.time.dtype.kind == "M", "time is not decoded"
        assert str(hourly.time.values[0])[:16] == "2001-06-28T00:00", hourly.time.values[0]
        assert float(np.diff(hourly.time.values).astype("timedelta64[s]").astype(float).max()) == 3600
        assert hourly.T_air_mean.dims == ("time",) and hourly.T_air_mean.attrs["units"] == "K"
        july = hourly.sel(time="2001-07-01")
        assert july.time.size == 24 and 280 < float(july.T_air_mean.mean()) < 330
        assert bool((hourly.T_air_min <= hourly.T_air_max).all())
    with xr.open_dataset(path, group="nights", engine="h5netcdf") as nights:
        assert nights.bed_peak.dims == ("night",) and nights.night.size == 7

    # Equal input, bit-equal data sets.
    again = os.path.join(folder, "again.h5")
    subprocess.run(command[:-1] + [again], capture_output=True, check=False)
    with h5py.File(path) as a, h5py.File(again) as b:
        for name in ("trace/hourly/T_air_mean", "trace_unit_off/hourly/T_bed_mean", "nights/bed_peak", "answer/json"):
            assert np.asarray(a[name][()]).tobytes() == np.asarray(b[name][()]).tobytes(), name

    # Demand by cause: every hour's parts add up.
    load = os.path.join(folder, "load.h5")
    run = subprocess.run([program, "load", "--from", "07-10", "--to", "07-12", "--out", load], capture_output=True,
                         text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert subprocess.run([program, "show", load], capture_output=True, text=True, check=False).stdout == run.stdout
    with h5py.File(load) as file:
        answer = json.loads(file["answer/json"][()].decode())
        for kind in ("sensible", "latent"):
            parts = [item[:] for name, item in file["demand"].items() if name.startswith(kind + "_")]
            assert len(parts) == len(answer["causes"])
            np.testing.assert_allclose(np.sum(parts, axis=0), file["demand/" + kind][:], rtol=0, atol=1e-7)
        total = file["demand/sensible"][:] + file["demand/latent"][:]
        np.testing.assert_allclose(total.max(), answer["peak"]["total_W"], rtol=1e-12)
        np.testing.assert_allclose(total.sum() / 1000, answer["energy_kWh"], rtol=1e-12)
    with xr.open_dataset(load, group="demand", engine="h5netcdf") as hours:
        assert hours.sensible.dims == ("time",) and hours.time.size == 72
        assert str(hours.time.values[0])[:16] == "2001-07-10T00:00"

    # A charge that runs out: every step from its start to its end.
    runtime = os.path.join(folder, "runtime.h5")
    run = subprocess.run([program, "runtime", "--at", "07-14 21:00", "--set", "appliance.0.kind=refrigerator", "--out",
                          runtime], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert subprocess.run([program, "show", runtime], capture_output=True, text=True, check=False).stdout == run.stdout
    with h5py.File(runtime) as file:
        answer = json.loads(file["answer/json"][()].decode())
    with xr.open_dataset(runtime, group="trace/step", engine="h5netcdf") as steps:
        assert str(steps.time.values[0])[:16] == "2001-07-14T21:01", steps.time.values[0]
        assert steps.time.size == int(np.ceil(answer["hours_to_empty"] * 60 - 1e-9)), steps.time.size
        used = float((steps.unit_power + steps.other_power).astype(float).sum()) / 60
        np.testing.assert_allclose(used, answer["used_Wh"], rtol=1e-5)
        cold = float(steps.refrigerator_power.astype(float).sum()) / 60
        np.testing.assert_allclose(cold, answer["refrigerator_Wh"], rtol=1e-5)
        assert cold > 10 and bool((steps.refrigerator_power <= steps.other_power).all())
        assert bool((np.diff(steps.state_of_charge) < 0).all())
        assert float(steps.time_displayed[0]) > 0
    print(f"read {len(sets)} data sets with h5py {h5py.__version__}, xarray {xr.__version__}")
finally:
    shutil.rmtree(folder)
