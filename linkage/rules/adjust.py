"""Changes a fitter can make, as layouts to be solved again.

Each adjustment knows how it reads and how much it takes; rods that touch a
changed arm are cut again to fit. Lengths go in steps of 0.5 mm and angles in
whole degrees, as they can be drilled and set.

Not here: which of them mends a finding (`checks.cures`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final, cast

from linkage.model.parts import JOINT_TILT
from linkage.quantities import say
from linkage.records import dataclass
from linkage.rules.examine import stop_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from linkage.model import Hole, Joint, Layout
    from linkage.rules.examine import Examined

#: Steps in which a hole can be drilled and a lever set.
LENGTH_STEP: Final = 0.5e-3
ANGLE_STEP: Final = math.radians(1)
#: Free play that a pedal is left: common practice, no source. [m]
LEAST_FREE_PLAY: Final = 2e-3
#: Play of two new ball joints together: common practice, no source. [m]
FRESH_PLAY: Final = 0.2e-3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Adjustment:
    """One change.

    Parameters
    ----------
    effort : float
        How much it takes; the least that mends is offered.
    text : str
        What to do.
    layout : Layout
        The changed layout.
    cut : tuple of str
        Rods that have to be cut again.
    moves_stroke : bool
        Whether full throttle comes elsewhere, so that a pedal stop is set anew.
    """

    effort: float
    text: str
    layout: Layout
    cut: tuple[str, ...] = ()
    moves_stroke: bool = True


def holes_to(layout: Layout, shaft: str) -> list[Hole]:
    """Return the holes of every rod from the pedal to a shaft, pedal first."""
    return [h for link in layout.path_to(shaft) for h in link.holes]


def recut(layout: Layout, hole: Hole) -> tuple[Layout, tuple[str, ...]]:
    """Return the layout with every rod at an arm cut to fit again, and their names."""
    names = tuple(
        name for name, rod in layout.rods.items() if hole in {rod.start, rod.end}
    )
    for name in names:
        layout = layout.with_rod(name, None)
    return layout, names


def lengths(layout: Layout, holes: Iterable[Hole]) -> Iterator[Adjustment]:
    """Yield longer and shorter arms, from half to one and a half of what they are."""
    for hole in holes:
        old = layout.shafts[hole.shaft].arms[hole.arm].length
        first = math.floor(0.5 * old / LENGTH_STEP)
        last = math.ceil(1.5 * old / LENGTH_STEP)
        for i in range(max(first, 1), last + 1):
            new = i * LENGTH_STEP
            if abs(new - old) < LENGTH_STEP / 4:
                continue
            changed, cut = recut(layout.with_arm(hole, length=new), hole)
            yield Adjustment(
                effort=abs(new - old) / old,
                text=f"make arm `{hole}` {say(new, 'length')} instead of {say(old, 'length')}",
                layout=changed,
                cut=cut,
            )


def angles(
    layout: Layout, holes: Iterable[Hole], *, most: float = math.radians(60)
) -> Iterator[Adjustment]:
    """Yield arms turned on their shafts, up to ``most`` either way."""
    for hole in holes:
        old = layout.shafts[hole.shaft].arms[hole.arm].angle
        for i in range(1, round(most / ANGLE_STEP) + 1):
            for sign in (1, -1):
                new = old + sign * i * ANGLE_STEP
                changed, cut = recut(layout.with_arm(hole, angle=new), hole)
                yield Adjustment(
                    effort=i * ANGLE_STEP / math.radians(90),
                    text=f"turn arm `{hole}` on its shaft from {say(old, 'angle')} to {say(new, 'angle')}",
                    layout=changed,
                    cut=cut,
                )


def other_side(layout: Layout, holes: Iterable[Hole]) -> Iterator[Adjustment]:
    """Yield arms moved to the other side of their shaft, and some degrees about it."""
    for hole in holes:
        old = layout.shafts[hole.shaft].arms[hole.arm].angle
        for extra_deg in range(-50, 51, 10):
            new = old + math.pi + math.radians(extra_deg)
            new = math.remainder(new, 2 * math.pi)
            changed, cut = recut(layout.with_arm(hole, angle=new), hole)
            yield Adjustment(
                effort=1 + abs(extra_deg) / 90,
                text=f"put arm `{hole}` on the other side of its shaft, at {say(new, 'angle')} instead of {say(old, 'angle')}",
                layout=changed,
                cut=cut,
            )


def offsets(layout: Layout, holes: Iterable[Hole]) -> Iterator[Adjustment]:
    """Yield arms slid along their shafts, up to 250 mm either way in 1 mm steps."""
    for hole in holes:
        old = layout.shafts[hole.shaft].arms[hole.arm].offset
        for i in range(1, 251):
            for sign in (1, -1):
                new = old + sign * i * 1e-3
                changed, cut = recut(layout.with_arm(hole, offset=new), hole)
                yield Adjustment(
                    effort=i * 1e-3 / 0.1,
                    text=f"slide arm `{hole}` along its shaft from {say(old, 'length')} to {say(new, 'length')}",
                    layout=changed,
                    cut=cut,
                )


def joints(layout: Layout, rod: str) -> Iterator[Adjustment]:
    """Yield joints that lean further than those of a rod."""
    old = layout.rods[rod]
    for kind, allowed in JOINT_TILT.items():
        if allowed <= min(JOINT_TILT[j] for j in old.joints):
            continue
        changed = replace(old, joints=(cast("Joint", kind),) * 2)
        yield Adjustment(
            effort=0.5 + allowed,
            text=f"put a {kind} joint on both ends of rod `{rod}`, which leans {say(allowed, 'angle')}",
            layout=replace(layout, rods={**layout.rods, rod: changed}),
        )


def rods_cut_to_fit(layout: Layout) -> Iterator[Adjustment]:
    """Yield the rods of given length cut to the measured rest position instead."""
    for name, rod in layout.rods.items():
        if rod.length is not None:
            yield Adjustment(
                effort=0.0,
                text=f"set rod `{name}` to fit the lever on its idle stop",
                layout=layout.with_rod(name, None),
                cut=(name,),
            )


def less_free_play(layout: Layout) -> Iterator[Adjustment]:
    """Yield the pedal with its free play taken up to 2 mm."""
    if layout.pedal.free_play > LEAST_FREE_PLAY:
        pedal = replace(layout.pedal, free_play=LEAST_FREE_PLAY)
        yield Adjustment(
            effort=0.1,
            text=f"take up the pedal's free play from {say(layout.pedal.free_play, 'length')} to {say(LEAST_FREE_PLAY, 'length')}",
            layout=replace(layout, pedal=pedal),
        )


def less_play(layout: Layout) -> Iterator[Adjustment]:
    """Yield new joints: each worn rod alone, then all, with 0.2 mm of play."""
    worn = [name for name, rod in layout.rods.items() if rod.play > FRESH_PLAY]
    for names in [[name] for name in worn] + [worn] * (len(worn) > 1):
        rods = {n: replace(layout.rods[n], play=FRESH_PLAY) for n in names}
        what = " and ".join(
            f"rod `{n}` ({say(layout.rods[n].play, 'length')} of play now)"
            for n in names
        )
        yield Adjustment(
            effort=0.05 * len(names),
            text=f"put new joints on {what}, {say(FRESH_PLAY, 'length')} together",
            layout=replace(layout, rods={**layout.rods, **rods}),
        )


def pedal_stop(x: Examined) -> Iterator[Adjustment]:
    """Yield a pedal stop that takes the foot where the full stop is met."""
    at = stop_at(x)
    pedal = replace(x.layout.pedal, stop=at)
    yield Adjustment(
        effort=0.0,
        text=f"fit a pedal stop that takes the foot at {say(at, 'length')} of pad travel",
        layout=replace(x.layout, pedal=pedal),
        moves_stroke=False,
    )
