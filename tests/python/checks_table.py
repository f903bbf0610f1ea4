#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Makes the table of tests/README.md from what the tests recorded: each published check, the
published value or range, ours, the verdict.

usage: checks_table.py --write FOLDER README      writes the table between the README's marks
       checks_table.py --check FOLDER README      exit 1 when the README says something else
FOLDER holds one .jsonl a test program (CABINLOAD_CHECKS). Figures may differ by a tenth between
compilers where they are errors of rounding; verdicts may not. Rows that a test does not judge are
shown with their reason and counted neither inside nor outside.
"""
import json
import pathlib
import re
import sys

BEGIN, END = "<!-- checks: begin -->", "<!-- checks: end -->"
PROGRAMS = ["published", "sun", "air", "network", "forcing", "simulation", "occupants", "unit", "wiring", "power",
            "cli"]


def figure(x):
    return f"{x:.4g}"


def is_inside(c):
    return c["low"] <= c["ours"] <= c["high"]


def published(c):
    if c["low"] is None:  # nothing is published
        return "-"
    if c["low"] == 0 and c["high"] >= 0:
        return f"at most {figure(c['high'])}"
    return f"{figure(c['low'])} to {figure(c['high'])}"


def rows_of(checks):
    """Rows of one group: text cells, and the number behind `ours`."""
    for c in checks:
        if not c["judged"]:
            verdict = "not counted; " + c["reason"]
        else:
            verdict = "inside" if is_inside(c) else "outside: " + (c["reason"] or "no reason found")
        yield [c["what"], c["source"], published(c), figure(c["ours"]), c["unit"], verdict]


def by_profile(checks):
    """Days by the hour: one row a day, case and quantity."""
    days = {}
    for c in checks:
        days.setdefault(c["what"].rsplit(",", 1)[0], []).append(c)
    for what, hours in days.items():
        inside = sum(map(is_inside, hours))
        reasons = sorted({c["reason"] for c in hours if not is_inside(c)})
        verdict = "inside" if inside == len(hours) else "outside in part: " + "; ".join(reasons)
        yield [what, hours[0]["source"], f"range of each of {len(hours)} hours", str(inside), "hours inside", verdict]


def heading(group, checks):
    """The group's title with its count, and the day of figures that this run did not compute."""
    judged = [c for c in checks if c["judged"]]
    count = f"{sum(map(is_inside, judged))} of {len(judged)} inside"
    shown = f"{len(checks) - len(judged)} shown, not counted"
    parts = ([count] if judged else []) + ([shown] if len(judged) < len(checks) else [])
    lines = ["", f"### {group}: {', '.join(parts)}", ""]
    kept = [c for c in checks if c["kept_from"]]
    if kept:
        days, files = (" and ".join(sorted({c[key] for c in kept})) for key in ("kept_from", "kept_in"))
        lines += [f"Ours were computed on {days} on the standard's own weather and are kept in {files}; "
                  "this run judges what is kept.", ""]
    return lines


def table(folder):
    groups = {}
    for program in PROGRAMS:
        path = folder / f"{program}.jsonl"
        if not path.exists():
            sys.exit(f"checks_table.py: {path} is missing: run the tests first")
        for line in path.read_text(encoding="utf-8").splitlines():
            c = json.loads(line)
            groups.setdefault(c["group"], []).append(c)
    everything = [c for checks in groups.values() for c in checks]
    judged = [c for c in everything if c["judged"]]
    lines = [f"{sum(map(is_inside, judged))} of {len(judged)} checks lie inside; "
             f"{len(everything) - len(judged)} more rows are shown and not counted."]
    # Groups without a judged row come last.
    for group, checks in sorted(groups.items(), key=lambda g: (not any(c["judged"] for c in g[1]), g[0])):
        lines += [*heading(group, checks), "| check | source | published | ours | unit | verdict |",
                  "|---|---|---|---|---|---|"]
        rows = by_profile(checks) if "by the hour" in group and len(checks) > 100 else rows_of(checks)
        lines += ["| " + " | ".join(r) + " |" for r in sorted(rows)]
    return lines


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
        bar = re.findall(r"[-+]?\d[-+.\de]*", cells_a[3])
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
