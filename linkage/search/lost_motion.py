"""Rods that lose motion: a longer slot, more or less lost, a one-way rod the other way.

What each rod loses at rest is known of it, of given length or not (`search.at_rest`).

Not here: other changes of rods (`search.changes`), how such a rod moves (`connect`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.refs import Ref
from linkage.motion.as_made import made_length, made_to_pull
from linkage.search.cables import on_drum
from linkage.search.changes import length_step
from linkage.search.family import Family, Step, always
from linkage.shown_units import in_inches

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.paths import Path
    from linkage.model.rod import OneWay
    from linkage.motion import Assembly

    FloatArray = NDArray[np.float64]

#: Steps in which a slot is drilled and filed out, by a metric or an inch rule. [m]
SLOT_STEP: Final = 1e-3
INCH_SLOT_STEP: Final = 0.0254 / 16
#: How much longer a slot is made at most, and more is lost by a rod without one. [m]
LONGER: Final = 40e-3
#: Wire of a cable that hangs loose at rest, where it is set well: common practice, no
#: source. [m]
SLACK: Final = 1.5e-3
#: Differences of lengths under this are none. [m]
SAME: Final = 1e-9
#: Most that is tried of what a rod loses at rest; no linkage has so much. [m]
MOST_LOST: Final = 0.5


def slot_step() -> float:
    """Return the step in which slots are made by the rule that the file speaks. [m].

    >>> slot_step()
    0.001
    """
    return INCH_SLOT_STEP if in_inches() else SLOT_STEP


def slots_longer(assembly: Assembly, rods: Iterable[str]) -> Iterator[Family]:
    """Yield slots made longer at the end that does not drive, in whole steps."""
    layout, step = assembly.layout, slot_step()
    for name in rods:
        old, loop = layout.rods[name].slot, assembly.loop(name)
        if not old:
            continue
        first = math.floor(old / step + SAME) + 1
        new = np.arange(first, math.floor((old + LONGER) / step) + 1) * step
        new = new[new < made_length(loop)]
        more = {"pulls": made_to_pull(loop)}
        yield Family(
            base=layout,
            sets={("rods", name, "slot"): new},
            effort=0.2 + (new - old) / 0.1,
            step=_to("slot longer", name, old, new, more),
        )


def lost_otherwise(layout: Layout, rods: Iterable[str]) -> Iterator[Family]:
    """Yield rods set longer or shorter, so that they lose less or more at rest.

    In the steps of a rule, which are about half a turn of the thread of a rod's end.
    """
    step = length_step()
    for name in rods:
        rod = layout.rods[name]
        if rod.kind == "cam":
            continue  # what it loses follows from where both arms stand
        most = min(rod.slot or rod.lost + LONGER, MOST_LOST)
        new = np.arange(math.floor(most / step + SAME) + 1) * step
        new = np.minimum(new, most)  # 72 halves of a millimetre are rounded to more
        new = new[np.abs(new - rod.lost) > step / 4]
        path: Path = ("rods", name, "lost")
        yield Family(
            base=layout,
            sets={path: new},
            # Another turn of an adjuster is no more work than one.
            effort=np.abs(new - (SLACK if rod.kind == "cable" else rod.lost)) / 0.1,
            step=_to("rod lost", name, rod.lost, new, {"rod": rod.kind}),
            cut=(name,),
        )


def _to(
    kind: str, name: str, old: float, new: FloatArray, more: Mapping[str, object]
) -> Callable[[int], Step]:
    about = Ref("rod", name)
    return lambda i: Step(kind=kind, about=about, old=old, new=float(new[i]), more=more)


def other_ways(layout: Layout, rods: Iterable[str]) -> Iterator[Family]:
    """Yield one-way rods made to do what they cannot: to push, or to pull.

    A cable that only pulls is made a push-pull one, where no drum is at its ends.
    """
    for name in rods:
        rod = layout.rods[name]
        if not rod.only or rod.kind == "cam" or on_drum(layout, rod):
            continue
        other: OneWay = "push" if rod.only == "pull" else "pull"
        sets: dict[Path, FloatArray] = {}
        turned = replace(rod, only=other)
        if rod.kind == "cable":
            turned = replace(rod, only="", lost=0.0)
            # So that no other change sets the slack of what has none.
            sets = {("rods", name, "lost"): np.zeros(1)}
        step = Step(
            kind="rod way",
            about=Ref("rod", name),
            old=rod.only,
            new=other,
            more={"rod": rod.kind},
        )
        yield Family(
            base=replace(layout, rods={**layout.rods, name: turned}),
            sets=sets,
            effort=np.array([1.0]),
            step=always(step),
            cut=(name,),
        )
