#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""One study on 1 and 2 threads and on 1 and 2 ranks, repetitions interleaved: the clock and processor time.

usage: study_bench.py PROGRAM [--cases N] [--year] [--repetitions N] [--mpiexec MPIEXEC]

A case is four nights of July, or with --year a year.

Prints one line of JSON. Efficiency is the clock of one over twice the clock of two: it means something only where
nothing else runs on the machine. Processor time of two over that of one tells what sharing adds in any case.
"""
import argparse
import json
import os
import resource
import statistics
import subprocess
import tempfile
import time

FOUR_NIGHTS = 'night = { from = "07-10", to = "07-13" }'
PLAN = """
[study]
way = "latin"
[[vary]]
key = "uncertainty"
"""
RANKS = {"OMPI_ALLOW_RUN_AS_ROOT": "1", "OMPI_ALLOW_RUN_AS_ROOT_CONFIRM": "1", "CABINLOAD_CONFIG": "none"}

parser = argparse.ArgumentParser()
parser.add_argument("program")
parser.add_argument("--cases", type=int, default=512)
parser.add_argument("--year", action="store_true")
parser.add_argument("--repetitions", type=int, default=9)
parser.add_argument("--mpiexec")
asked = parser.parse_args()
ways = {"threads 1": ([], "1"), "threads 2": ([], "2")}
if asked.mpiexec:
    ways |= {"ranks 1": ([asked.mpiexec, "-n", "1"], "1"), "ranks 2": ([asked.mpiexec, "-n", "2"], "1")}
clock_s, processor_s = ({way: [] for way in ways} for _ in range(2))


def used_s():
    r = resource.getrusage(resource.RUSAGE_CHILDREN)
    return r.ru_utime + r.ru_stime


with tempfile.TemporaryDirectory(prefix="cabinload-bench-") as folder:
    with open(os.path.join(folder, "plan.toml"), "w", encoding="utf-8") as file:
        file.write(PLAN if asked.year else FOUR_NIGHTS + PLAN)
    for _ in range(asked.repetitions):
        for way, (before, threads) in ways.items():
            used, started = used_s(), time.monotonic()
            subprocess.run([*before, os.path.abspath(asked.program), "study", "plan.toml", "--force", "--quiet",
                            "--set", f"study.cases={asked.cases}", "--threads", threads],
                           cwd=folder, check=True, stdout=subprocess.DEVNULL, env={**os.environ, **RANKS})
            clock_s[way].append(time.monotonic() - started)
            processor_s[way].append(used_s() - used)
median = statistics.median
result = {"bench": "study", "cases": asked.cases, "of": "a year" if asked.year else "four nights", "repetitions": asked.repetitions,
          "load_1_min": round(os.getloadavg()[0], 2)}
for way in ways:
    result[way] = {"clock_s": round(median(clock_s[way]), 2), "least_clock_s": round(min(clock_s[way]), 2),
                   "processor_s": round(median(processor_s[way]), 2)}
for kind in ("threads", "ranks"):
    if f"{kind} 2" not in ways:
        continue
    one, two = f"{kind} 1", f"{kind} 2"
    each = [a / (2 * b) for a, b in zip(clock_s[one], clock_s[two])]
    result[f"efficiency of 2 {kind}"] = {"median": round(median(each), 3), "best": round(max(each), 3)}
    result[f"processor time of 2 {kind} over 1"] = round(median(processor_s[two]) / median(processor_s[one]), 3)
print(json.dumps(result))
