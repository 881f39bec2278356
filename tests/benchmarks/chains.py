"""100 000 layouts of a three-rod chain as rows, and the same closure in bare NumPy."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage import formulas
from linkage.motion import assemble
from linkage.motion.blocks import blocks
from linkage.search.screen import CLOSER
from tests.build import arm, rod, shaft, tree

if TYPE_CHECKING:
    from linkage.model import Layout

ROWS = 100_000
#: Of the pad, at which every layout is looked at.
POSITIONS = 31
#: Those that the screen is asked for; it looks at 9 more where the full stop is met.
WIDE = POSITIONS - CLOSER
ARMS = (
    "pedal.pad",
    "pedal.rod",
    "first.in",
    "first.out",
    "second.in",
    "second.out",
    "spindle.lever",
)


def chain(rows: int = ROWS, spread: float = 0.05) -> Layout:
    """Return a planar chain of three rods; seven arms differ in length and angle."""
    layout = tree(
        [
            shaft("pedal", (0, 0, 0), "across", arm("pad", 180, -90), arm("rod", 60, -10)),
            shaft("first", (20, 0, 300), "across", arm("in", 55, -12), arm("out", 60, 80)),
            shaft("second", (300, 0, 320), "across", arm("in", 60, 82), arm("out", 50, 75)),
            shaft("spindle", (500, 0, 330), "across", arm("lever", 40, 70)),
        ],
        [
            rod("one", "pedal.rod", "first.in"),
            rod("two", "first.out", "second.in"),
            rod("three", "second.out", "spindle.lever"),
        ],
        travel_mm=80.0,
        swing_deg=30.0,
    )  # fmt: skip
    rng = np.random.default_rng(7)
    for name in ARMS:
        hole = layout.hole(name)
        at = layout.shafts[hole.shaft].arms[hole.arm]
        longer = rng.uniform(1 - spread, 1 + spread, (rows, 1))
        turned = rng.uniform(-1, 1, (rows, 1)) * 100 * math.radians(spread)
        layout = layout.with_arm(
            hole, length=at.length * longer, angle=at.angle + turned
        )
    return layout


class Bare:
    """The closure of three loops by hand, in blocks of the same size.

    Coefficients are worked out beforehand: only what is done at every position is
    counted, plus the sines of both arm-rod angles.
    """

    def __init__(self, layout: Layout) -> None:
        assembly = assemble(layout)
        self.loops = [(loop.reduced, loop.branch) for loop in assembly.loops]
        self.scales: list[Any] = []
        for loop in assembly.loops:
            named = dict(zip(formulas.PARAMETER_NAMES, loop.parameters, strict=True))
            scale = named["r"] / (named["R"] * loop.length)
            self.scales.append((scale, 1 / loop.length))
        self.travel = np.linspace(0.0, layout.pedal.travel, POSITIONS)
        self.sense, self.radius = layout.pedal.presses, layout.pad_radius

    def __call__(self) -> None:
        for part in blocks(ROWS, POSITIONS):
            cut = [[c[part] for c in reduced] for reduced, _ in self.loops]
            turn = self.sense * self.travel / self.radius[part]
            c1, s1 = np.cos(turn), np.sin(turn)
            for reduced, (_, branch), scales in zip(
                cut, self.loops, self.scales, strict=True
            ):
                a0, a1, a2, b0, b1, b2, k0, k1, k2 = reduced
                sign = branch[part] if isinstance(branch, np.ndarray) else branch
                a = a0 + a1 * c1 + a2 * s1
                b = b0 + b1 * c1 + b2 * s1
                k = k0 + k1 * c1 + k2 * s1
                far = a * a + b * b
                left = far - k * k
                w = sign * np.sqrt(left)
                c2 = (a * k + b * w) / far
                s2 = (b * k - a * w) / far
                _ = left / far  # the reach
                driver = c1 * (a2 * c2 + b2 * s2 - k2) - s1 * (a1 * c2 + b1 * s2 - k1)
                _ = driver * scales[0][part]
                _ = (c2 * b - s2 * a) * scales[1][part]
                c1, s1 = c2, s2
