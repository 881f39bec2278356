"""Changes of arms, rods and joints that a fitter can make.

Rods that touch a changed arm are cut again to fit. Lengths go in steps of
0.5 mm and angles in whole degrees, as they can be drilled and set.

Not here: springs (`search.spring_changes`), the engine (`search.engine_changes`),
which of them mends a finding (`search.cures`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final, cast

import numpy as np

from linkage.model.paths import arm_path
from linkage.model.refs import Ref
from linkage.model.rod import JOINT_TILT
from linkage.motion.twin_setting import SAME_ARM
from linkage.motion.twins import own_ways, paired_arms
from linkage.search.family import Family, Step, always
from linkage.shown_units import in_inches

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from numpy.typing import NDArray

    from linkage.model import Hole, Joint, Layout

    FloatArray = NDArray[np.float64]

#: Steps in which a hole can be drilled, by a metric or an inch rule, and a lever set.
LENGTH_STEP: Final = 0.5e-3
INCH_LENGTH_STEP: Final = 0.0254 / 64
#: Steps in which anchors and hooks are moved, on either rule. [m]
PLACE_STEP: Final = 1e-3
INCH_PLACE_STEP: Final = 0.0254 / 32
ANGLE_STEP: Final = math.radians(1)
#: Step in which an arm is slid along its shaft, and how far at most. [m]
SLIDE_STEP: Final = 1e-3
SLIDE_MOST: Final = 0.25
#: Up to so many steps every one is tried, and beyond every so many. [1]
SLIDE_FINE: Final = 20
SLIDE_FAR: Final = 5
#: How far a stop is set back at most. [rad]
STOP_BACK: Final = math.radians(60)
#: Free play that a pedal is left: common practice, no source. [m]
LEAST_FREE_PLAY: Final = 2e-3
#: Share of its usual effort for an arm that is made as its twin.
AS_TWIN: Final = 0.25
#: Turns about straight across at which an arm is put on its other side.
ACROSS: Final = np.radians(np.arange(-50.0, 51.0, 10.0))


def arm(hole: Hole) -> Ref:
    """Return the ref of a hole's arm."""
    return Ref("arm", hole.shaft, hole.arm)


def holes_to(layout: Layout, shaft: str) -> list[Hole]:
    """Return the holes of every rod from the pedal to a shaft, pedal first."""
    return [h for link in layout.path_to(shaft) for h in link.holes]


def rods_at(layout: Layout, hole: Hole) -> tuple[str, ...]:
    """Return the rods and cables that are joined at a hole, which can be set anew.

    No cams: those are as they are.
    """
    return tuple(
        n
        for n, rod in layout.rods.items()
        if hole in {rod.start, rod.end} and rod.kind != "cam"
    )


def of_cam(layout: Layout, hole: Hole) -> bool:
    """Tell whether a hole is where a cam begins, or the pin of its roller."""
    cams = (rod for rod in layout.rods.values() if rod.kind == "cam")
    return any(hole in {cam.start, cam.end} for cam in cams)


def _of_arm(
    layout: Layout,
    hole: Hole,
    field: str,
    kind: str,
    new: FloatArray,
    effort: FloatArray,
) -> Family:
    """Return one number of an arm changed to each of some values."""
    now = layout.shafts[hole.shaft].arms[hole.arm]
    old, about, more = getattr(now, field), arm(hole), {"arm": now.called}
    return Family(
        base=layout,
        sets={arm_path(hole, field): new},
        effort=effort,
        step=lambda i: Step(
            kind=kind, about=about, old=old, new=float(new[i]), more=more
        ),
        cut=rods_at(layout, hole),
        moves_stroke=bool(rods_at(layout, hole)),
    )


#: Lengths of one arm that are tried.
MOST_SIZES: Final = 2000


