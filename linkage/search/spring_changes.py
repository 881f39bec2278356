"""Changes to springs that may mend a finding of force.

Rates go in steps of a twentieth.

Not here: where anchors go (`search.anchors`), rods and bearings
(`search.bars_and_bearings`), arms (`search.changes`), which of them mends a finding
(`search.cures`).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.paths import applied
from linkage.model.refs import Ref
from linkage.quantities import say, say_point
from linkage.search.anchors import Hook
from linkage.search.changes import measured_off
from linkage.search.family import Family, Step, always
from linkage.springs import rated, spring_laws

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.paths import Path
    from linkage.motion import Motion
    from linkage.springs import SpringLaw

    FloatArray = NDArray[np.float64]

#: Factors on the strength of a spring.
STRONGER: Final = np.array(
    [
        *(1 + 0.05 * i for i in range(1, 21)),
        *(2 + 0.25 * i for i in range(1, 9)),
        4.5,
        5.0,
        6.0,
    ]
)
WEAKER: Final = np.array([1 - 0.05 * i for i in range(1, 16)])
#: Springs of which every two are tried together.
PAIRED: Final = 4
#: Share of its length to which a spring is shortened at most, and how far one that is
#: bought may be stretched, in free lengths: common practice, no source.
SHORTEST: Final = 0.4
TWICE: Final = 2.0
#: By how much a spring is longer or shorter than the one that is fitted. [m]
LONGER: Final = np.arange(1, 17) * 5e-3


def _path(name: str, field: str) -> Path:
    return ("springs", name, "known", field)


def by_rate(layout: Layout, name: str) -> Layout:
    """Return the layout with a spring given by its rate, which can be changed.

    The layout itself where the spring is so given already.
    """
    spring = layout.springs[name]
    if spring.known.rate is not None or spring.kind == "measured":
        return layout
    return layout.with_spring(rated(spring, spring_laws(layout)[name]))


def _size(law: SpringLaw, factor: float) -> str:
    rate, first = law.rate * factor, law.initial * factor
    if not law.along_line:
        return f"{say(rate, 'torsion rate')} and {say(first, 'torque')} at rest"
    if law.kind != "extension":
        return say(rate, "rate")
    tension = f"{say(first, 'force')} of" if first else "no"
    return f"{say(rate, 'rate')}, {tension} initial tension"


def _free(law: SpringLaw) -> str:
    return f", {say(law.free_length, 'length')} free" if law.along_line else ""


def _strength(
    layout: Layout, law: SpringLaw, factors: FloatArray
) -> dict[Path, FloatArray]:
    """Return what to set for a spring of some times the strength."""
    known = layout.springs[law.name].known
    sets = {_path(law.name, "rate"): law.rate * factors}
    for field in ("initial_tension", "preload"):
        if getattr(known, field) is not None:
            sets[_path(law.name, field)] = law.initial * factors
    return sets


def scaled(
    layout: Layout, names: Iterable[str], factors: FloatArray, *, weight: float = 1.0
) -> Iterator[Family]:
    """Yield springs made stronger or weaker, rate and initial load alike."""
    laws = spring_laws(layout)
    for name in names:
        if layout.springs[name].kind == "measured":
            continue
        law, base = laws[name], by_rate(layout, name)
        yield Family(
            base=base,
            sets=_strength(base, law, factors),
            effort=weight * np.abs(np.log(factors)),
            step=_strength_step(law, factors),
            moves_stroke=False,
        )


def _strength_step(law: SpringLaw, factors: FloatArray) -> Callable[[int], Step]:
    def step(i: int) -> Step:
        factor = float(factors[i])
        more = {"size": lambda: _size(law, factor) + _free(law), "factor": factor}
        old, new = law.rate, law.rate * factor
        return Step(
            kind="spring strength",
            about=Ref("spring", law.name),
            old=old,
            new=new,
            more=more,
        )

    return step


def all_scaled(layout: Layout, factors: FloatArray) -> Iterator[Family]:
    """Yield each spring, then several alike, made stronger or weaker."""
    yield from scaled(layout, layout.springs, factors)
    yield from together(layout, factors)


def together(layout: Layout, factors: FloatArray) -> Iterator[Family]:
    """Yield every two springs alike made stronger or weaker, then all of them."""
    names = [n for n, s in layout.springs.items() if s.kind != "measured"]
    some = list(combinations(names, 2)) if len(names) <= PAIRED else []
    for group in dict.fromkeys([*some, tuple(names)]):
        if len(group) > 1:
            yield _together(layout, group, factors)


def _together(layout: Layout, names: tuple[str, ...], factors: FloatArray) -> Family:
    base = layout
    for name in names:
        base = by_rate(base, name)
    laws = spring_laws(layout)
    sets: dict[Path, FloatArray] = {}
    for name in names:
        sets |= _strength(base, laws[name], factors)
    steps = [_strength_step(laws[name], factors) for name in names]
    about = Ref("spring", names[0])
    return Family(
        base=base,
        sets=sets,
        effort=(1 + 0.25 * len(names)) * np.abs(np.log(factors)),
        step=lambda i: Step(
            kind="several", about=about, more={"steps": [one(i) for one in steps]}
        ),
        moves_stroke=False,
    )


def other_hand(motion: Motion, name: str) -> Iterator[Family]:
    """Yield a torsion spring of the other hand."""
    layout = motion.assembly.layout
    spring = layout.springs[name]
    if spring.anchor is not None:
        return
    law = spring_laws(layout)[name]
    known = replace(spring.known, shuts=-1 if law.sense > 0 else 1)
    shaft = layout.shafts[spring.shaft]
    step = Step(
        kind="spring hand",
        about=Ref("spring", name),
        old=law.sense,
        new=-law.sense,
        more={"shaft": spring.shaft, "seen_from": shaft.axis.seen_from},
    )
    yield Family(
        base=layout.with_spring(replace(spring, known=known)),
        sets={},
        effort=np.array([0.5]),
        step=always(step),
        moves_stroke=False,
    )


def shorter(motion: Motion, name: str) -> Iterator[Family]:
    """Yield a shorter spring in the same place, bought for it.

    As strong, and such that it may be stretched to twice its free length.
    """
    layout = motion.assembly.layout
    spring = layout.springs[name]
    if spring.anchor is None or spring.kind != "extension":
        return
    law, base = spring_laws(layout)[name], by_rate(layout, name)
    known = base.springs[name].known
    if known.greatest_length is None:  # a row has one where the others have
        known = replace(known, greatest_length=TWICE * law.free_length)
        base = base.with_spring(replace(base.springs[name], known=known))
    new = measured_off(law.free_length - LONGER)
    new = new[new >= SHORTEST * law.free_length]
    yield Family(
        base=base,
        sets={
            _path(name, "free_length"): new,
            _path(name, "greatest_length"): TWICE * new,
        },
        effort=np.asarray(1 + (law.free_length - new) / 0.1, dtype=float),
        step=_shorter_step(law, new),
        moves_stroke=False,
    )


def _shorter_step(law: SpringLaw, new: FloatArray) -> Callable[[int], Step]:
    more = {"size": lambda: _size(law, 1.0)}

    def step(i: int) -> Step:
        free = float(new[i])
        return Step(
            kind="spring shorter",
            about=Ref("spring", law.name),
            old=law.free_length,
            new=free,
            more={**more, "greatest": TWICE * free},
        )

    return step


def longer(motion: Motion, name: str) -> Iterator[Family]:
    """Yield a longer spring of the same wire and coil, its anchor further away.

    More turns make it softer; it is stretched as far as before, which is a smaller
    share of its length.
    """
    layout = motion.assembly.layout
    spring = layout.springs[name]
    if spring.anchor is None or spring.kind != "extension":
        return
    law, hook = spring_laws(layout)[name], Hook(motion, name)
    targets = measured_off(hook.anchor + LONGER[:, None] * hook.unit)
    growth = (law.free_length + LONGER) / law.free_length
    known, base = spring.known, layout
    sets: dict[Path, FloatArray] = {}
    if known.wound:  # its stress is judged as before
        sets[_path(name, "turns")] = known.turns + LONGER / known.wire  # type: ignore[operator]
    else:
        base = by_rate(layout, name)
        sets[_path(name, "rate")] = law.rate / growth
    if base.springs[name].known.free_length is not None:
        sets[_path(name, "free_length")] = law.free_length * growth
    if base.springs[name].known.greatest_length is not None:
        sets[_path(name, "greatest_length")] = law.longest * growth
    sets |= {("springs", name, "anchor", k): targets[:, k] for k in range(3)}
    batch = applied(base, {path: values[:, None] for path, values in sets.items()})
    rates = np.ravel(spring_laws(batch)[name].rate)

    def step(i: int) -> Step:
        anchor, rate = tuple(targets[i].tolist()), float(rates[i])

        def also() -> str:
            return f", {say(rate, 'rate')}, with its anchor at {say_point(anchor)}"

        return Step(
            kind="spring longer",
            about=Ref("spring", name),
            old=law.free_length,
            new=law.free_length * float(growth[i]),
            more={"also": also},
        )

    yield Family(
        base=base,
        sets=sets,
        effort=np.asarray(1 + LONGER / 0.1, dtype=float),
        step=step,
        moves_stroke=False,
    )
