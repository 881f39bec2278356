"""Exact effects of measured numbers, against a chain solved anew in 50 digits.

The reference knows nothing of closed forms: a rod keeps its length from the rest
position on, and the driven turn is the root of that, by mpmath's secant method. Sizes
are those of shipped layouts, shaken by a seed.
"""

from __future__ import annotations

from functools import cache

import mpmath
import numpy as np
import pytest

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


@pytest.mark.parametrize(
    "name", ["cable-drum", "push-pull-cable", "crossbar-twin", "slide-to-pump"]
)
def test_effects_on_a_wire_and_a_slide_are_central_differences(name):
    """Against the whole solved anew in larger steps; of a wire nothing is derived."""
    layout = edited(name)
    assembly = assemble(layout)
    places = pads(0.0, 0.7 * working_travel(assembly).end)
    still, main = frame(sweep_clear(assembly, places)), layout.main.shaft
    for m in measured(layout):
        if m.path[0] not in {"shafts", "rods"} or m.path[-1] == "drag":
            continue
        value, step = read(layout, m.path), 2e-5

        def turn(by, path=m.path, value=value):
            made = assemble(applied(layout, {path: value + by}))
            return float(sweep_clear(made, places).turns[main][-1])

        slope = (turn(step) - turn(-step)) / (2 * step)
        told = float(np.broadcast_to(carried(still, m.path)[main], (2,))[-1])
        assert told == pytest.approx(slope, rel=1e-5, abs=1e-6), m.called
