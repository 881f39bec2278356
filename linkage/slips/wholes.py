"""Slips of a whole shaft or a word: opens, presses, every arm's viewer, the axis.

Not here: one number alone (`slips.sizes`, `slips.turned`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.model.axes import NAMED, turning
from linkage.model.refs import Ref
from linkage.slips.kinds import Hypothesis
from linkage.slips.places import pinned
from linkage.slips.turned import mirrored, opposite

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout, Shaft

#: What stands for the hand lever among what is turned the other way.
HAND: Final = "hand lever"
_RUNS: Final = {
    "across": "across the vehicle",
    "along": "along the vehicle",
    "upright": "upright",
}


def whole_slips(layout: Layout) -> Iterator[Hypothesis]:
    """Yield the slips of words and of whole shafts."""
    yield from _opens(layout)
    yield from _inputs(layout)
    for shaft in layout.shafts.values():
        if not (shaft.slides or pinned(shaft)):  # a pin is a place, whoever looks at it
            yield from _viewed(layout, shaft)
            yield from _axes(shaft)


def _opens(layout: Layout) -> Iterator[Hypothesis]:
    """Yield every throttle opening the other way, and all plates together."""
    plates = tuple(t.name for t in layout.plates)
    groups: list[tuple[str, ...]] = [(name,) for name in layout.throttles]
    groups += [plates] if len(plates) > 1 else []
    for names in groups:
        throttle = layout.throttles[names[0]]
        axis = layout.shafts[throttle.shaft].axis
        # Of a governed engine `opens` is inside the sense in which it is shut.
        sense = -throttle.opens if layout.governed else throttle.opens
        way = turning(-sense)
        yield Hypothesis(
            kind="opens",
            about=Ref("throttle", names[0]),
            key=_throttle_key(names[0], "opens"),
            clause=f"`opens` of {' and '.join(names)} was seen from {opposite(axis)}",
            then=f"it opens {way} seen from {axis.seen_from}",
            old=turning(sense),
            new=way,
            unit="",
            sets={},
            change=len(names),
            turned=names,
        )


def _throttle_key(name: str, word: str) -> tuple[str, ...]:
    return (name, word) if name == "throttle" else ("throttles", name, word)


def _inputs(layout: Layout) -> Iterator[Hypothesis]:
    """Yield the pedal pressed the other way, a governor's turn, a hand lever pulled so."""
    pedal, hand = layout.pedal, layout.hand
    word = "turns" if layout.governed else "presses"
    yield _input(layout, Ref("pedal"), word, pedal.shaft, pedal.presses, "pedal")
    if hand is not None:
        yield _input(layout, Ref("hand"), "pulls", hand.shaft, hand.pulls, HAND)


def _input(
    layout: Layout, about: Ref, word: str, shaft: str, sense: int, turned: str
) -> Hypothesis:
    axis, way = layout.shafts[shaft].axis, turning(-sense)
    does = {"presses": "pressing", "pulls": "pulling", "turns": "the governor"}[word]
    return Hypothesis(
        kind="presses",
        about=about,
        key=("governor" if word == "turns" else about.kind, word),
        clause=f"`{word}` was seen from {opposite(axis)}",
        then=f"{does} turns `{shaft}` {way} seen from {axis.seen_from}",
        old=turning(sense),
        new=way,
        unit="",
        sets={},
        change=1.0,
        turned=(turned,),
    )


def _viewed(layout: Layout, shaft: Shaft) -> Iterator[Hypothesis]:
    """Yield every arm of a shaft seen from the other side, `opens` too or not."""
    throttle = layout.throttle_on(shaft.name)
    words: list[tuple[str, ...]] = [()]
    words += [(throttle.name,)] if throttle else []
    for turned in words:
        if len(shaft.arms) < 2 and not turned:
            continue
        for i in range(2):
            angles = {n: mirrored(arm.angle)[i] for n, arm in shaft.arms.items()}
            told = ", ".join(f"`{n}` {math.degrees(a):.3g}°" for n, a in angles.items())
            also = " with `opens`" if turned else ""
            path = ("shafts", shaft.name, "arms")
            yield Hypothesis(
                kind="shaft viewer",
                about=Ref("shaft", shaft.name),
                key=path,
                clause=f"all of `{shaft.name}`{also} was looked at from {opposite(shaft.axis)}",
                then=f"its angles are {told}",
                old={n: arm.angle for n, arm in shaft.arms.items()},
                new=angles,
                unit="angle",
                sets={(*path, n, "angle"): a for n, a in angles.items()},
                change=len(turned) + i / 2,
                turned=turned,
            )


def _axes(shaft: Shaft) -> Iterator[Hypothesis]:
    """Yield a shaft of a named axis along another."""
    for name, axis in NAMED.items():
        if shaft.axis.name in _RUNS and name != shaft.axis.name:
            yield Hypothesis(
                kind="axis",
                about=Ref("shaft", shaft.name),
                key=("shafts", shaft.name, "axis"),
                clause=f"`{shaft.name}` is {_RUNS[name]}",
                then=f"its axis is `{name}`, not `{shaft.axis.name}`",
                old=shaft.axis.name,
                new=name,
                unit="",
                sets={("shafts", shaft.name, "axis"): axis},
                change=1.0,
            )
