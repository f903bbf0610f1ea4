#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Values of scipy and numpy as CSV, for the tests of sampling: tests/data/study.

usage: make_sampling_values.py            writes the files, versions in their first lines (minutes: the
                                          library counts up to the last Sobol point, 2^32 - 1)
       make_sampling_values.py --compare  computes them again but for that point; exit 1 when one
                                          differs by more than 1e-12 (Sobol points: at all), 77 when a
                                          library is missing
"""
import pathlib
import sys

try:
    import numpy as np
    import scipy
    from scipy import special, stats
except ImportError as missing:
    print("skipped: a reference library is missing:", missing)
    sys.exit(77)

OUT = pathlib.Path(__file__).resolve().parent.parent / "data" / "study"
DIMENSIONS = 128
POINTS = [0, 1, 2, 3, 4, 5, 6, 7, 8, 100, 1023, 1024, 65535, 1000003, 2**24 + 12345]
LAST = 2**32 - 1
U = [2.0**-53, 1e-12, 1e-6, 0.001, 0.02, 0.0243, 0.1, 0.25, 0.4, 0.5, 0.51, 0.7, 0.9, 0.9758, 0.99, 1 - 1e-6,
     1 - 2.0**-53]


def sobol(points):
    rows = []
    for index in points:
        sequence = stats.qmc.Sobol(DIMENSIONS, scramble=False, bits=32)
        if index > 0:
            sequence.fast_forward(index)
        for d, value in enumerate(sequence.random(1)[0]):
            rows.append((index, d, int(value * 2**32)))
    return "index,dimension,value_2_32", rows


def distributions():
    """Parameters p1..p4 in the order of the C++ structs."""
    rows = [("normal", 0, 1, 0, 0, u, special.ndtri(u)) for u in U]
    for low, high in [(2.0, 5.0), (-1.0, 1e-3)]:
        rows += [("uniform", low, high, 0, 0, u, stats.uniform.ppf(u, low, high - low)) for u in U]
    for low, mode, high in [(2.0, 3.0, 7.0), (-1.0, -1.0, 4.0), (0.0, 0.6, 0.6)]:
        c = (mode - low) / (high - low)
        rows += [("triangular", low, mode, high, 0, u, stats.triang.ppf(u, c, low, high - low)) for u in U]
    for mean, deviation, low, high in [(20.0, 2.0, 15.0, 26.0), (0.0, 1.0, 2.0, 4.0), (0.0, 1.0, -4.5, -1.0),
                                       (3.0, 0.5, 2.9, 30.0), (0.0, 1.0, 4.5, 8.0)]:
        a, b = (low - mean) / deviation, (high - mean) / deviation
        rows += [("truncated_normal", mean, deviation, low, high, u,
                  stats.truncnorm.ppf(u, a, b, mean, deviation)) for u in U]
    for median, factor in [(0.5, 2.0), (300.0, 1.2)]:
        s = np.log(factor) / special.ndtri(0.95)
        rows += [("lognormal", median, factor, 0, 0, u, stats.lognorm.ppf(u, s, 0, median)) for u in U]
    return "kind,p1,p2,p3,p4,u,value", rows


def proportions():
    rows = []
    for count, trials in [(0, 1), (1, 1), (0, 64), (5, 64), (32, 64), (64, 64), (139, 153), (977, 1000)]:
        for confidence in (0.5, 0.9, 0.95, 0.999):
            ci = stats.binomtest(count, trials).proportion_ci(confidence, method="wilson")
            rows.append((count, trials, confidence, ci.low, ci.high))
    return "count,trials,confidence,low,high", rows


VALUES = [3.5, -1.25, 8.0, 0.0, 2.75, 2.75, 19.5, -7.0, 4.125, 6.5, 1.0]


def percentiles():
    rows = []
    for n in (1, 2, 5, 11):
        for percent in (0, 2.5, 5, 25, 50, 66.6, 95, 99.6, 100):
            rows.append((n, percent, np.percentile(VALUES[:n], percent, method="linear")))
    return "n,percent,value", rows


def evaluations(rng):
    """Outputs of a curved function with interaction on 64 base points: A, B, AB of three inputs."""
    a, b = rng.random((2, 64, 3))
    outputs = []
    for block in range(5):
        x = b.copy() if block == 1 else a.copy()
        if block > 1:
            x[:, block - 2] = b[:, block - 2]
        outputs.append(np.round(300 + 10 * x[:, 0] + 4 * x[:, 1] ** 2 + 6 * x[:, 0] * x[:, 2], 6))
    return np.array(outputs)


def outputs(y):
    return "A,B,AB1,AB2,AB3", [tuple(row) for row in y.T]


def indices(y):
    found = stats.sobol_indices(func={"f_A": y[:1].copy(), "f_B": y[1:2].copy(), "f_AB": y[2:, None, :].copy()}, n=64)
    return "first,total", list(zip(found.first_order.ravel(), found.total_order.ravel()))


def text(table):
    header, rows = table
    fields = lambda row: ",".join(repr(float(x)) if isinstance(x, float) else str(x) for x in row)
    return "\n".join([header] + [fields(row) for row in rows]) + "\n"


def differs(name, fresh):
    kept = [x.split(",") for x in (OUT / name).read_text(encoding="utf-8").splitlines() if x[0] != "#"]
    if name == "sobol.csv":
        kept = [x for x in kept if x[0] != str(LAST)]
    fresh = [x.split(",") for x in fresh.splitlines()]
    if len(kept) != len(fresh) or kept[0] != fresh[0]:
        return True
    for old, new in zip(kept[1:], fresh[1:]):
        for x, y in zip(old, new):
            if x != y and (name == "sobol.csv" or not np.isclose(float(x), float(y), rtol=1e-12, atol=1e-12)):
                return True
    return False


def main():
    compare = "--compare" in sys.argv[1:]
    y = evaluations(np.random.default_rng(20261126))
    tables = {"sobol.csv": sobol(POINTS if compare else POINTS + [LAST]), "distributions.csv": distributions(),
              "proportions.csv": proportions(), "percentiles.csv": percentiles(), "saltelli_outputs.csv": outputs(y),
              "saltelli_indices.csv": indices(y)}
    if compare:
        found = [name for name, table in tables.items() if differs(name, text(table))]
        print(f"differs: {found}" if found else "all as committed")
        return 1 if found else 0
    OUT.mkdir(parents=True, exist_ok=True)
    first = f"# tests/python/make_sampling_values.py, scipy {scipy.__version__}, numpy {np.__version__}\n"
    for name, table in tables.items():
        (OUT / name).write_text(first + text(table), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
