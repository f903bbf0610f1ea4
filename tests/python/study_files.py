#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A study killed at random moments, on a full disk, on several threads and ranks: always the same table.

usage: study_files.py PROGRAM [--kills N] [--mpiexec MPIEXEC]

N: how often it is killed, 20 by default. MPIEXEC starts ranks; without it they are left out.
"""
import argparse
import csv
import json
import os
import random
import re
import resource
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

# Long steps and a short warm-up: what is looked at is the table, not the van.
PLAN = """
weather = { high = "38 degC", low = "24 degC" }
run = { step = "120 s", warm_up_days = 1 }
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
CASES = 48 * (3 + 2)
FAILING = """
weather = { high = "38 degC" }
[[vary]]
key = "battery.cut_off"
values = [0.1, 0.8]
[[vary]]
key = "battery.charged_to"
values = [1, 0.5]
"""
RANKS = {  # more ranks than cores, and as root: what the launchers ask for
    "OMPI_ALLOW_RUN_AS_ROOT": "1", "OMPI_ALLOW_RUN_AS_ROOT_CONFIRM": "1", "OMPI_MCA_rmaps_base_oversubscribe": "1",
    "PRTE_MCA_rmaps_default_mapping_policy": ":oversubscribe"}


class Bench:
    """Runs of one study in a folder of their own."""

    def __init__(self, program, folder):
        self.program, self.folder = os.path.abspath(program), folder
        self.write("plan.toml", PLAN)
        started = time.monotonic()
        self.whole = self.run("plan.toml", "-o", "whole.h5", "--csv", "whole.csv")
        self.takes_s = time.monotonic() - started
        assert self.whole.returncode == 0, self.whole.stderr
        assert sorted(os.listdir(folder)) == ["plan.toml", "whole.csv", "whole.h5"], os.listdir(folder)
        self.reference = self.tables("whole.h5")

    def path(self, name):
        return os.path.join(self.folder, name)

    def exists(self, name):
        return os.path.exists(self.path(name))

    def write(self, name, text):
        with open(self.path(name), "w", encoding="utf-8") as file:
            file.write(text)

    def run(self, *arguments, before=(), limit=None):
        """The study; `limit`: no file may have more bytes."""
        def lower():
            if limit:
                resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
                signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        return subprocess.run([*before, self.program, "study", *arguments], capture_output=True, text=True, check=False,
                              cwd=self.folder, preexec_fn=lower, env={**os.environ, **RANKS})

    def start(self, out, before=()):
        """The study, or the rest of it, in the background."""
        resume = ["--resume"] if self.exists(out + ".unfinished") else []
        return subprocess.Popen([*before, self.program, "study", "plan.toml", "-o", out, "--threads", "1", *resume],
                                cwd=self.folder, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True,
                                env={**os.environ, **RANKS})

    def resume(self, out):
        """Goes on to the end; the result must be that of the whole run."""
        rest = self.run("plan.toml", "-o", out, *(["--resume"] if self.exists(out + ".unfinished") else []))
        assert rest.returncode == 0, (out, rest.stderr)
        assert not self.exists(out + ".unfinished")
        self.same(out)

    def tables(self, name):
        found = {}
        with h5py.File(self.path(name)) as file:
            file.visititems(lambda key, item: found.update({key: item[()]}) if isinstance(item, h5py.Dataset) else None)
        return {key: value for key, value in found.items() if key.startswith(("cases", "values", "failed", "answer"))}

    def same(self, name):
        found = self.tables(name)
        assert found.keys() == self.reference.keys(), (name, found.keys() ^ self.reference.keys())
        for key, value in self.reference.items():
            assert np.asarray(found[key]).tobytes() == np.asarray(value).tobytes(), f"{name}: {key} differs"


