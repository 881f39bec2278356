"""Layouts with a slide between two rods, of our own, for tests."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.config import loads

if TYPE_CHECKING:
    from linkage.model import Layout

#: A pedal, a slide along x, and a lever; every number ours.
TEXT = """format = 1
title = "slide between two rods"
units = { length = "mm", angle = "deg", force = "N" }

[shafts.pedal]
pivot = [0, 0, 0]
axis = "across"
arms.pad = { length = 200, angle = -90 }
arms.rod = { length = 100, angle = 82 }

[shafts.spindle]
pivot = [620, 0, 68]
axis = "across"
drag = "0.05 N·m"
arms.lever = { length = 30, angle = 53 }
arms.near = { length = 28, angle = 70, offset = -12 }
arms.far = { length = 28, angle = 70, offset = 36 }

[slides.bar]
guide = [[250, 0, 95], [330, 0, 95]]
axis = "across"
diameter = 12
friction = 0.15
pins.near = [210, 0, 95]
pins.far = [390, 0, 95]

[rods.one]
from = "pedal.rod"
to = "bar.near"
diameter = 8

[rods.two]
from = "bar.far"
to = "spindle.lever"
diameter = 8

[pedal]
shaft = "pedal"
pad = "pad"
travel = 80
stop = 74.5

[throttle]
shaft = "spindle"
opens = "anticlockwise"
swing = 76
bore = 38
spindle = 8

[springs.near]
hook = "spindle.near"
anchor = [735, 12, 95]
rate = "0.45 N/mm"
free_length = 82
initial_tension = 5
greatest_length = 170

[springs.far]
hook = "spindle.far"
anchor = [735, -36, 95]
rate = "0.45 N/mm"
free_length = 82
initial_tension = 5
greatest_length = 170
"""


def slid(*changes: tuple[str, str], more: str = "") -> str:
    """Return the text of the layout with some of its words changed."""
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text + more


def slid_layout(*changes: tuple[str, str], more: str = "") -> Layout:
    """Return the same as a layout."""
    return loads(slid(*changes, more=more), "slid.toml").layout


def skew(more: str = "") -> Layout:
    """Return a layout with nothing square to anything, a slide onto a slide in it."""
    return slid_layout(
        ("[[250, 0, 95], [330, 0, 95]]", "[[250, 10, 90], [330, 25, 98]]"),
        ("pins.near = [210, 0, 95]", "pins.near = [205, 8, 101]"),
        ('to = "spindle.lever"', 'to = "rack.in"'),
        more="""
[slides.rack]
guide = [[500, 0, 60], [560, 30, 70]]
axis = "across"
pins.in = [480, -5, 62]
pins.out = [575, 40, 75]

[rods.three]
from = "rack.out"
to = "spindle.lever"
"""
        + more,
    )
