"""Layouts measured in inches and pounds: our own van, and shipped ones as if so.

Not here: what is asked of them (`tests.cli.test_spoken_units`).
"""

from __future__ import annotations

import re
import tomllib
from typing import Any, Final

from tests.bad.layouts import LENGTHS, shipped, written

LBF: Final = 4.4482216152605
IN: Final = 25.4
HEAD: Final = {"length": "in", "angle": "deg", "force": "lbf"}
#: What one of a unit is in the one that takes its place.
PLACES: Final = {
    "N·m": (1000 / LBF / IN, "lbf·in"),
    "N/mm": (IN / LBF, "lbf/in"),
    "mm": (1 / IN, "in"),
    "N": (1 / LBF, "lbf"),
    "kg": (1 / 0.45359237, "lb"),
}


def _text(value: str) -> str:
    met = re.fullmatch(r"(-?[0-9.]+) (N·m|N/mm|mm|N|kg)", value)
    if met is None:
        return value
    factor, unit = PLACES[met[2]]
    return f"{float(met[1]) * factor:.4f} {unit}"


def _one(key: str, value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _one(k, v) for k, v in value.items()}
    if isinstance(value, list):
        return [_one(key, v) for v in value]
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    if key in LENGTHS:
        return round(value / IN, 4)
    return round(value / LBF, 4) if key == "initial_tension" else value


def in_inches(name: str) -> str:
    """Return a shipped layout as a person would write it who measures in inches."""
    table = _one("", tomllib.loads(shipped(name)))
    table["units"] = HEAD
    return written(table)


VAN: Final = """\
format = 1
title = "Bread van, measured with a rule of sixteenths"
units = { length = "in", angle = "deg", force = "lbf" }

[shafts.pedal]
pivot   = [0, 11.8, 0]
axis    = "across"
bearing = 0.5
arms.pad = { length = 7.1, angle = -90 }
arms.rod = { length = 2.75, angle = -11 }

[shafts."cross shaft"]
pivot   = [0.8, 5.9, 13]
axis    = "across"
bearing = 0.625
arms.inner = { length = 1.97, angle = -17, offset = -5.9 }
arms.outer = { length = 2.8, angle = -14, offset = 6.7 }

[shafts."bell crank"]
pivot   = [3.6, -0.8, 5.1]
axis    = "across"
bearing = 0.4
arms.in  = { length = 2.44, angle = -20 }
arms.out = { length = 2.44, angle = 72, offset = 0.5 }

[shafts.spindle]
pivot   = [13, -0.8, 6.2]
axis    = "across"
bearing = 0.3125
drag    = "0.53 lbf·in"
arms.lever        = { length = "1 1/4 in", angle = 52, offset = 0.5 }
arms.spring       = { length = 1.1, angle = 70, offset = -0.5 }
arms."far spring" = { length = 1.1, angle = 70, offset = 1.4 }

[rods.up]
from     = "pedal.rod"
to       = "cross shaft.inner"
joints   = "ball with clip"
diameter = 0.3125

[rods.down]
from     = "cross shaft.outer"
to       = "bell crank.in"
joints   = "ball with clip"
diameter = 0.25

[rods.carb]
from     = "bell crank.out"
to       = "spindle.lever"
joints   = "ball with clip"
diameter = 0.25

[pedal]
shaft  = "pedal"
pad    = "pad"
travel = 3
stop   = 2.8

[throttle]
shaft        = "spindle"
opens        = "anticlockwise"
swing        = 76
bore         = 1.4
spindle      = 0.3125
closed_angle = 8

[springs.near]
hook            = "spindle.spring"
anchor          = [17.5, -0.25, 7.1]
anchored_on     = "engine"
rate            = "2.6 lbf/in"
free_length     = 3.2
initial_tension = 1.1
greatest_length = 6.3

[springs.far]
hook            = "spindle.far spring"
anchor          = [17.5, -2.2, 7.1]
anchored_on     = "engine"
rate            = "2.6 lbf/in"
free_length     = 3.2
initial_tension = 1.1
greatest_length = 6.3

[engine]
carries = ["bell crank", "spindle"]
roll    = "2 deg"
about   = { point = [11.8, 0, -4], axis = "along" }
"""