def table_is_right(b):
    with h5py.File(b.path("whole.h5")) as file:
        table = file["cases"]
        assert table["case"].shape == (CASES,) and (table["case"][:] == np.arange(CASES)).all()
        assert table["in_battery_capacity"].attrs["units"] == "kW h"
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
        with open(b.path("whole.csv"), encoding="utf-8") as text:
            rows = list(csv.DictReader(text))
        assert len(rows) == CASES and [float(r["nights_held"]) for r in rows] == list(held)
        assert {r["vehicle.insulation"] for r in rows} == set(values)
    assert summary["effects"][0]["key"] == "battery.capacity", summary["effects"]
    shown = subprocess.run([b.program, "show", b.path("whole.h5")], capture_output=True, text=True, check=False)
    assert shown.stdout == b.whole.stdout and shown.returncode == 0


def killed(b, kills):
    """At random moments from the start of the program to its end, and gone on with."""
    dead = whole = 0
    while dead < kills:
        assert whole < 10 * kills + 10, "too quick to be killed"
        process = b.start("killed.h5")
        time.sleep(random.uniform(0, 0.8 * b.takes_s))
        process.kill()
        _, errors = process.communicate()
        assert process.returncode in (0, -signal.SIGKILL), (process.returncode, errors)
        dead += process.returncode != 0
        if b.exists("killed.h5"):  # a result under its name is a whole one
            b.same("killed.h5")
            whole += 1
            for name in ("killed.h5", "killed.h5.unfinished"):
                if b.exists(name):
                    os.remove(b.path(name))
    b.resume("killed.h5")
    print(f"killed {dead} times, finished {whole + 1} times, the same table")


def interrupted(b):
    """Says so, 130, and goes on."""
    for sent in (signal.SIGINT, signal.SIGTERM):
        process = b.start("stopped.h5")
        deadline = time.monotonic() + 60
        while not b.exists("stopped.h5.unfinished") and process.poll() is None and time.monotonic() < deadline:
            time.sleep(0.01)
        process.send_signal(sent)
        _, errors = process.communicate()
        if process.returncode != 0:  # else it was quicker
            assert process.returncode == 130 and "--resume" in errors, (process.returncode, errors)
            b.resume("stopped.h5")
        b.same("stopped.h5")
        os.remove(b.path("stopped.h5"))


def no_room(b):
    """Whatever file does not fit: the blocks before it stay."""
    limit = 10000
    while True:  # until there is room for some blocks, but not for all
        full = b.run("plan.toml", "-o", "full.h5", "--force", limit=limit)
        kept = re.search(r"the (\d+) cases before", full.stderr)
        assert full.returncode == 3, (limit, full.returncode, full.stderr)
        assert not b.exists("full.h5"), "half a result under its name"
        if kept and int(kept[1]) > 0:
            break
        limit += 4000
    assert "--resume" in full.stderr and os.path.getsize(b.path("full.h5.unfinished")) <= limit
    # Another scenario is no way to go on; nor is an unfinished one run over.
    other = b.run("plan.toml", "-o", "full.h5", "--resume", "--limit", "26 degC")
    assert other.returncode == 2 and "now night.limit = 26 degC" in other.stderr, other.stderr
    assert b.run("plan.toml", "-o", "full.h5").returncode == 3
    b.resume("full.h5")
    csv_bytes = os.path.getsize(b.path("whole.csv"))
    late = b.run("plan.toml", "-o", "late.h5", "--csv", "late.csv", limit=csv_bytes - 1)
    assert late.returncode == 3 and f"late.csv: error: cannot be written: is the disk full?; all {CASES} cases are kept" \
        in late.stderr, late.stderr
    assert not b.exists("late.h5") and not b.exists("late.csv")
    again = b.run("plan.toml", "-o", "late.h5", "--csv", "late.csv", "--resume")
    assert again.returncode == 0 and os.path.getsize(b.path("late.csv")) == csv_bytes, again.stderr
    b.same("late.h5")
    print("no room for the cases, then for the text: nothing lost")


