"""Exact effects of measured numbers, against a chain solved anew in 50 digits.

The reference knows nothing of closed forms: a rod keeps its length from the rest
position on, and the driven turn is the root of that, by mpmath's secant method. Sizes
are those of shipped layouts, shaken by a seed.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import mpmath
import numpy as np
import pytest

from linkage.config import loads
from linkage.model.measured import measured
from linkage.model.paths import applied, read
from linkage.motion import assemble, frame, sweep_clear, working_travel
from linkage.motion.sweep import pads
from linkage.motion.tangent import carried
from tests.unit.edits import edited

CHAINS = ("bulkhead-cross-shaft", "quarter-turn", "twin-side-draught")
#: Share of the working travel at which they are compared.
AT = 0.8
DIGITS = 50
STEP = mpmath.mpf("1e-15")
#: A rod of given length to a lever, and from that a wire of given length to a drum.
BEFORE_A_CABLE = """
format = 1
title = "a rod of given length before a cable"
units = { length = "mm", angle = "deg", force = "N" }
[shafts.pedal]
pivot = [0, 0, 0]
axis = "across"
arms.pad = { length = 200, angle = -90 }
arms.rod = { length = 100, angle = 90 }
[shafts.cross]
pivot = [60, 0, 0]
axis = "across"
arms.rod = { length = 90, angle = 95 }
arms.cable = { length = 95, angle = 85 }
[shafts.spindle]
pivot = [600, -200, 250]
axis = "across"
arms.drum = { length = 29, angle = 150, wound = "clockwise" }
arms.spring = { length = 28, angle = 70, offset = -12 }
[rods.first]
from = "pedal.rod"
to = "cross.rod"
length = 62.3
[cables.main]
from = "cross.cable"
to = "spindle.drum"
sheath_from = [170, 0, 100]
sheath_to = [470, -200, 279]
sheath_through = [[250, -60, 140], [350, -190, 279]]
sheath_length = 450
wire_length = 807.4
[pedal]
shaft = "pedal"
pad = "pad"
travel = 80
[throttle]
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


@cache
def shaken(name: str, seed: int):
    """Return a layout with every size a little other, rods cut to fit."""
    layout, draws = edited(name), np.random.default_rng(seed)
    sets = {}
    for m in measured(layout):
        if m.path[0] != "shafts" or m.path[-1] == "drag":
            continue
        value = read(layout, m.path)
        size = {"angle": 0.05, "length": 0.05 * value}.get(m.path[-1], 0.008)
        sets[m.path] = value + float(draws.uniform(-size, size))
    layout = applied(layout, sets)
    assembly = assemble(layout)
    end = working_travel(assembly).end
    still = frame(sweep_clear(assembly, pads(0.0, AT * end)))
    return layout, AT * end, still


class Chain:
    """A layout in mpmath's numbers."""

    def __init__(self, layout, changed=None, by=0):
        self.layout, self.changed, self.by = layout, changed, by

    def number(self, *path):
        value = mpmath.mpf(float(read(self.layout, path)))
        return value + self.by if path == self.changed else value

    def pin(self, hole, turn):
        """Return where a hole is, from the pivot along the shaft and round it."""
        arm = ("shafts", hole.shaft, "arms", hole.arm)
        axis = self.layout.shafts[hole.shaft].axis
        angle = self.number(*arm, "angle") + turn
        u, v, n = (
            mpmath.matrix([mpmath.mpf(float(c)) for c in w])
            for w in (axis.u, axis.v, axis.n)
        )
        pivot = mpmath.matrix(
            [self.number("shafts", hole.shaft, "pivot", i) for i in range(3)]
        )
        round_it = u * mpmath.cos(angle) + v * mpmath.sin(angle)
        return (
            pivot
            + n * self.number(*arm, "offset")
            + round_it * self.number(*arm, "length")
        )

    def far(self, link, one, two):
        gap = self.pin(link.driver, one) - self.pin(link.driven, two)
        return sum(c * c for c in gap)

    def turn(self, shaft, pad, near):
        """Return a shaft's turn with the pad pressed so far; ``near`` are all of them."""
        pedal = self.layout.pedal
        arm = ("shafts", pedal.shaft, "arms", pedal.pad, "length")
        turns = {
            pedal.shaft: pedal.presses * mpmath.mpf(float(pad)) / self.number(*arm)
        }
        for link in self.layout.path_to(shaft):
            rest = self.far(link, mpmath.mpf(0), mpmath.mpf(0))
            one, begin = turns[link.driver.shaft], near[link.driven.shaft]

            def off(two, *, link=link, one=one, rest=rest):
                return self.far(link, one, two) - rest

            begins = (begin, begin + mpmath.mpf("1e-6"))
            turns[link.driven.shaft] = mpmath.findroot(off, begins)
        return turns[shaft]


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("name", CHAINS)
def test_effects_of_every_number_are_central_differences_in_50_digits(name, seed):
    layout, pad, still = shaken(name, seed)
    main = layout.main.shaft
    near = {shaft: float(turns[-1]) for shaft, turns in still.motion.turns.items()}
    ways = [
        m for m in measured(layout) if m.path[0] == "shafts" and m.path[-1] != "drag"
    ]
    with mpmath.workdps(DIGITS):
        assert float(Chain(layout).turn(main, pad, near)) == pytest.approx(
            near[main], rel=1e-11
        )
        for m in ways:
            more, less = (
                Chain(layout, m.path, s * STEP).turn(main, pad, near) for s in (1, -1)
            )
            slope = float((more - less) / (2 * STEP))
            told = float(np.broadcast_to(carried(still, m.path)[main], (2,))[-1])
            assert told == pytest.approx(slope, rel=1e-8, abs=1e-9), m.called


