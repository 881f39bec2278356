"""Changes to springs, stops and rods that may mend a finding of force.

Each is a layout to be solved again as proof, as those of `checks.adjust`. Rates
go in steps of a twentieth, places in steps of 1 mm.

Not here: which of them mends a finding (`checks.cures`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from linkage.connect.rod import YOUNG
from linkage.model import Hole, Known, Spring, turning
from linkage.motion import frame
from linkage.quantities import say, say_point
from linkage.rules import adjust
from linkage.rules.adjust import Adjustment
from linkage.springs import spring_laws

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from linkage.model import Layout
    from linkage.model.axes import Vector
    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding
    from linkage.springs import SpringLaw

#: Sizes of round bar that rods are made of; common practice, no source. [m]
BARS: Final = (5e-3, 6e-3, 8e-3, 10e-3, 12e-3)
#: Length of an added spring at idle, and its free length. [m]
ADDED_LENGTH: Final = 0.110
ADDED_FREE: Final = 0.085
ADDED_TENSION: Final = 5.0
STEP: Final = 1e-3


def _rounded(place: object) -> Vector:
    """Return a point on the 1 mm grid a fitter can measure. [m]."""
    x, y, z = (round(float(c) / STEP) * STEP for c in np.asarray(place, dtype=float))
    return (x, y, z)


def _as_strong(spring: Spring, law: SpringLaw, factor: float) -> tuple[Spring, str]:
    """Return a spring of some times the strength, and how it reads."""
    rate, first = law.rate * factor, law.initial * factor
    if not law.along_line:
        known = Known(rate=rate, preload=first, shuts=law.sense or None)
        size = f"{say(rate, 'torsion rate')} and {say(first, 'torque')} at rest"
    else:
        pulled = spring.kind == "extension"
        known = Known(
            rate=rate,
            free_length=law.free_length,
            initial_tension=first if pulled else None,
            greatest_length=spring.known.greatest_length,
            solid_length=spring.known.solid_length,
        )
        size = say(rate, "rate")
        if pulled:
            size += f" and {say(first, 'force')} of initial tension"
    return replace(spring, known=known, material=""), size


def scaled(
    layout: Layout, names: Iterable[str], factors: Iterable[float]
) -> Iterator[Adjustment]:
    """Yield springs made stronger or weaker, rate and initial load alike."""
    laws = spring_laws(layout)
    steps = tuple(factors)
    for name in names:
        spring = layout.springs[name]
        if spring.kind == "measured":
            continue
        for factor in steps:
            changed, size = _as_strong(spring, laws[name], factor)
            yield Adjustment(
                effort=abs(math.log(factor)),
                text=f"fit a spring of {size} for `{name}`",
                layout=layout.with_spring(changed),
            )


STRONGER: Final = (
    *(1 + 0.05 * i for i in range(1, 21)),
    2.5,
    3.0,
    4.0,
    6.0,
)
WEAKER: Final = tuple(1 - 0.05 * i for i in range(1, 16))


def moved(layout: Layout, name: str, targets: Iterable[Vector]) -> Iterator[Adjustment]:
    """Yield a spring's anchor moved to each of some places."""
    spring = layout.springs[name]
    if spring.anchor is None:
        return
    for target in targets:
        way = math.dist(target, spring.anchor)
        if way < STEP / 2:
            continue
        yield Adjustment(
            effort=way / 0.1,
            text=f"move the anchor of spring `{name}` by {say(way, 'length', 0)} "
            f"to {say_point(target)}",
            layout=layout.with_spring(replace(spring, anchor=target)),
        )


def mirrored(x: Examined, name: str) -> Iterator[Adjustment]:
    """Yield an anchor across its hook's arm, or a torsion spring of the other hand."""
    spring = x.layout.springs[name]
    if spring.anchor is None:
        law = spring_laws(x.layout)[name]
        seen = x.layout.shafts[spring.shaft].axis.seen_from
        hand: Literal[1, -1] = -1 if law.sense > 0 else 1
        other = replace(spring, known=replace(spring.known, shuts=hand))
        yield Adjustment(
            effort=0.5,
            text=f"fit spring `{name}` of the other hand, so that it turns "
            f"{spring.shaft} {turning(-law.sense)} seen from {seen}",
            layout=x.layout.with_spring(other),
        )
        return
    shaft = x.layout.shafts[spring.shaft]
    pins = frame(x.motion).pin(Hole(shaft=spring.shaft, arm=spring.arm)).T
    normal = np.array(shaft.axis.n)
    centre = np.array(shaft.centre(spring.arm))
    targets = []
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        pin = pins[round(share * (len(pins) - 1))]
        radial = (pin - centre) / np.linalg.norm(pin - centre)
        tangent = np.cross(normal, radial)
        away = np.array(spring.anchor) - pin
        targets.append(_rounded(pin + away - 2 * (away @ tangent) * tangent))
    yield from moved(x.layout, name, targets)


