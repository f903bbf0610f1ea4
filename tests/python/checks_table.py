#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Makes the table of tests/README.md from what the tests recorded: each published check, the
published value or range, ours, the verdict.

usage: checks_table.py --write FOLDER README      writes the table between the README's marks
       checks_table.py --check FOLDER README      exit 1 when the README says something else
FOLDER holds one .jsonl a test program (CABINLOAD_CHECKS). Figures may differ by a tenth between
compilers where they are errors of rounding; verdicts may not.
"""
import json
import pathlib
import re
import sys

BEGIN, END = "<!-- checks: begin -->", "<!-- checks: end -->"
PROGRAMS = ["published", "sun", "air", "network", "forcing", "simulation"]


def figure(x):
    return f"{x:.4g}"


def published(c):
    if c["low"] == 0 and c["high"] >= 0:
        return f"at most {figure(c['high'])}"
    return f"{figure(c['low'])} to {figure(c['high'])}"


def rows_of(checks):
    """Rows of one group: text cells, and the number behind `ours`."""
    for c in checks:
        inside = c["low"] <= c["ours"] <= c["high"]
        verdict = "inside" if inside else "outside: " + (c["reason"] or "no reason found")
        yield [c["what"], c["source"], published(c), figure(c["ours"]), c["unit"], verdict]


def by_profile(checks):
    """Days by the hour: one row a day, case and quantity."""
    days = {}
    for c in checks:
        days.setdefault(c["what"].rsplit(",", 1)[0], []).append(c)
    for what, hours in days.items():
        inside = sum(c["low"] <= c["ours"] <= c["high"] for c in hours)
        reasons = sorted({c["reason"] for c in hours if not c["low"] <= c["ours"] <= c["high"]})
        verdict = "inside" if inside == len(hours) else "outside in part: " + "; ".join(reasons)
        yield [what, hours[0]["source"], f"range of each of {len(hours)} hours", str(inside), "hours inside", verdict]


def table(folder):
    groups = {}
    for program in PROGRAMS:
        path = folder / f"{program}.jsonl"
        if not path.exists():
            sys.exit(f"checks_table.py: {path} is missing: run the tests first")
        for line in path.read_text(encoding="utf-8").splitlines():
            c = json.loads(line)
            groups.setdefault(c["group"], []).append(c)
    lines, total, inside_all = [], 0, 0
    for group, checks in sorted(groups.items()):
        inside = sum(c["low"] <= c["ours"] <= c["high"] for c in checks)
        total, inside_all = total + len(checks), inside_all + inside
        lines += ["", f"### {group}: {inside} of {len(checks)} inside", "",
                  "| check | source | published | ours | unit | verdict |", "|---|---|---|---|---|---|"]
        rows = by_profile(checks) if "by the hour" in group and len(checks) > 100 else rows_of(checks)
        lines += ["| " + " | ".join(r) + " |" for r in sorted(rows)]
    return [f"{inside_all} of {total} checks lie inside.", *lines]


def close(a, b):
    """Two rows say the same: equal words, numbers within a tenth or both small against the bar."""
    cells_a, cells_b = ([x.strip() for x in row.split("|")] for row in (a, b))
    if len(cells_a) != len(cells_b):
        return False
    for i, (x, y) in enumerate(zip(cells_a, cells_b)):
        if x == y:
            continue
        if i != 4:  # the column `ours`
            return False
        try:
            p, q = float(x), float(y)
        except ValueError:
            return False
        bar = re.findall(r"[-+.\de]+", cells_a[3])
        small = 0.02 * max(abs(float(bar[-1])), 1e-12) if bar else 0
        if abs(p - q) > 0.1 * max(abs(p), abs(q)) and max(abs(p), abs(q)) > small:
            return False
    return True


def main():
    mode, folder, readme = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
    text = readme.read_text(encoding="utf-8")
    start, end = text.index(BEGIN) + len(BEGIN), text.index(END)
    fresh = table(folder)
    if mode == "--write":
        readme.write_text(text[:start] + "\n" + "\n".join(fresh) + "\n" + text[end:], encoding="utf-8")
        return 0
    kept = text[start:end].strip("\n").split("\n")
    if len(kept) != len(fresh):
        print(f"{len(kept)} lines in the README, {len(fresh)} from this run")
        return 1
    wrong = [(k, f) for k, f in zip(kept, fresh) if not close(k, f)]
    for k, f in wrong[:10]:
        print("README:  ", k, "\nthis run:", f)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