def in_larger_steps(layout, places):
    """Yield every number that moves a shaft, and what it does with all solved anew."""
    main = layout.main.shaft
    for m in measured(layout):
        if m.path[0] not in {"shafts", "rods"} or m.path[-1] == "drag":
            continue
        value, step = read(layout, m.path), 2e-5

        def turn(by, path=m.path, value=value):
            made = assemble(applied(layout, {path: value + by}))
            return float(sweep_clear(made, places).turns[main][-1])

        yield m, (turn(step) - turn(-step)) / (2 * step)


def told_of(still, path, shaft):
    return float(np.broadcast_to(carried(still, path)[shaft], (2,))[-1])


@pytest.mark.parametrize(
    "name", ["cable-drum", "push-pull-cable", "crossbar-twin", "slide-to-pump"]
)
def test_effects_on_a_wire_and_a_slide_are_central_differences(name):
    """Against the whole solved anew in larger steps; of a wire nothing is derived."""
    layout = edited(name)
    assembly = assemble(layout)
    places = pads(0.0, 0.7 * working_travel(assembly).end)
    still, main = frame(sweep_clear(assembly, places)), layout.main.shaft
    for m, slope in in_larger_steps(layout, places):
        told = told_of(still, m.path, main)
        assert told == pytest.approx(slope, rel=1e-5, abs=1e-6), m.called


def test_a_cam_is_not_set_again_as_a_rod_is():
    """It and its roller stay where they are: a larger cam stands nearer at rest."""
    layout = edited("cam-roller")
    assembly = assemble(layout)
    places = pads(0.0, 0.7 * working_travel(assembly).end)
    still, main = frame(sweep_clear(assembly, places)), layout.main.shaft
    found = 0
    for m, slope in in_larger_steps(layout, places):
        if m.path[-1] == "length":
            told = carried(still, m.path, set_again=False)[main]
            last = float(np.broadcast_to(told, (2,))[-1])
            assert last == pytest.approx(slope, rel=1e-5, abs=1e-6), m.called
            found += abs(slope) > 1
    assert found >= 5


def test_a_rod_and_a_wire_of_given_length_are_set_anew_where_they_lie_at_rest():
    """The same as of one measured there, its rod cut and its cable set.

    The rod holds its lever 6 degrees off where that was measured, from which the cable
    goes on, some of it slack.
    """
    layout = loads(BEFORE_A_CABLE).layout
    assembly = assemble(layout)
    turned = assembly.rest["cross"]
    assert abs(turned) > 0.1
    cable = layout.rods["main"]
    left = assembly.loop("main").slack((np.cos(turned), np.sin(turned)), (1.0, 0.0))
    assert 5e-4 < left < 2e-3
    shafts = {**layout.shafts, "cross": layout.shafts["cross"].moved(turned)}
    first = replace(layout.rods["first"], length=None)
    as_it_lies = replace(
        layout,
        shafts=shafts,
        rods={"first": first, "main": replace(cable, length=None, lost=float(left))},
    )
    places = pads(0.0, 0.7 * working_travel(assembly).end)
    still, main = frame(sweep_clear(assembly, places)), layout.main.shaft
    for m, slope in in_larger_steps(as_it_lies, places):
        told = told_of(still, m.path, main)
        assert told == pytest.approx(slope, rel=1e-5, abs=1e-6), m.called
