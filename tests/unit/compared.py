"""Pairs of layouts for comparing: a sound one, and the same with one thing changed."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

from linkage.comparison.match import Matching, Pair
from linkage.comparison.renamed import renamed
from linkage.config import load
from linkage.model import Axis, Layout, axis_from_vector
from linkage.model.refs import Ref

CONFIGS = Path(__file__).parents[2] / "configs"


def car(name: str) -> Layout:
    """Return a shipped layout."""
    return load(CONFIGS / f"{name}.toml").layout


def turned_arm(layout: Layout, hole: str, degrees: float) -> Layout:
    """Return a layout with an arm at another angle."""
    return layout.with_arm(hole, angle=math.radians(degrees))


def other_carburettor(layout: Layout) -> Layout:
    """Return a layout whose carburettor opens the other way, all else as it is."""
    main = layout.main
    changed = replace(main, opens=-main.opens)
    return replace(layout, throttles={**layout.throttles, main.name: changed})


def from_the_left(layout: Layout, shaft: str, *, measured: bool = True) -> Layout:
    """Return a layout with a shaft across measured from the left.

    Parameters
    ----------
    layout : Layout
        As seen from the right.
    shaft : str
        Which.
    measured : bool
        Whether all about it was measured anew, so that nothing is another; False
        where only the axis was written the other way.
    """
    left: Axis = axis_from_vector((0.0, 1.0, 0.0))
    was = layout.shafts[shaft]
    arms = dict(was.arms)
    if measured:
        u = 1 if left.u[0] > 0 else -1
        arms = {
            n: replace(
                a,
                angle=math.atan2(math.sin(a.angle), u * math.cos(a.angle)),
                offset=-a.offset,
            )
            for n, a in was.arms.items()
        }
    changed = layout.with_shaft(replace(was, axis=left, arms=arms))
    if not measured:
        return changed
    throttles = {
        n: replace(t, opens=-t.opens) if t.shaft == shaft else t
        for n, t in layout.throttles.items()
    }
    return replace(changed, throttles=throttles)


def anchored(layout: Layout, spring: str, at_mm: tuple[float, float, float]) -> Layout:
    """Return a layout with a spring anchored elsewhere."""
    x, y, z = (c * 1e-3 for c in at_mm)
    return layout.with_spring(replace(layout.springs[spring], anchor=(x, y, z)))


def mirrored_front_for_back(layout: Layout) -> Layout:
    """Return the mirror image of a layout of shafts across, x for -x, renamed.

    Every shaft turns the other way seen from the right, and nothing turned round.
    """
    shafts = {
        n: replace(
            s,
            pivot=(-s.pivot[0], *s.pivot[1:]),
            arms={a: replace(b, angle=math.pi - b.angle) for a, b in s.arms.items()},
        )
        for n, s in layout.shafts.items()
    }
    springs = {
        n: replace(s, anchor=(-s.anchor[0], *s.anchor[1:]))
        for n, s in layout.springs.items()
        if s.anchor is not None
    }
    throttles = {n: replace(t, opens=-t.opens) for n, t in layout.throttles.items()}
    about = layout.engine.about
    return replace(
        layout,
        shafts=shafts,
        springs=springs,
        throttles=throttles,
        pedal=replace(layout.pedal, presses=-layout.pedal.presses),
        engine=replace(layout.engine, about=(-about[0], *about[1:])),
    )


def named(layout, table):
    """Return a layout with other names of shafts, as a file of another hand has them."""
    pairs = [
        Pair(old=Ref("shaft", a), new=Ref("shaft", b), by="place")
        for a, b in table.items()
    ]
    return renamed(layout, Matching(pairs=tuple(pairs), only_old=(), only_new=()))
