"""What a workshop does to the springs of a layout without a thought.

Each function takes a source of chance and a layout and returns another layout; one
that finds nothing to do returns it as it is.

Not here: which are done (`altered`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import random

#: How near two anchors or two holes are made to one another: some are one part, some
#: are not (10 mm for anchors, 5 mm for holes). [m]
APART = (1e-4, 1e-3, 3e-3, 9e-3, 12e-3, 20e-3)
HOLES_APART = (1e-4, 1e-3, 3e-3, 4.5e-3, 7e-3, 12e-3)


def _one(chance: random.Random, layout):
    names = [n for n, s in layout.springs.items() if s.kind == "extension"]
    return layout.springs[chance.choice(names)] if names else None


def _known(layout, names, **factors):
    """Return a layout with numbers of some springs times a factor."""
    found = dict(layout.springs)
    for n in names:
        known = found[n].known
        new = {
            key: getattr(known, key) * factor
            for key, factor in factors.items()
            if getattr(known, key) is not None
        }
        found[n] = replace(found[n], known=replace(known, **new))
    return replace(layout, springs=found)


def _some(chance: random.Random, layout) -> list[str]:
    names = list(layout.springs)
    return names if chance.random() < 0.5 or not names else [chance.choice(names)]


def rates(chance, layout):
    """Springs of another rate."""
    factor = chance.choice([0.05, 0.3, 0.5, 0.7, 1.3, 2.0])
    return _known(layout, _some(chance, layout), rate=factor)


def tensions(chance, layout):
    """Springs of another initial tension."""
    factor = chance.choice([0.0, 0.2, 0.5, 1.5, 2.5])
    return _known(layout, _some(chance, layout), initial_tension=factor)


def feeble(chance, layout):
    """All springs at a small share of their load."""
    f = chance.choice(
        [0.01, 0.1, 0.25, chance.uniform(0.4, 0.9), chance.uniform(0.4, 0.9)]
    )
    names = list(layout.springs)
    return _known(
        layout, names, rate=f, initial_tension=f, preload=f, load_1=f, load_2=f
    )


def _longer(layout, name: str, free: float, tension: float | None):
    """Return a layout with a spring of another free length, that may be pulled beyond it."""
    spring = layout.springs[name]
    known = replace(spring.known, free_length=free, initial_tension=tension)
    if known.greatest_length is not None:
        longest = max(known.greatest_length, free + 0.05)
        known = replace(known, greatest_length=longest)
    return layout.with_spring(replace(spring, known=known))


def slack(chance, layout):
    """A spring that is longer without load."""
    times = chance.choice([1.1, 1.25, 1.5])
    for n in _some(chance, layout):
        k = layout.springs[n].known
        if k.free_length is not None:
            layout = _longer(layout, n, times * k.free_length, k.initial_tension)
    return layout


def short_lived(chance, layout):
    """A spring that may not be pulled as far."""
    spring = _one(chance, layout)
    if spring is None or spring.known.free_length is None:
        return layout
    least = spring.known.free_length * chance.choice([1.1, 1.4, 1.8])
    return layout.with_spring(
        replace(spring, known=replace(spring.known, greatest_length=least))
    )


def removed(chance, layout):
    """One spring is left off."""
    left = dict(layout.springs)
    if left:
        left.pop(chance.choice(list(left)))
    return replace(layout, springs=left)


def anchor_moved(chance, layout):
    """One anchor some way off."""
    spring = _one(chance, layout)
    if spring is None:
        return layout
    moved = tuple(c + chance.uniform(-0.03, 0.03) for c in spring.anchor)
    return layout.with_spring(replace(spring, anchor=moved))


def anchors_together(chance, layout):
    """All springs on one bracket, or nearly."""
    first = _one(chance, layout)
    if first is None:
        return layout
    found = {}
    for n, s in layout.springs.items():
        apart = chance.choice(APART)
        near = (first.anchor[0], first.anchor[1] + apart, first.anchor[2])
        other = s.kind == "extension" and n != first.name
        found[n] = replace(s, anchor=near) if other else s
    return replace(layout, springs=found)


def _driven(layout, spring):
    """Return the arm by which a spring's shaft is driven; none on the pedal."""
    holes = [k.driven for k in layout.links if k.driven.shaft == spring.shaft]
    return layout.shafts[spring.shaft].arms[holes[0].arm] if holes else None


def on_rod_arm(chance, layout):
    """A spring hooked into the rod's own hole."""
    names = _some(chance, layout)
    for n in names:
        spring = layout.springs[n]
        arm = _driven(layout, spring)
        if arm is not None and spring.kind == "extension":
            layout = layout.with_spring(replace(spring, arm=arm.name))
    return layout


def _new_arm(layout, shaft, name, length, angle, offset):
    s = layout.shafts[shaft]
    base = next(iter(s.arms.values()))
    arm = replace(base, name=name, length=length, angle=angle, offset=offset, mass=0.0)
    return layout.with_shaft(replace(s, arms={**s.arms, name: arm}))


def on_rod_pin(chance, layout):
    """Springs on holes of other names that are the rod's own pin, or nearly."""
    for i, n in enumerate(_some(chance, layout)):
        spring = layout.springs[n]
        arm, name = _driven(layout, spring), f"pin {n}"
        if arm is None or not spring.arm or name in layout.shafts[spring.shaft].arms:
            continue
        offset = arm.offset + (-1) ** i * chance.choice(HOLES_APART)
        layout = _new_arm(layout, spring.shaft, name, arm.length, arm.angle, offset)
        layout = layout.with_spring(replace(spring, arm=name))
    return layout


