#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes every table of every answer as CSV, reads it with Python's csv module, and compares it with the JSON.

usage: read_csv.py PROGRAM [--all]      --all: also size and what-helps, which take many runs
"""
import csv
import json
import os
import subprocess
import sys
import tempfile

program = sys.argv[1]
PERIOD = ["--from", "07-10", "--to", "07-11"]
ROOF = f"""name = "r"
[[roof_item]]
name = 'x "y", z'
kind = "vent"
length = "40 cm"
width = "40 cm"
x = "10 cm"
y = "20 cm"
"""
ANSWERS = {  # answer: (arguments, tables)
    "hold": (["hold", *PERIOD], ["each_night", "by_month"]),
    "load": (["load", *PERIOD], ["causes", "by_month", "peak_day"]),
    "runtime": (["runtime", "--at", "07-14 21:00"], ["path"]),
    "pets": (["pets", *PERIOD, "--pet", "dog 20 kg"], ["by_failure", "by_month_and_hour", "helps"]),
    "size": (["size", *PERIOD], ["sizes", "listed_units", "trade_off", "too_large"]),
    "compare": (["compare", *PERIOD, "--set", "|unit.speed_cap=0.6"], ["rows"]),
    "what-helps": (["what-helps", *PERIOD], ["rows", "pairs"]),
    "wire": (["wire"], ["runs", "rules"]),
    "roof": (["roof", "roof.toml"], ["items", "packed"]),
    "weather": (["weather", "tucson"], ["warmest_nights", "warm"]),
}
QUICK = [a for a in ANSWERS if a not in ("size", "what-helps")]


def flat(prefix, value, into):
    """The columns of a value, as report/csv.hpp says."""
    if isinstance(value, dict):
        for key, member in value.items():
            flat(f"{prefix}.{key}" if prefix else key, member, into)
    elif isinstance(value, list) and prefix == "min":  # minutes, null or "never", hour by hour
        for place, member in enumerate(value):
            flat(f"{prefix}.{place}", member, into)
    elif isinstance(value, list):
        into[prefix] = "; ".join(x["text"] if isinstance(x, dict) else x for x in value)
    else:
        into[prefix] = value


def rows_of(table):
    if isinstance(table, dict):
        table = [{"key": key, **row} for key, row in table.items()]
    rows = []
    for row in table:
        into = {}
        flat("", row, into)
        rows.append(into)
    return rows


def same(text, value):
    if value is None:
        return text == ""
    if isinstance(value, bool):
        return text == str(value).lower()
    if isinstance(value, (int, float)):
        return float(text) == value
    return text == value


def run(folder, arguments):
    result = subprocess.run([program, *arguments], capture_output=True, text=True, check=False, cwd=folder)
    assert result.returncode in (0, 1), (arguments, result.stderr)
    return result


cells = 0
with tempfile.TemporaryDirectory(prefix="cabinload-csv-") as folder:
    with open(os.path.join(folder, "roof.toml"), "w", encoding="utf-8") as file:
        file.write(ROOF)
    for answer in ANSWERS if "--all" in sys.argv else QUICK:
        arguments, tables = ANSWERS[answer]
        for table in tables:
            path = os.path.join(folder, f"{answer}-{table}.csv")
            which = [] if table == tables[0] else ["--table", table]
            shown = run(folder, [*arguments, "--json", "--csv", path, *which])
            assert "written: " in shown.stderr, shown.stderr
            said = json.loads(shown.stdout)
            expected = rows_of(said[table])
            with open(path, newline="", encoding="utf-8") as file:
                text = file.read()
            cautions = [line for line in text.splitlines() if line.startswith("# ")]
            wanted = [f"# {c['signal']}: {c['text']}" for c in said["cautions"]]
            assert cautions == (wanted if expected else ["# no rows", *wanted]), cautions
            body = text[:text.index("\n# ") + 1] if expected else ""
            found = list(csv.DictReader(body.splitlines(keepends=True), strict=True))
            assert len(found) == len(expected), (answer, table, len(found), len(expected))
            for got, row in zip(found, expected):
                assert None not in got and set(row) <= set(got), (answer, table, got, row)
                for column, value in got.items():
                    assert same(value, row.get(column)), (answer, table, column, value, row.get(column))
                    cells += 1
    assert cells > 300, cells
    # A stored answer gives the same table.
    run(folder, [*ANSWERS["hold"][0], "--out", "n.h5", "--csv", "n.csv"])
    run(folder, ["show", "n.h5", "--csv", "again.csv"])
    with open(os.path.join(folder, "n.csv"), "rb") as a, open(os.path.join(folder, "again.csv"), "rb") as b:
        assert a.read() == b.read()
    # Refused before the work, nothing written.
    before = sorted(os.listdir(folder))
    for arguments, status, words in (
            (["hold", "--csv", "n.csv"], 3, "exists already"), (["hold", "--csv", "no/n.csv"], 3, "folder 'no' does not exist"),
            (["hold", "--csv", "x.csv", "--table", "nights"], 2, "each_night"), (["hold", "--table", "by_month"], 2, "--csv"),
            (["hold", "--csv", "x.h5", "--out", "x.h5"], 2, "--out too"), (["show", "scenario", "--csv", "x.csv"], 2, "no table"),
            (["show", "n.h5", "--csv", "x.csv", "--table", "causes"], 2, "there are: each_night, by_month")):
        refused = subprocess.run([program, *arguments], capture_output=True, text=True, check=False, cwd=folder)
        assert refused.returncode == status and words in refused.stderr, (arguments, refused.returncode, refused.stderr)
        assert sorted(os.listdir(folder)) == before, arguments
print(f"{cells} cells read back")
