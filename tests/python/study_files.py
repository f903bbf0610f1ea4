#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A study killed at random moments, on a full disk, on several threads and ranks: always the same table.

usage: study_files.py PROGRAM [KILLS]      KILLS: how often it is killed, 6 by default
"""
import csv
import json
import os
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time

try:
    import h5py
    import numpy as np
except ImportError as e:
    sys.exit(f"error: {e}; on Debian: apt-get install python3-h5py")

program, kills = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 6
folder = tempfile.mkdtemp(prefix="cabinload-study-")
random.seed(7)
PLAN = """
weather = { high = "38 degC", low = "24 degC" }
[study]
way = "sobol"
cases = 48
effects = true
[[vary]]
key = "battery.capacity"
range = "0.5 kWh to 4 kWh"
[[vary]]
key = "vehicle.insulation"
values = ["thin", "good", "very-good"]
[[vary]]
key = "uncertainty.leakage"
"""


def path(name):
    return os.path.join(folder, name)


def run(*arguments, before=(), limit=None):
    def lower():
        if limit:
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    return subprocess.run([*before, program, "study", *arguments], capture_output=True, text=True, check=False,
                          cwd=folder, preexec_fn=lower)


def tables(name):
    found = {}
    with h5py.File(path(name)) as file:
        file.visititems(lambda key, item: found.update({key: item[()]}) if isinstance(item, h5py.Dataset) else None)
    return {key: value for key, value in found.items() if key.startswith(("cases", "values", "failed", "answer"))}


def same(name, reference):
    found = tables(name)
    assert found.keys() == reference.keys(), (name, found.keys() ^ reference.keys())
    for key, value in reference.items():
        assert np.asarray(found[key]).tobytes() == np.asarray(value).tobytes(), f"{name}: {key} differs"


try:
    with open(path("plan.toml"), "w", encoding="utf-8") as file:
        file.write(PLAN)
    whole = run("plan.toml", "-o", "whole.h5", "--csv", "whole.csv")
    assert whole.returncode == 0, whole.stderr
    assert sorted(os.listdir(folder)) == ["plan.toml", "whole.csv", "whole.h5"], os.listdir(folder)
    reference = tables("whole.h5")
    cases = 48 * (3 + 2)
    with h5py.File(path("whole.h5")) as file:
        table = file["cases"]
        assert table["case"].shape == (cases,) and (table["case"][:] == np.arange(cases)).all()
        assert table["in_battery_capacity"].attrs["units"] == "kWh"
        assert 0.5 <= table["in_battery_capacity"][:].min() and table["in_battery_capacity"][:].max() <= 4
        values = file["values/vehicle_insulation"].asstr()[:]
        assert list(values) == ["thin", "good", "very-good"]
        held = table["nights_held"][:]
        assert set(held) == {0, 1}, "the battery decides: some hold, some do not"
        assert held[table["in_battery_capacity"][:] > 3.5].mean() > held[table["in_battery_capacity"][:] < 1].mean()
        assert not table["failed"][:].any()
        for name, item in table.items():
            assert "units" in item.attrs and "long_name" in item.attrs, name
        summary = json.loads(file["answer/json"].asstr()[()])
        rows = list(csv.DictReader(open(path("whole.csv"), encoding="utf-8")))
        assert len(rows) == cases and [float(r["nights_held"]) for r in rows] == list(held)
        assert {r["vehicle.insulation"] for r in rows} == set(values)
    assert summary["effects"][0]["key"] == "battery.capacity", summary["effects"]
    shown = subprocess.run([program, "show", path("whole.h5")], capture_output=True, text=True, check=False)
    assert shown.stdout == whole.stdout and shown.returncode == 0

    # Killed at random moments, gone on with, until it is done.
    killed = 0
    for attempt in range(kills + 200):
        process = subprocess.Popen([program, "study", "plan.toml", "-o", "killed.h5"]
                                   + (["--resume"] if os.path.exists(path("killed.h5.unfinished")) else []),
                                   cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
        if killed < kills:
            time.sleep(random.uniform(0.0, 0.6))
            process.kill()
        _, errors = process.communicate()
        killed += process.returncode == -signal.SIGKILL
        if process.returncode == 0:
            break
        assert process.returncode == -signal.SIGKILL, (process.returncode, errors)
        assert not os.path.exists(path("killed.h5")), "half a result under its name"
    same("killed.h5", reference)
    print(f"killed {killed} times, the same table")

    # Interrupted: says so, 130, and goes on.
    process = subprocess.Popen([program, "study", "plan.toml", "-o", "stopped.h5"], cwd=folder,
                               stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    time.sleep(0.3)
    process.send_signal(signal.SIGINT)
    _, errors = process.communicate()
    if process.returncode != 0:  # else it was quicker
        assert process.returncode == 130 and "--resume" in errors, (process.returncode, errors)
        assert run("plan.toml", "-o", "stopped.h5", "--resume").returncode == 0
    same("stopped.h5", reference)

    # No room: the blocks before it stay.
    limit = 6000
    while True:  # until there is room for some blocks, but not for all
        full = run("plan.toml", "-o", "full.h5", "--force", limit=limit)
        kept = re.search(r"the (\d+) cases before", full.stderr)
        assert full.returncode == 3, (limit, full.returncode, full.stderr)
        assert not os.path.exists(path("full.h5")), "half a result under its name"
        if kept and int(kept[1]) > 0:
            break
        limit += 3000
    assert "--resume" in full.stderr and os.path.getsize(path("full.h5.unfinished")) <= limit
    assert run("plan.toml", "-o", "full.h5", "--resume").returncode == 0
    same("full.h5", reference)

    # Another scenario is no way to go on.
    run("plan.toml", "-o", "other.h5", limit=limit)
    other = run("plan.toml", "-o", "other.h5", "--resume", "--limit", "26 degC")
    assert other.returncode == 2 and "now night.limit = 26 degC" in other.stderr, other.stderr
    assert run("plan.toml", "-o", "other.h5").returncode == 3  # an unfinished one is not run over
    assert run("plan.toml", "-o", "other.h5", "--force").returncode == 0

    for threads in ("1", "3"):
        assert run("plan.toml", "-o", f"threads{threads}.h5", "--threads", threads).returncode == 0
        same(f"threads{threads}.h5", reference)
    # A program without MPI would run the same study as often as there are ranks.
    mpirun = shutil.which("mpirun")
    linked = subprocess.run(["ldd", program], capture_output=True, text=True, check=False).stdout
    if mpirun and "libmpi" in linked:
        for ranks in ("1", "2", "3"):
            job = run("plan.toml", "-o", f"ranks{ranks}.h5", "--threads", "1",
                      before=(mpirun, "--allow-run-as-root", "--oversubscribe", "-n", ranks))
            assert job.returncode == 0, (ranks, job.stderr)
            same(f"ranks{ranks}.h5", reference)
        print("1, 2 and 3 ranks: the same table")
    # One case that cannot be: kept with its reason, the others go on.
    with open(path("bad.toml"), "w", encoding="utf-8") as file:
        file.write('weather = { high = "38 degC" }\n[[vary]]\nkey = "battery.cut_off"\nvalues = [0.1, 0.8]\n'
                   '[[vary]]\nkey = "battery.charged_to"\nvalues = [1, 0.5]\n')
    some = run("bad.toml", "-o", "bad.h5")
    assert some.returncode == 4 and "1 failed" in some.stdout, (some.returncode, some.stdout, some.stderr)
    with h5py.File(path("bad.h5")) as file:
        assert list(file["cases/failed"][:]) == [0, 0, 0, 1] and list(file["failed/case"][:]) == [3]
        assert len(file["failed/reason"].asstr()[0]) > 10
        assert np.isnan(file["cases/nights_held"][3]) and np.isfinite(file["cases/nights_held"][2])
finally:
    shutil.rmtree(folder)
