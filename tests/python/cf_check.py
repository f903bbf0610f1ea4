#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes results with the program and has a checker of the CF conventions look at them.

usage: cf_check.py PROGRAM

The checker does not follow groups: each group is checked as a file of its own, with the root's attributes. Every
complaint counts, also those it ranks as recommendations. Exit status 77 where the checker is not installed (skipped).
"""
import os
import subprocess
import sys
import tempfile

try:
    import netCDF4
    from compliance_checker.runner import CheckSuite
except ImportError as e:
    print(f"skipped: {e}; pip install -r tests/python/requirements.txt")
    sys.exit(77)

CONVENTIONS = "cf:1.11"  # as the files' attribute says
PERIOD = ["--from", "07-10", "--to", "07-11"]
COMMANDS = {
    "hold": ["hold", *PERIOD, "--steps", "07-10"],
    "load": ["load", *PERIOD],
    "runtime": ["runtime"],
    "pets": ["pets", *PERIOD, "--pet", "dog:20kg"],
    "study": ["study", "study.toml"],
}
# Units as people write them, a point and a difference of temperature, a list.
STUDY = """
weather.high = "38 degC"
run = { step = "120 s", warm_up_days = 1 }
study = { way = "latin", cases = 3 }
[[vary]]
key = "battery.capacity"
range = "1 kWh to 4 kWh"
[[vary]]
key = "night.limit"
range = "75 degF to 80 degF"
[[vary]]
key = "fan.start_difference"
range = "1 degF to 4 degF"
[[vary]]
key = "uncertainty.thermostat"
[[vary]]
key = "unit.model"
values = ["generic-2000-24v", "generic-2600-48v"]
"""
MEANT = {  # units and what kind of temperature they are
    "in_battery_capacity": ("kW h", None),
    "in_night_limit": ("degF", "temperature: on_scale"),
    "in_fan_start_difference": ("degF", "temperature: difference"),
    "in_uncertainty_thermostat": ("K", "temperature: difference"),
    "in_unit_model": ("1", None),
    "bed_peak": ("degC", "temperature: on_scale"),
}


def groups_of(group):
    """The groups that hold data sets."""
    if group.variables:
        yield group
    for below in group.groups.values():
        yield from groups_of(below)


def flat_copy(root, group, path):
    """One group as a file without groups."""
    with netCDF4.Dataset(path, "w") as out:
        out.setncatts({name: root.getncattr(name) for name in root.ncattrs()})
        for name, dimension in group.dimensions.items():
            out.createDimension(name, len(dimension))
        for name, column in group.variables.items():
            copy = out.createVariable(name, column.dtype, column.dimensions)
            copy.setncatts({key: column.getncattr(key) for key in column.ncattrs()})
            copy[...] = column[...]


def passed(value):
    """A result is a truth, or points got of points possible; one that passed may bring a remark all the same."""
    return value[0] == value[1] if isinstance(value, tuple) else bool(value)


def complaints(path):
    """What the checker says of a file, one line each."""
    suite = CheckSuite()
    results = suite.run_all(suite.load_dataset(path), [CONVENTIONS], [])
    found = []
    for checked, failures in results.values():
        found += [f"the checker itself failed: {name}: {error}" for name, error in failures.items()]
        pending = list(checked)
        while pending:
            result = pending.pop()
            pending += result.children or []
            if not passed(result.value):
                found += [f"{result.name}: {text}" for text in result.msgs or ["without words"]]
    return sorted(set(found))


CheckSuite.load_all_available_checkers()
problems, checked = [], 0
with tempfile.TemporaryDirectory(prefix="cabinload-cf-") as folder:
    with open(os.path.join(folder, "study.toml"), "w", encoding="utf-8") as text:
        text.write(STUDY)
    for answer, command in COMMANDS.items():
        result = os.path.join(folder, answer + ".h5")
        run = subprocess.run([os.path.abspath(sys.argv[1]), *command, "--out", result], capture_output=True, text=True,
                             check=False, cwd=folder)
        assert run.returncode in (0, 1), run.stderr
        with netCDF4.Dataset(result) as root:
            for group in groups_of(root):
                copy = os.path.join(folder, answer + group.path.replace("/", "_") + ".nc")
                flat_copy(root, group, copy)
                problems += [f"{answer} {group.path}: {text}" for text in complaints(copy)]
                checked += 1
    with netCDF4.Dataset(os.path.join(folder, "study.h5")) as root:
        for name, meant in MEANT.items():
            column = root["cases"][name]
            found = (column.units, getattr(column, "units_metadata", None))
            assert found == meant, (name, found, meant)
assert checked >= 15, checked
print(*problems, sep="\n", end="\n" if problems else "")
print(f"{checked} groups against {CONVENTIONS}, {len(problems)} complaints")
sys.exit(1 if problems else 0)
