#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes the cooling-equipment cases of ANSI/ASHRAE Standard 140 as scenario files:
tests/data/equipment/CASE.toml, from cases.csv, unit.csv and map.csv beside them (provenance in
their README.md).
Usage: make_equipment.py [--check]   (--check: exit 1 when a committed file differs)
"""
import csv
import math
import pathlib
import sys

HERE = pathlib.Path(__file__).resolve().parent.parent / "data" / "equipment"
# Faces of the zone: 8 m x 6 m x 2.7 m.
FACES = [("north", "wall", 21.6, 0), ("east", "wall", 16.2, 90), ("south", "wall", 21.6, 180),
         ("west", "wall", 16.2, 270), ("roof", "roof", 48, None), ("floor", "floor", 48, None)]
PRESSURE_PA = 101325


def rows(name):
    with open(HERE / name, encoding="utf-8") as f:
        return list(csv.DictReader(f))


def saturation_Pa(T_degC):
    """Over water; ASHRAE Handbook Fundamentals 2017, ch. 1 eq. 6."""
    T = T_degC + 273.15
    return math.exp(-5.8002206e3 / T + 1.3914993 - 4.8640239e-2 * T + 4.1764768e-5 * T**2
                    - 1.4452093e-8 * T**3 + 6.5459673 * math.log(T))


def dew_point_degC(T_degC, rh_1):
    wanted, low, high = rh_1 * saturation_Pa(T_degC), -20.0, T_degC
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if saturation_Pa(middle) < wanted else (low, middle)
    return low


def scenario(case, unit, points):
    name, out = case["case"], case["outdoor_dry_bulb_degC"]
    humid_1 = float(unit[f"outdoor relative humidity at {float(out):.1f} degC"]) / 100
    set_degC = float(case["zone_set_point_degC"])
    latent_W = float(case["internal_latent_W"])
    # Latent heat is water that comes as vapour at the zone's temperature; its enthalpy, ASHRAE
    # Handbook Fundamentals 2017, ch. 1 eq. 30.
    moisture_kg_h = latent_W * 3600 / (1000 * (2501 + 1.86 * set_degC))
    fan_W = float(unit["indoor fan power"])
    resistance = 1 / 8.29 + 100 + 1 / 29.3
    assert abs(resistance - float(unit["shell resistance, air to air, all six surfaces"])) < 1e-3
    text = [f"# Equipment case {name}. Written by tests/python/make_equipment.py: do not edit.",
            f'name = "equipment case {name}"', "", "[vehicle]", 'body = "own"', 'heading = "N"',
            'height = "2.7 m"', 'volume = "129.6 m3"', 'leakage_area = "0 cm2"',
            "air_capacity_factor = 1", "moisture_capacity_factor = 1", "", "[parking]",
            'ground = "as-air"', "", "[weather]", f'high = "{out} degC"', f'temperature = "{out} degC"',
            f'dew_point = "{dew_point_degC(float(out), humid_1):.3f} degC"', 'sky = "none"',
            "sky_as_air = true", "", "[air]", 'fresh_air = "0 m3/h"', "", "[[person]]", "count = 0",
            "", "[[appliance]]", 'name = "internal gain"',
            f'power = "{case["internal_sensible_W"]} W"', "radiant_share = 0", "on_battery = false",
            'on = "always"', "", "[battery]", 'capacity = "250 kWh"', "", "[night]", 'limit = "30 degC"', "", "[run]",
            "warm_up_days = 7", f'start_temperature = "{set_degC:g} degC"']
    for half in ("half", "other half") if latent_W > 0 else ():  # one holds 5 kg/h at most
        text += ["", "[[appliance]]", f'name = "latent gain, {half}"', 'power = "0 W"',
                 f"moisture_kg_h = {moisture_kg_h / 2:.8f}", "on_battery = false", 'on = "always"']
    text += ["", "[unit]", 'on = "always"', f'set_point = "{set_degC:g} degC"',
             f'air_flow = "{unit["indoor air flow"]} m3/s"', f'cabin_fan = "{fan_W:g} W"',
             "fan_always = false", 'standby = "0 W"', "minimum_speed = 1",
             f'sensible_ratio = {unit["gross sensible heat ratio at rating point"]}',
             f'rated_condenser = "{unit["rating outdoor dry bulb"]} degC"',
             f'rated_dry_bulb = "{unit["rating entering dry bulb"]} degC"',
             f'rated_wet_bulb = "{unit["rating entering wet bulb"]} degC"',
             'cycle_law = "standard"',
             "cyclic_degradation = "
             + unit["part load: COP degradation factor = 1 - k*(1-PLR), k"],
             'condenser_air_rise = "0 K"']
    for p in points:
        power_W = float(p["compressor_and_outdoor_fan_power_W"]) + fan_W
        text += ["", "[[measured]]", f'capacity = "{p["net_total_capacity_W"]} W"',
                 f'power = "{power_W:g} W"', f'condenser = "{p["outdoor_dry_bulb_degC"]} degC"',
                 f'dry_bulb = "{unit["rating entering dry bulb"]} degC"',
                 f'wet_bulb = "{p["entering_wet_bulb_degC"]} degC"']
    for face, part, area, azimuth in FACES:
        text += ["", "[[surface]]", f'name = "{face}"', f'part = "{part}"', f'area = "{area} m2"']
        text += [f'azimuth = "{azimuth} degree"'] if azimuth is not None else []
        text += ['outside = "open-air"', "absorptance = 0.1", 'outside_film = "29.3 W/(m2 K)"',
                 'inside_film = "8.29 W/(m2 K)"', "emittance = 0", "emittance_inside = 0",
                 'layers = [{material = "insulation (no mass)", thickness = "1 m", conductivity = '
                 '"0.01 W/(m K)", density = "0 kg/m3", specific_heat = "0 J/(kg K)"}]']
    return "\n".join(text) + "\n"


def main():
    unit = {r["item"]: r["value"] for r in rows("unit.csv")}
    points, differs = rows("map.csv"), []
    for case in rows("cases.csv"):
        path, text = HERE / f'{case["case"]}.toml', scenario(case, unit, points)
        if "--check" not in sys.argv[1:]:
            path.write_text(text, encoding="utf-8")
        elif not path.exists() or path.read_text(encoding="utf-8") != text:
            differs.append(str(path))
    for path in differs:
        print("differs from what the script writes:", path)
    return 1 if differs else 0


if __name__ == "__main__":
    sys.exit(main())