def on_one_lever(chance, layout):
    """Springs in holes of the rod's own lever, well apart from its pin, or beside it."""
    turned = math.radians(chance.choice([0, 4, 25]))
    for i, n in enumerate(_some(chance, layout)):
        spring = layout.springs[n]
        arm, name = _driven(layout, spring), f"low {n}"
        if arm is None or not spring.arm or name in layout.shafts[spring.shaft].arms:
            continue
        length = arm.length - (8e-3, 15e-3)[i % 2]
        offset = arm.offset + chance.choice([0.0, 2e-3, 2e-3, 0.03 * (-1) ** i])
        layout = _new_arm(
            layout, spring.shaft, name, length, arm.angle + turned, offset
        )
        layout = layout.with_spring(replace(spring, arm=name))
    return layout


def on_cross_shaft(chance, layout):
    """Springs on a shaft between, each pulling its own new arm square at rest."""
    ends = {layout.pedal.shaft, *(t.shaft for t in layout.throttles.values())}
    between = [n for n in layout.shafts if n not in ends] or [layout.pedal.shaft]
    shaft = layout.shafts[chance.choice(between)]
    sense = _pressed(layout, shaft.name)
    for i, n in enumerate(_some(chance, layout)):
        spring, name = layout.springs[n], f"spring {n}"
        if spring.kind != "extension" or name in shaft.arms:
            continue
        offset = 0.03 + 0.05 * i
        layout = _new_arm(layout, shaft.name, name, 0.035, math.radians(90), offset)
        now = layout.shafts[shaft.name]
        hook = np.array(now.pin(name))
        back = sense * np.array(now.axis.u)
        anchor = tuple(float(c) for c in hook + 0.11 * back)
        on = "engine" if shaft.name in layout.engine.carries else "body"
        layout = layout.with_spring(
            replace(spring, shaft=shaft.name, arm=name, anchor=anchor, anchored_on=on)
        )
    return layout


def _pressed(layout, shaft: str) -> float:
    """Return the sense in which pressing turns a shaft, from rods as they lie at rest."""
    turned = {layout.pedal.shaft: float(layout.pedal.presses)}
    for k in layout.links:
        pins = [
            np.array(layout.shafts[h.shaft].pin(h.arm)) for h in (k.driver, k.driven)
        ]
        line = pins[1] - pins[0]
        by = []
        for h, at in zip((k.driver, k.driven), pins, strict=True):
            s = layout.shafts[h.shaft]
            by.append(line @ np.cross(s.axis.n, at - np.array(s.centre(h.arm))))
        turned[k.driven.shaft] = turned[k.driver.shaft] * math.copysign(
            1, by[0] / by[1]
        )
    return turned[shaft]


def elsewhere(chance, layout, *, every: bool = False):
    """Springs anchored on the body in place of the engine, or the other way."""
    names = list(layout.springs) if every else _some(chance, layout)
    other = {"engine": "body", "body": "engine"}
    for n in names:
        spring = layout.springs[n]
        layout = layout.with_spring(
            replace(spring, anchored_on=other[spring.anchored_on])
        )
    return layout


def barely_drawn(chance, layout):
    """Springs wound tight that are drawn a few millimetres only at idle, as heavy as before."""
    for n in _some(chance, layout):
        spring = layout.springs[n]
        k = spring.known
        if spring.kind != "extension" or k.rate is None or k.free_length is None:
            continue
        hook = layout.shafts[spring.shaft].pin(spring.arm)
        drawn = math.dist(hook, spring.anchor) - k.free_length
        left = chance.choice([3e-4, 1e-3, 2e-3])
        if drawn > left:
            tension = (k.initial_tension or 0.0) + k.rate * (drawn - left)
            layout = _longer(layout, n, k.free_length + drawn - left, tension)
    return layout


def two_loads(chance, layout):
    """A spring known by two measured loads, not by its rate."""
    spring = _one(chance, layout)
    if spring is None or spring.known.rate is None:
        return layout
    k = spring.known
    lengths = (k.free_length * 1.2, k.free_length * 1.5)
    loads = [(k.initial_tension or 0.0) + k.rate * (x - k.free_length) for x in lengths]
    weaker = chance.choice([1.0, 0.6, 0.3])
    known = replace(
        k, rate=None, initial_tension=None,
        load_1=loads[0] * weaker, length_1=lengths[0],
        load_2=loads[1] * weaker, length_2=lengths[1],
    )  # fmt: skip
    return layout.with_spring(replace(spring, known=known))


def torsion(chance, layout):
    """A coil round the spindle in place of one spring."""
    spring = _one(chance, layout)
    throttle = None if spring is None else layout.throttle_on(spring.shaft)
    if throttle is None:
        return layout
    known = type(spring.known)(
        rate=chance.choice([0.05, 0.2, 0.4]),
        preload=chance.choice([0.05, 0.15, 0.4]),
        shuts=-throttle.opens,
    )
    return layout.with_spring(
        replace(spring, kind="torsion", arm="", anchor=None, known=known)
    )