def along(x: Examined, name: str, steps: Iterable[int]) -> Iterator[Adjustment]:
    """Yield an anchor moved along the spring's line at idle, away from its hook."""
    spring = x.layout.springs[name]
    if spring.anchor is None:
        return
    pin = frame(x.motion).pin(Hole(shaft=spring.shaft, arm=spring.arm)).T[0]
    line = np.array(spring.anchor) - pin
    line = line / np.linalg.norm(line)
    targets = [_rounded(np.array(spring.anchor) + i * STEP * line) for i in steps]
    yield from moved(x.layout, name, targets)


def turned(x: Examined, name: str) -> Iterator[Adjustment]:
    """Yield an anchor swung about its hook at idle, up to 90° either way."""
    spring = x.layout.springs[name]
    if spring.anchor is None:
        return
    shaft = x.layout.shafts[spring.shaft]
    normal = np.array(shaft.axis.n)
    pin = frame(x.motion).pin(Hole(shaft=spring.shaft, arm=spring.arm)).T[0]
    line = np.array(spring.anchor) - pin
    flat = line - (line @ normal) * normal
    targets = []
    for i in range(1, 19):
        for sign in (1, -1):
            angle = sign * math.radians(5 * i)
            swung = math.cos(angle) * flat + math.sin(angle) * np.cross(normal, flat)
            targets.append(_rounded(pin + swung + (line @ normal) * normal))
    yield from moved(x.layout, name, targets)


