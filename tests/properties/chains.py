"""Random linkages: a pedal, a cross shaft and a spindle, planar or in any directions."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import assume
from hypothesis import strategies as st

from linkage.errors import LinkageError
from linkage.motion import Assembly, assemble, frame, sweep
from tests.build import arm, axis_of, random_basis, rod, shaft, tree

if TYPE_CHECKING:
    from linkage.model import Layout, Shaft

NAMES = ("pedal", "cross shaft", "spindle")
TRAVEL = 0.08


def _numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


@st.composite
def chains(draw: st.DrawFn) -> Layout:
    """A chain of two rods, cut to fit, that can be put together."""
    planar = draw(st.booleans())
    rng = np.random.default_rng(draw(st.integers(0, 10_000)))
    bases = [random_basis(rng)] * 3 if planar else [random_basis(rng) for _ in NAMES]
    pivots = [[draw(_numbers(-300, 300)) for _ in "xyz"] for _ in NAMES]
    arms = [
        [
            arm(f"hole {i}", draw(_numbers(25, 120)), draw(_numbers(-180, 180)), draw(_numbers(-100, 100)))
            for i in range(2)
        ]
        for _ in NAMES
    ]  # fmt: skip
    shafts = [
        shaft(name, pivot, axis_of(basis), *holes, arm("pad", 200, -90))
        for name, pivot, basis, holes in zip(NAMES, pivots, bases, arms, strict=True)
    ]
    rods = [
        rod("first", "pedal.hole 0", "cross shaft.hole 0"),
        rod("last", "cross shaft.hole 1", "spindle.hole 0"),
    ]
    try:
        layout = tree(shafts, rods, travel_mm=1e3 * TRAVEL, presses=draw(st.sampled_from([1, -1])))  # fmt: skip
        clear = clear_of_dead_centre(assemble(layout))
    except LinkageError:
        clear, layout = False, None
    assume(clear)
    return layout


def clear_of_dead_centre(assembly: Assembly) -> bool:
    """Tell whether every arm makes more than 10° with its rod at rest."""
    motion = sweep(assembly, [0.0])
    return all(
        min(abs(line.driver_side[0]), abs(line.driven_side[0])) > 0.17
        for line in (frame(motion).rod(p.link.rod.name) for p in assembly.loops)
    )


def moved(layout: Layout, change: object) -> Layout:
    """Return the layout with every shaft changed by a function."""
    shafts: dict[str, Shaft] = {k: change(s) for k, s in layout.shafts.items()}  # type: ignore[operator]
    return replace(layout, shafts=shafts)


def well_inside(motion: object, least: float = 0.03) -> np.ndarray:
    """Return which positions are reached with every rod away from its dead centre."""
    good = np.ones(motion.pad_travel.shape, dtype=bool)  # type: ignore[attr-defined]
    for name, reach in motion.reach.items():  # type: ignore[attr-defined]
        driven = motion.assembly.loop(name).link.driven.shaft  # type: ignore[attr-defined]
        good &= ~np.isnan(motion.turns[driven])  # type: ignore[attr-defined]
        good &= np.nan_to_num(reach, nan=-1.0) > least
    return good
