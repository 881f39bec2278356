"""Layouts with cables for tests of how they are drawn; every number is invented.

Not here: layouts with rods alone (`build`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.config import loads

if TYPE_CHECKING:
    from linkage.model import Layout

_PEDAL = """
format = 1
title  = "built in a test"
units  = { length = "mm", angle = "deg", force = "N" }
[shafts.pedal]
pivot = [0, 0, 0]
axis = "across"
arms.pad = { length = 200, angle = -90 }
arms.cable = { length = 100, angle = 90 }
[pedal]
shaft = "pedal"
pad = "pad"
travel = 80
"""
_SPINDLE = """
[shafts.spindle]
pivot = [600, -200, 250]
axis = "across"
arms.drum = { length = 29, angle = 150, wound = "clockwise" }
arms.spring = { length = 28, angle = 70, offset = -12 }
[throttles.throttle]
shaft = "spindle"
opens = "clockwise"
swing = 76
bore = 38
closed_angle = 8
[springs.near]
hook = "spindle.spring"
anchor = [500, -188, 355]
anchored_on = "engine"
rate = "0.45 N/mm"
free_length = 82
"""
_CABLE = """
[cables.main]
from = "pedal.cable"
to = "spindle.drum"
sheath_from = [110, 0, 100]
sheath_to = [470, -200, 279]
sheath_through = [[250, -60, 140], [350, -190, 279]]
sheath_to_on = "engine"
slack = 1
"""


def drum(**changes: str) -> Layout:
    """Return a pedal that pulls a wire off a round drum, the sheath out of plane.

    Parameters
    ----------
    **changes : str
        What stands instead of some words of the file, by those words.
    """
    text = _PEDAL + _SPINDLE + _CABLE
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    return loads(text).layout


def snail() -> Layout:
    """Return the same with a snail, whose rim goes most of the way round."""
    rim = "rim = [[0, 22], [60, 29], [120, 35], [200, 40]]"
    return drum(
        **{"length = 29": "length = 22", '"clockwise" }': f'"clockwise", {rim} }}'}
    )


def crossed() -> Layout:
    """Return a cable to a cross shaft along the vehicle, and one in front from there on."""
    return loads(
        _PEDAL
        + """
[shafts."cross shaft"]
pivot = [420, 80, 240]
axis = "along"
arms.in = { length = 60, angle = 180 }
arms.out = { length = 45, angle = 90, offset = 20 }
[shafts.spindle]
pivot = [440, -260, 230]
axis = "along"
arms.lever = { length = 34, angle = 125 }
[cables.first]
from = "pedal.cable"
to = "cross shaft.in"
sheath_from = [110, 0, 98]
sheath_to = [420, 140, 150]
sheath_through = [[260, 30, 60], [400, 120, 60]]
slack = 1
[cables.second]
from = "cross shaft.out"
to = "spindle.lever"
sheath_from = [440, 0, 285]
sheath_to = [440, -120, 258]
sheath_through = [[440, -50, 320]]
sheath_from_on = "engine"
sheath_to_on = "engine"
slack = 1
[throttles.throttle]
shaft = "spindle"
opens = "anticlockwise"
swing = 60
"""
    ).layout


def push_pull() -> Layout:
    """Return a push-pull cable that pushes a lever open."""
    return loads(
        _PEDAL.replace("angle = 90", "angle = -90").replace(
            "length = 100", "length = 70"
        )
        + """
[shafts.spindle]
pivot = [520, 0, -60]
axis = "across"
arms.lever = { length = 34, angle = -110 }
[cables.main]
from = "pedal.cable"
to = "spindle.lever"
works = "pull and push"
sheath_from = [100, 0, -72]
sheath_to = [430, 0, -92]
sheath_through = [[200, -40, -30], [320, -40, -40]]
play = 0.5
[throttles.throttle]
shaft = "spindle"
opens = "anticlockwise"
swing = 60
"""
    ).layout