def added(x: Examined, throttle: str) -> Iterator[Adjustment]:
    """Yield one more extension spring at a spindle, hooked to an arm it has.

    Its anchor lies square to the arm half-way through the travel.
    """
    layout = x.layout
    spindle = layout.shafts[layout.throttles[throttle].shaft]
    way = -float(layout.throttles[throttle].opens)
    normal = np.array(spindle.axis.n)
    driven = {(h.shaft, h.arm) for link in layout.links for h in link.holes}
    taken = {s.arm for s in layout.springs.values() if s.shaft == spindle.name}
    arms = sorted(
        spindle.arms.values(),
        key=lambda a: (a.name in taken, (spindle.name, a.name) in driven),
    )
    for i, arm in enumerate(arms):
        pins = frame(x.motion).pin(Hole(shaft=spindle.name, arm=arm.name)).T
        centre = np.array(spindle.centre(arm.name))
        middle = pins[len(pins) // 2]
        radial = (middle - centre) / arm.length
        toward = way * np.cross(normal, radial)
        near = float((pins[0] - middle) @ toward)
        anchor = _rounded(middle + (ADDED_LENGTH + near) * toward)
        name = next(n for n in ("second", "third", "fourth", "fifth", "sixth", "added") if n not in layout.springs)  # fmt: skip
        for k in (3, 5, 8, 12, 18, 25, 40):
            rate = k * 100.0
            known = Known(
                rate=rate, free_length=ADDED_FREE, initial_tension=ADDED_TENSION
            )
            spring = Spring(
                name=name,
                kind="extension",
                shaft=spindle.name,
                arm=arm.name,
                anchor=anchor,
                known=known,
            )
            yield Adjustment(
                effort=1 + 0.2 * i + rate / 1e4,
                text=f"add spring `{name}` from `{spindle.name}.{arm.name}` to "
                f"{say_point(anchor)}, {say(rate, 'rate')}, {say(ADDED_FREE, 'length')} "
                f"free, {say(ADDED_TENSION, 'force')} of initial tension",
                layout=layout.with_spring(spring),
            )


def thicker(x: Examined, rod: str, limit: float, push: float) -> Iterator[Adjustment]:
    """Yield a rod of the bars that stand the push by Euler."""
    old = x.layout.rods[rod]
    length = x.assembly.loop(rod).length
    area_moment = push / limit * length**2 / (math.pi**2 * YOUNG[old.material])
    least = (64 * area_moment / math.pi) ** 0.25
    for bar in BARS:
        if bar >= least and bar > old.diameter:
            changed = replace(old, diameter=bar, bore=0.0)
            yield Adjustment(
                effort=bar / 0.01,
                text=f"make rod `{rod}` of {say(bar, 'length', 0)} solid {old.material} bar",
                layout=replace(x.layout, rods={**x.layout.rods, rod: changed}),
            )


def freed(layout: Layout) -> Iterator[Adjustment]:
    """Yield shafts that turn more freely: each by itself, then all of them."""
    rubbing = [n for n, s in layout.shafts.items() if s.bearing or s.drag]
    groups = [[n] for n in rubbing]
    if len(rubbing) > 1:
        groups.append(rubbing)
    for names in groups:
        for share in (0.75, 0.5, 0.35, 0.25, 0.15, 0.1):
            texts, shafts = [], {}
            for name in names:
                old = layout.shafts[name]
                coefficient = layout.friction if old.friction is None else old.friction
                shafts[name] = replace(old, friction=share * coefficient, drag=share * old.drag)  # fmt: skip
                left = [f"friction {share * coefficient:.2f}"] if old.bearing else []
                left += [f"drag {say(share * old.drag, 'torque')}"] if old.drag else []
                texts.append(f"`{name}` ({' and '.join(left)} at most)")
            yield Adjustment(
                effort=2 + len(names) - math.log(share),
                text="free, bush or grease the bearing of " + ", ".join(texts),
                layout=replace(layout, shafts={**layout.shafts, **shafts}),
            )


def _strengthen(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    throttle, off = (
        finding.about.name,
        [f.ref.name for f in finding.part],
    )
    names = [n for n in x.layout.springs if n not in off]
    return chain(scaled(x.layout, names, STRONGER), added(x, throttle), freed(x.layout))


def _one_more(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    return added(x, finding.about.name)


def _other_hand(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    return mirrored(x, finding.about.name)


def _tighten(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    pressed = x.layout.springs[finding.about.name].kind == "compression"
    first = math.ceil((finding.value or 0.0) / STEP) + 1
    steps = range(first, first + 30)
    return along(x, finding.about.name, (-i for i in steps) if pressed else steps)


def _loosen(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    pressed = x.layout.springs[finding.about.name].kind == "compression"
    steps = range(1, 81)
    return along(x, finding.about.name, steps if pressed else (-i for i in steps))


def _lighter(x: Examined, finding: Finding) -> Iterator[Adjustment]:  # noqa: ARG001
    return _all_scaled(x.layout, WEAKER)


def _heavier(x: Examined, finding: Finding) -> Iterator[Adjustment]:  # noqa: ARG001
    return _all_scaled(x.layout, STRONGER)


def _all_scaled(layout: Layout, factors: Iterable[float]) -> Iterator[Adjustment]:
    """Yield each spring, then all springs alike, made stronger or weaker."""
    steps = tuple(factors)
    yield from scaled(layout, layout.springs, steps)
    for factor in steps:
        whole, texts = layout, []
        for name in layout.springs:
            for one in scaled(whole, [name], [factor]):
                whole = one.layout
                texts.append(one.text)
        if len(texts) > 1:
            yield Adjustment(
                effort=1.5 * abs(math.log(factor)),
                text=" and ".join(texts),
                layout=whole,
            )


def pedal_stop(x: Examined, finding: Finding) -> Iterator[Adjustment]:  # noqa: ARG001
    """Yield a pedal stop that takes the foot where the full stop is met."""
    return adjust.pedal_stop(x)


def _bar(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    rod = finding.about.name
    share = x.layout.limits.euler_share
    return chain(
        adjust.pedal_stop(x),
        thicker(x, rod, share, finding.value or 0.0),
    )


SOURCES: Final = {
    "closing-torque": _strengthen,
    "closing-torque-one-off": _strengthen,
    "energy-sources": _one_more,
    "unsprung-if-parted": _one_more,
    "time-to-idle": _strengthen,
    "spring-hand": _other_hand,
    "spring-slack": _tighten,
    "spring-overstretched": _loosen,
    "spring-stress": _loosen,
    "pad-force": _lighter,
    "pad-force-light": _heavier,
    "stamp-load": pedal_stop,
    "rod-push": _bar,
}