def complete(b):
    """Nothing is left to resume: the answer again."""
    again = b.run("plan.toml", "-o", "whole.h5", "--resume")
    assert again.returncode == 0 and again.stdout == b.whole.stdout and "complete" in again.stderr, again.stderr
    other = b.run("plan.toml", "-o", "whole.h5", "--resume", "--limit", "26 degC")
    assert other.returncode == 2 and "now night.limit = 26 degC" in other.stderr, other.stderr


def on_ranks(b, mpiexec):
    for ranks in ("1", "2", "3"):
        job = b.run("plan.toml", "-o", f"ranks{ranks}.h5", "--threads", "1", before=(mpiexec, "-n", ranks))
        assert job.returncode == 0, (ranks, job.stderr)
        assert job.stdout.replace("\r\n", "\n") == b.whole.stdout, job.stdout  # the launcher has a terminal's line ends
        b.same(f"ranks{ranks}.h5")
    assert b.run("plan.toml", "-o", "ranks3.h5", "--resume", before=(mpiexec, "-n", "3")).returncode == 0
    # One that dies ends the job; what it leaves can be gone on with.
    process = b.start("dead.h5", before=(mpiexec, "-n", "3"))
    while not b.exists("dead.h5.unfinished") and process.poll() is None:
        time.sleep(0.01)
    victim = next((pid for pid in os.listdir("/proc") if pid.isdigit() and rank_of(pid, b.program) not in (None, 0)), None)
    if victim:
        os.kill(int(victim), signal.SIGKILL)
    _, errors = process.communicate()
    if victim and process.returncode != 0:  # else it was quicker
        assert errors.strip(), "ended without a word"
        assert not b.exists("dead.h5")
    b.resume("dead.h5")
    wrong = b.run("plan.toml", "-o", "wrong.h5", "--limit", "26 furlongs", before=(mpiexec, "-n", "2"))
    assert wrong.returncode != 0 and wrong.stderr.count("measures something else") == 1, wrong.stderr
    print(f"1, 2 and 3 ranks: the same table; a rank killed: {process.returncode}, resumed, the same table")


def rank_of(pid, program):
    """Of a process that runs the program under the launcher."""
    try:
        if os.readlink(f"/proc/{pid}/exe") != os.path.realpath(program):
            return None
        with open(f"/proc/{pid}/environ", "rb") as file:
            found = re.search(rb"(?:OMPI_COMM_WORLD_RANK|PMI_RANK|PMIX_RANK)=(\d+)", file.read())
        return int(found[1]) if found else None
    except OSError:
        return None


def failing(b):
    """One case that cannot be: kept with its reason, the others go on."""
    b.write("bad.toml", FAILING)
    some = b.run("bad.toml", "-o", "bad.h5")
    assert some.returncode == 4 and "1 failed" in some.stdout, (some.returncode, some.stdout, some.stderr)
    with h5py.File(b.path("bad.h5")) as file:
        assert list(file["cases/failed"][:]) == [0, 0, 0, 1] and list(file["failed/case"][:]) == [3]
        assert len(file["failed/reason"].asstr()[0]) > 10
        assert np.isnan(file["cases/nights_held"][3]) and np.isfinite(file["cases/nights_held"][2])


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--kills", type=int, default=20)
    parser.add_argument("--mpiexec")
    asked = parser.parse_args()
    random.seed(7)
    with tempfile.TemporaryDirectory(prefix="cabinload-study-") as folder:
        b = Bench(asked.program, folder)
        table_is_right(b)
        killed(b, asked.kills)
        interrupted(b)
        no_room(b)
        complete(b)
        for threads in ("1", "3"):
            job = b.run("plan.toml", "-o", f"threads{threads}.h5", "--threads", threads)
            assert job.returncode == 0 and job.stderr == f"written: threads{threads}.h5\n", job.stderr
            b.same(f"threads{threads}.h5")
        if asked.mpiexec:
            on_ranks(b, asked.mpiexec)
        else:
            print("built without MPI: no ranks")
        failing(b)


if __name__ == "__main__":
    main()