def length_step() -> float:
    """Return the step in which holes are drilled by the rule that the file speaks. [m].

    >>> length_step()
    0.0005
    """
    return INCH_LENGTH_STEP if in_inches() else LENGTH_STEP


def place_step() -> float:
    """Return the step in which places are measured off on the car, by that rule. [m].

    >>> place_step()
    0.001
    """
    return INCH_PLACE_STEP if in_inches() else PLACE_STEP


def measured_off(sizes: FloatArray) -> FloatArray:
    """Return lengths or places in whole steps of `place_step`. [m].

    >>> measured_off(np.array([0.0304]))
    array([0.03])
    """
    step = place_step()
    return np.round(sizes / step) * step


def lengths(
    layout: Layout, holes: Iterable[Hole], *, least: float = 0.5, most: float = 1.5
) -> Iterator[Family]:
    """Yield longer and shorter arms, from some share of what they are to another.

    In steps of a rule, or so many of them at once that no more than `MOST_SIZES` are
    tried of an arm that is metres long. Not of a cam, which would be another one.
    """
    for hole in holes:
        if of_cam(layout, hole):
            continue
        old = layout.shafts[hole.shaft].arms[hole.arm].length
        step = length_step()
        step *= max(1, math.ceil((most - least) * old / step / MOST_SIZES))
        first = max(math.floor(least * old / step), 1)
        new = np.arange(first, math.ceil(most * old / step) + 1) * step
        new = new[np.abs(new - old) >= step / 4]
        yield _of_arm(
            layout, hole, "length", "arm length", new, np.abs(new - old) / old
        )


def as_twins(layout: Layout) -> Iterator[Family]:
    """Yield arms on the way to one plate alone, as long as those in their place to another.

    It takes less than another length would: it is what was meant.
    """
    one, *others = layout.plates
    for other in others:
        for pair in paired_arms(own_ways(layout, one, other)):
            if any(layout.shafts[h.shaft].slides for h in pair):
                continue  # a pin of a slide has no length
            sizes = [layout.shafts[h.shaft].arms[h.arm].length for h in pair]
            for hole, old, new in zip(pair, sizes, sizes[::-1], strict=True):
                if abs(new - old) > SAME_ARM:
                    yield _of_arm(
                        layout,
                        hole,
                        "length",
                        "arm length",
                        np.array([new]),
                        np.array([AS_TWIN * abs(new - old) / old]),
                    )


def angles(
    layout: Layout, holes: Iterable[Hole], *, most: float = math.radians(60)
) -> Iterator[Family]:
    """Yield arms turned on their shafts, up to ``most`` either way."""
    steps = np.arange(1, round(most / ANGLE_STEP) + 1) * ANGLE_STEP
    both = np.stack([steps, -steps], axis=1).ravel()
    for hole in holes:
        new = layout.shafts[hole.shaft].arms[hole.arm].angle + both
        yield _of_arm(
            layout, hole, "angle", "arm angle", new, np.abs(both) / math.radians(90)
        )


def other_side(layout: Layout, holes: Iterable[Hole]) -> Iterator[Family]:
    """Yield arms moved to the other side of their shaft, and some degrees about it.

    No drum, which a wire turns the same way wherever its nipple is; nor a cam, or its
    roller, which would not face each other.
    """
    for hole in holes:
        if layout.shafts[hole.shaft].arms[hole.arm].wound or of_cam(layout, hole):
            continue
        old = layout.shafts[hole.shaft].arms[hole.arm].angle
        new = old + math.pi + ACROSS
        new = np.remainder(new + math.pi, 2 * math.pi) - math.pi
        yield _of_arm(
            layout, hole, "angle", "arm side", new, 1 + np.degrees(np.abs(ACROSS)) / 90
        )


