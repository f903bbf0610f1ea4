#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes the twelve rooms of guideline VDI 6007-1 as scenario files: tests/data/rooms/CASE.toml.

Reads spec.csv and schedules.csv beside them (provenance in their README.md). The guideline's room is
two capacities; here each is a chain: massless resistance, thin mass, massless resistance. Its
equivalent outdoor temperature, its blind and its shares of the sun are worked out by the hour here
and stated in the file as values by the clock.
Usage: make_rooms.py [--check]   (--check: exit 1 when a committed file differs)
"""
import csv
import pathlib
import sys

HERE = pathlib.Path(__file__).resolve().parent.parent / "data" / "rooms"
SIGMA = 5.67e-8
WALL_M = 0.1  # thickness given to a massless layer; only thickness over conductivity counts
MASS_M = 0.01


def fmt(x):
    return f"{x:.12g}"


def read_spec():
    spec = {}
    with open(HERE / "spec.csv", encoding="utf-8") as f:
        for r in csv.DictReader(f):
            if "as the library has it" not in r["item"]:
                spec.setdefault(r["case"], {})[r["item"]] = r["value"]
    return spec


def read_schedules():
    """case -> quantity -> 24 hourly values."""
    out = {}
    with open(HERE / "schedules.csv", encoding="utf-8") as f:
        for r in csv.DictReader(f):
            hours = out.setdefault(r["case"], {}).setdefault(r["quantity"], [0.0] * 24)
            for h in range(int(r["time_start_h"]), int(r["time_end_h"])):
                hours[h] = float(r["value"])
    return out


def clock(values, unit):
    """24 values as a value by the clock; one value when they are all the same."""
    parts, last = [], None
    for h, v in enumerate(values):
        if v != last:
            parts.append(f"{h:02}:00 {fmt(v)} {unit}")
        last = v
    return f"{fmt(values[0])} {unit}" if len(parts) == 1 else ", ".join(parts)


def blind(spec, irradiance):
    closed = irradiance > float(spec.get("blind closes above", 1e9))
    return float(spec["blind factor closed"]) if closed else 1.0


def equivalent_outdoors(spec, s):
    """Hourly equivalent outdoor temperature: walls by sun and long wave, windows by long wave."""
    T = s["outdoor_temperature"]
    if "weight wall 1" not in spec:
        return T
    h = float(spec.get("outer convection for equivalent temperature", 20))
    h += float(spec.get("outer radiation for equivalent temperature", 5))
    share = float(spec.get("outer radiation for equivalent temperature", 5)) / h
    out = []
    for k in range(24):
        d_long = 0.0
        if "longwave_irradiance_sky" in s:
            e = float(spec["longwave emissivity of surroundings"])
            seen = [(s[f"longwave_irradiance_{x}"][k] / (e * SIGMA)) ** 0.25 - 273.15
                    for x in ("sky", "ground")]
            d_long = (0.5 * seen[0] + 0.5 * seen[1] - T[k]) * share
        total = float(spec["weight ground or adjacent"]) * float(spec.get("adjacent temperature", 0))
        for side in ("1", "2"):
            if f"weight wall {side}" not in spec:
                continue
            sun = s.get(f"solar_on_wall_{side}", [0.0] * 24)[k]
            d_sun = float(spec.get("outer solar absorptance", 0)) * sun / h
            total += float(spec[f"weight wall {side}"]) * (T[k] + d_sun + d_long)
            through = s.get(f"solar_through_window_{side}_blind_open", [0.0] * 24)[k]
            behind = blind(spec, through) if d_long else 1.0
            total += float(spec[f"weight window {side}"]) * (T[k] + d_long * behind)
        out.append(total)
    return out


def element(name, part, area, outside, layers, films, shares):
    out = ["", "[[surface]]", f'name = "{name}"', f'part = "{part}"', f'area = "{fmt(area)} m2"']
    out += outside + films + shares + ["layers = ["] + [f"  {x}," for x in layers[:-1]]
    return out + [f"  {layers[-1]}", "]"]


def resistance(R_K_W, area):
    return ('{material = "resistance", thickness = "%g m", conductivity = "%s W/(m K)", '
            'density = "0 kg/m3", specific_heat = "0 J/(kg K)"}'
            % (WALL_M, fmt(WALL_M / (R_K_W * area))))


def mass(C_J_K, area):
    return ('{material = "mass", thickness = "%g m", conductivity = "400 W/(m K)", '
            'density = "%s kg/m3", specific_heat = "1000 J/(kg K)"}'
            % (MASS_M, fmt(C_J_K / area / MASS_M / 1000)))


def appliance(name, values, radiant):
    if not any(values):
        return []
    return ["", "[[appliance]]", f'name = "{name}"', f'power = "{clock(values, "W")}"',
            f"radiant_share = {radiant}", "on_battery = false"]


def room(case, spec, s):
    outer, inner = float(spec["exterior element area"]), float(spec["interior element area"])
    small = min(outer, inner)
    start = spec["initial temperature"]
    sun = {"outer": [0.0] * 24, "inner": [0.0] * 24, "air": [0.0] * 24}
    for side in ("1", "2"):
        through = s.get(f"solar_through_window_{side}_blind_open")
        if not through:
            continue
        convective = float(spec["convective share of solar gain"])
        to_outer = float(spec[f"radiative solar share to exterior element, window {side}"])
        for k in range(24):
            W = through[k] * blind(spec, through[k]) * float(spec[f"glass area {side}"])
            sun["air"][k] += convective * W
            sun["outer"][k] += (1 - convective) * to_outer * W / outer
            sun["inner"][k] += (1 - convective) * (1 - to_outer) * W / inner
    to_outer = float(spec["radiative gain share to exterior element"])
    gains = {kind: [sum(v[k] for q, v in s.items() if q.startswith(f"gain_{kind}"))
                    for k in range(24)] for kind in ("convective", "radiative")}
    out = [f"# Room {case} of VDI 6007-1. Written by tests/python/make_rooms.py: do not edit.",
           f'name = "room {case}, VDI 6007-1"', "", "[vehicle]", 'body = "own"',
           'volume = "52.5 m3"', 'leakage_area = "0 cm2"', "air_capacity_factor = 0",
           "moisture_capacity_factor = 1", "", "[weather]", 'sky = "none"',
           'between_hours = "held"', 'high = "30 degC"', 'dew_point = "-40 degC"',
           f'temperature = "{clock(s["outdoor_temperature"], "degC")}"', "", "[run]",
           f'start_temperature = "{start} degC"', 'step = "30 s"', "", "[[person]]", "count = 0", "",
           "[unit]", 'on = "never"']
    if "ventilation_rate" in s:
        density = float(spec["air mass flow per ventilation rate"]) * 3600
        out += ["", "[air]", f'fresh_air = "{clock(s["ventilation_rate"], "m3/h")}"',
                f'fresh_air_density = "{fmt(density)} kg/m3"', 'fresh_air_hours = "always"']
    else:
        out += ["", "[air]", 'fresh_air = "0 m3/h"']
    if "air_set_point" in s:
        set_point = clock(s["air_set_point"], "degC")
        out += ["", "[ideal]", f'heat_to = "{set_point}"', f'cool_to = "{set_point}"']
        for key, item in (("heat_limit", "heating limit"), ("cool_limit", "cooling limit")):
            if spec.get(item, "none") != "none":
                out.append(f'{key} = "{spec[item]} W"')
        if case == "11":
            out.append('cool_at = "interior element"')
    out += appliance("convective gains and sun to the air",
                     [a + b for a, b in zip(gains["convective"], sun["air"])], 0)
    out += appliance("radiant gains", gains["radiative"], 1)

    def face(name, area, h_convective, share, heat):
        films = [f'inside_film = "{h_convective} W/(m2 K)"',
                 f'inside_radiant_film = "{fmt(2 * 5 * small / area)} W/(m2 K)"',
                 "absorptance = 0", "emittance = 0"]
        shares = [f"radiant_share = {fmt(share)}"]
        if any(heat):
            shares.append(f'heat_inside = "{clock(heat, "W/m2")}"')
        del name
        return films, shares

    films, shares = face("exterior", outer, spec["convection exterior element"], to_outer,
                         sun["outer"])
    outside = ['outside = "fixed"',
               f'fixed_temperature = "{clock(equivalent_outdoors(spec, s), "degC")}"',
               f'outside_film = "{fmt(float(spec["outer surface conductance"]) / outer)} W/(m2 K)"']
    out += element("exterior element", "wall", outer, outside,
                   [resistance(float(spec["exterior R rest"]), outer),
                    mass(float(spec["exterior C"]), outer),
                    resistance(float(spec["exterior R inner surface to capacity"]), outer)],
                   films, shares)
    films, shares = face("interior", inner, spec["convection interior element"], 1 - to_outer,
                         sun["inner"])
    out += element("interior element", "partition", inner, [],
                   [mass(float(spec["interior C"]), inner),
                    resistance(float(spec["interior R surface to capacity"]), inner)],
                   films, shares)
    return "\n".join(out) + "\n"


def main():
    spec, schedules = read_spec(), read_schedules()
    check, differs = "--check" in sys.argv[1:], []
    for n in range(1, 13):
        case = str(n)
        path, text = HERE / f"{case}.toml", room(case, spec[case], schedules[case])
        if not check:
            path.write_text(text, encoding="utf-8")
        elif not path.exists() or path.read_text(encoding="utf-8") != text:
            differs.append(str(path))
    for path in differs:
        print("differs from what the script writes:", path)
    return 1 if differs else 0


if __name__ == "__main__":
    sys.exit(main())
