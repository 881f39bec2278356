"""The old layout with the names of the new one, so that one name is one part.

Not here: which part is which (`comparison.match`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from linkage.model import Hole, Slide

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from linkage.comparison.match import Matching
    from linkage.model import Heat, Layout, Shaft

#: What is put behind the name of an old part that a new, unlike part has.
OLD = " of the old"


def renamed(old: Layout, matching: Matching) -> Layout:
    """Return the old layout, its parts named as those of the new one.

    Parameters
    ----------
    old : Layout
        As it was.
    matching : Matching
        From `match`. A part without a counterpart keeps its name, or gets another
        where an unlike part of the new layout has it.
    """
    others = {r.name for r in matching.only_new if r.kind == "shaft"}
    shafts = _whole(old.shafts, matching.names("shaft"), others)
    rods = _whole(old.rods, matching.names("rod"))
    springs = _whole(old.springs, matching.names("spring"))
    throttles = _whole(old.throttles, matching.names("throttle"))
    known = matching.arms()
    arms = {
        name: _whole(
            shaft.arms, {a.arm: b.arm for a, b in known.items() if a.shaft == name}
        )
        for name, shaft in old.shafts.items()
    }

    def hole(one: Hole) -> Hole:
        return Hole(shaft=shafts[one.shaft], arm=arms[one.shaft][one.arm])

    pedal = replace(
        old.pedal,
        shaft=shafts[old.pedal.shaft],
        pad=arms[old.pedal.shaft][old.pedal.pad],
    )
    hand = old.hand
    if hand is not None:
        hand = replace(
            hand, shaft=shafts[hand.shaft], lever=arms[hand.shaft][hand.lever]
        )
    return replace(
        old,
        hand=hand,
        shafts={
            shafts[n]: _shaft(s, shafts[n], arms[n]) for n, s in old.shafts.items()
        },
        rods={
            rods[n]: replace(r, name=rods[n], start=hole(r.start), end=hole(r.end))
            for n, r in old.rods.items()
        },
        pedal=pedal,
        throttles={
            throttles[n]: replace(t, name=throttles[n], shaft=shafts[t.shaft])
            for n, t in old.throttles.items()
        },
        springs={
            springs[n]: replace(
                s,
                name=springs[n],
                shaft=shafts[s.shaft],
                arm=arms[s.shaft][s.arm] if s.arm else s.arm,
            )
            for n, s in old.springs.items()
        },
        stops={n: replace(s, shaft=shafts[s.shaft]) for n, s in old.stops.items()},
        engine=replace(
            old.engine, carries=tuple(shafts[n] for n in old.engine.carries)
        ),
        heat=_heat(old.heat, shafts),
        tolerances={},  # their keys are names of the file
    )


def _heat(heat: Heat | None, shafts: Mapping[str, str]) -> Heat | None:
    if heat is None or heat.carries is None:
        return heat
    return replace(heat, carries=tuple(shafts[n] for n in heat.carries))


def _shaft(shaft: Shaft, name: str, arms: Mapping[str, str]) -> Shaft:
    inner = {arms[n]: replace(a, name=arms[n]) for n, a in shaft.arms.items()}
    if isinstance(shaft, Slide):
        points = {arms[n]: at for n, at in shaft.points.items()}
        return replace(shaft, name=name, arms=inner, points=points)
    return replace(shaft, name=name, arms=inner)


def _whole(
    names: Iterable[str], known: Mapping[str, str], others: Iterable[str] = ()
) -> dict[str, str]:
    """Return a new name for every old one, no two alike; none of others that are there."""
    taken = {*known.values(), *others}
    out = dict(known)
    for name in names:
        if name not in out:
            word = name
            while word in taken:
                word += OLD
            out[name] = word
            taken.add(word)
    return {name: out[name] for name in names}