def offsets(layout: Layout, holes: Iterable[Hole]) -> Iterator[Family]:
    """Yield arms slid along their shafts."""
    steps = np.arange(1, round(SLIDE_MOST / SLIDE_STEP) + 1)
    steps = steps[(steps <= SLIDE_FINE) | (steps % SLIDE_FAR == 0)] * SLIDE_STEP
    both = np.stack([steps, -steps], axis=1).ravel()
    for hole in holes:
        new = layout.shafts[hole.shaft].arms[hole.arm].offset + both
        yield _of_arm(layout, hole, "offset", "arm offset", new, np.abs(both) / 0.1)


def joints(layout: Layout, rod: str) -> Iterator[Family]:
    """Yield joints that lean further than those of a rod."""
    old = layout.rods[rod]
    if old.kind != "rod":
        return
    for kind, allowed in JOINT_TILT.items():
        if allowed <= min(JOINT_TILT[j] for j in old.joints):
            continue
        changed = replace(old, joints=(cast("Joint", kind),) * 2)
        step = Step(
            kind="rod joints", about=Ref("rod", rod), new=kind, more={"allows": allowed}
        )
        yield Family(
            base=replace(layout, rods={**layout.rods, rod: changed}),
            sets={},
            effort=np.array([0.5 + allowed]),
            step=always(step),
        )


def rods_cut_to_fit(layout: Layout) -> Iterator[Family]:
    """Yield the rods of given length cut to the measured rest position instead."""
    for name, rod in layout.rods.items():
        if rod.length is not None:
            step = Step(
                kind="rod cut",
                about=Ref("rod", name),
                old=rod.length,
                more={"rod": rod.kind},
            )
            yield Family(
                base=layout,
                sets={},
                effort=np.zeros(1),
                step=always(step),
                cut=(name,),
            )


def less_free_play(layout: Layout) -> Iterator[Family]:
    """Yield the pedal with its free play taken up to 2 mm."""
    old = layout.pedal.free_play
    if old > LEAST_FREE_PLAY:
        step = Step(kind="free play", about=Ref("pedal"), old=old, new=LEAST_FREE_PLAY)
        yield Family(
            base=layout,
            sets={("pedal", "free_play"): np.array([LEAST_FREE_PLAY])},
            effort=np.array([0.1]),
            step=always(step),
        )


def stops_back(layout: Layout) -> Iterator[Family]:
    """Yield stops on shafts set back, so that the shaft turns further."""
    for name, stop in layout.stops.items():
        if layout.shafts[stop.shaft].slides:
            continue  # it has no turn: what to do is told by how much is missing
        sense = 1 if stop.turn >= 0 else -1
        back = np.arange(1, round(STOP_BACK / ANGLE_STEP) + 1) * ANGLE_STEP
        yield Family(
            base=layout,
            sets={("stops", name, "turn"): stop.turn + sense * back},
            effort=np.asarray(back / math.radians(90), dtype=float),
            step=_stop_step(name, stop.turn, stop.turn + sense * back),
        )


def _stop_step(name: str, old: float, new: FloatArray) -> Callable[[int], Step]:
    about = Ref("stop", name)
    return lambda i: Step(kind="stop back", about=about, old=old, new=float(new[i]))


def stop_later(layout: Layout) -> Iterator[Family]:
    """Yield the pedal let down further; its stop is then set where full is met."""
    old = layout.pedal.stop
    if old is not None:
        yield Family(
            base=layout,
            sets={("pedal", "stop"): np.array([layout.pedal.travel])},
            effort=np.zeros(1),  # it is set last anyhow
            step=always(Step(kind="stop later", about=Ref("pedal stop"), old=old)),
        )


def pedal_stop(layout: Layout, at: float) -> Family:
    """Return a pedal stop that takes the foot at a pad travel. [m]."""
    step = Step(
        kind="pedal stop", about=Ref("pedal stop"), old=layout.pedal.stop, new=at
    )
    return Family(
        base=layout,
        sets={("pedal", "stop"): np.array([at])},
        effort=np.zeros(1),
        step=always(step),
        moves_stroke=False,
    )
