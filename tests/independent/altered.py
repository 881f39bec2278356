"""Four hundred layouts by seed: a shipped sound one, altered once to three times.

Each alteration is one that a workshop makes without a thought: another spring, a hook
in the rod's hole, two anchors in one bracket, a dry bearing, a soft engine mount. Many
leave the layout sound, many do not. Only ``random.Random(seed)`` is drawn.

Not here: alterations of springs (`altered_springs`), the judging (`judge`).
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import cache
from pathlib import Path

import linkage
from tests.build import pedalled
from tests.independent import altered_springs as springs

CONFIGS = Path(__file__).parents[2] / "configs"
COUNT = 400


@cache
def sound() -> tuple[tuple[str, object], ...]:
    """Return name and layout of every shipped layout that is meant to fit.

    But for those of which a part rests while the rest moves: to the judge rods always
    drive. How those move and what they carry is held against `test_lost_motion`; that of
    cables, which to the judge are no rods, against `test_cables`, and of slides, which
    do not turn, against `test_slide_forces`.
    """
    names = sorted(p.stem for p in pedalled(CONFIGS))
    read = (
        (n, linkage.load(CONFIGS / f"{n}.toml").layout)
        for n in names
        if not n.startswith(("fault-", "scenario-wrongly-", "crank-wrong-"))
    )
    return tuple((n, layout) for n, layout in read if not _rests(layout))


def _rests(layout) -> bool:
    """Tell whether motion is lost anywhere, to a kickdown lever too."""
    return any(
        link.rod.loose
        or link.rod.kind != "rod"
        or layout.shafts[link.driver.shaft].slides
        for link in layout.links
    )


def dry(chance: random.Random, layout):
    """Other friction everywhere."""
    return replace(layout, friction=chance.choice([0.05, 0.1, 0.3, 0.4, 0.6]))


def rusty(chance: random.Random, layout):
    """One shaft with friction of its own."""
    shaft = layout.shafts[chance.choice(list(layout.shafts))]
    return layout.with_shaft(
        replace(shaft, friction=chance.choice([0.1, 0.35, 0.6, 1.0]))
    )


def bushed(chance: random.Random, layout):
    """One shaft in another bearing."""
    shaft = layout.shafts[chance.choice(list(layout.shafts))]
    across = chance.choice([0.0, 5e-3, 20e-3, 30e-3, 40e-3])
    return layout.with_shaft(replace(shaft, bearing=across))


def dragging(chance: random.Random, layout):
    """One shaft with a measured drag."""
    shaft = layout.shafts[chance.choice(list(layout.shafts))]
    return layout.with_shaft(replace(shaft, drag=chance.choice([0.02, 0.1, 0.3, 0.6])))


def spread(chance: random.Random, layout):
    """All levers of one shaft at other stations, so that its bearings are loaded anew."""
    shaft = layout.shafts[chance.choice([*layout.shafts])]
    moved = chance.choice([0.02, 0.05, 0.1])
    name = chance.choice(list(shaft.arms))
    arm = shaft.arms[name]
    return layout.with_shaft(
        replace(
            shaft, arms={**shaft.arms, name: replace(arm, offset=arm.offset + moved)}
        )
    )


def narrow(chance: random.Random, layout):
    """One shaft in two bearings near to each other, not where its levers are."""
    shaft = layout.shafts[chance.choice(list(layout.shafts))]
    first = chance.uniform(-0.06, 0.06)
    apart = chance.choice([6e-3, 12e-3, 30e-3])
    return layout.with_shaft(replace(shaft, bearings=(first, first + apart)))


def stiff_joints(chance: random.Random, layout):
    """Larger and drier ball joints."""
    across, mu = chance.choice([13e-3, 16e-3]), chance.choice([0.15, 0.3, 0.45])
    rods = {
        n: replace(r, joint_diameter=across, joint_friction=mu)
        for n, r in layout.rods.items()
    }
    return replace(layout, rods=rods)


def cut_rod(chance: random.Random, layout):
    """One rod not cut to fit: too long or too short by a millimetre or two."""
    link = chance.choice(layout.links)
    ends = [layout.shafts[h.shaft].pin(h.arm) for h in link.holes]
    off = chance.choice([-2e-3, -1e-3, 1e-3, 2e-3])
    return layout.with_rod(link.rod.name, math.dist(*ends) + off)


def rolling(chance: random.Random, layout):
    """The engine rolls further, about the same line."""
    engine = layout.engine
    if engine.axis is None:
        return lifting(chance, layout)
    roll = math.radians(chance.choice([0.5, 1.5, 3, chance.uniform(0.5, 5)]))
    return replace(layout, engine=replace(engine, roll=roll))


def lifting(chance: random.Random, layout):
    """The engine lifts when a mount lets go."""
    lift = chance.choice([1.5e-3, 3e-3, 5e-3, 8e-3, 14e-3])
    return replace(layout, engine=replace(layout.engine, lift=lift))


def body_springs_lift(chance: random.Random, layout):
    """Springs anchored on the body, of an engine that moves."""
    layout = chance.choice([rolling, lifting])(chance, layout)
    return springs.elsewhere(chance, layout, every=True)


def slack_when_moved(chance: random.Random, layout):
    """The same, and drawn but little at idle: the moving engine lets them go slack."""
    up = chance.choice([0.0, 0.04, -0.04, 0.06, -0.06])
    for s in list(layout.springs.values()):
        if s.anchor is not None:
            higher = (s.anchor[0], s.anchor[1], s.anchor[2] + up)
            layout = layout.with_spring(replace(s, anchor=higher))
    return body_springs_lift(chance, springs.barely_drawn(chance, layout))


def heavy(chance: random.Random, layout):
    """One lever much heavier than its size tells."""
    shaft = layout.shafts[chance.choice(list(layout.shafts))]
    name = chance.choice(list(shaft.arms))
    arm = replace(shaft.arms[name], mass=chance.choice([0.5, 1.0, 2.0]))
    return layout.with_shaft(replace(shaft, arms={**shaft.arms, name: arm}))


def wide_bore(chance: random.Random, layout):
    """A larger carburettor of which no drag was measured, on which the air presses harder."""
    bore = chance.choice([0.0, 28e-3, 50e-3, 60e-3])
    throttles = dict(layout.throttles)
    for t in layout.plates:
        throttles[t.name] = replace(t, bore=bore)
        layout = layout.with_shaft(replace(layout.shafts[t.shaft], drag=None))
    return replace(layout, throttles=throttles)


#: What may be done to a layout; what tells most comes more than once.
ALTERATIONS = (
    springs.rates, springs.rates, springs.tensions, springs.feeble, springs.feeble,
    springs.feeble, springs.feeble, springs.feeble, springs.anchor_moved,
    springs.anchors_together, springs.anchors_together, springs.on_rod_arm,
    springs.on_rod_arm, springs.on_rod_pin, springs.on_rod_pin, springs.on_one_lever,
    springs.on_one_lever, springs.on_cross_shaft, springs.on_cross_shaft,
    springs.removed, springs.elsewhere, springs.two_loads, springs.torsion,
    springs.slack, springs.short_lived, springs.barely_drawn, dry, rusty, bushed,
    dragging, spread, narrow, stiff_joints, cut_rod, heavy, wide_bore, wide_bore, rolling, lifting,
    body_springs_lift, slack_when_moved, slack_when_moved, slack_when_moved,
    slack_when_moved,
)  # fmt: skip


def altered(seed: int) -> tuple[str, object]:
    """Return what was done in words, and the layout.

    Parameters
    ----------
    seed : int
        From 0 to `COUNT`; the same seed gives the same layout, as long as the shipped
        layouts stay as they are.
    """
    chance = random.Random(seed)  # noqa: S311 - not for secrets
    name, layout = chance.choice(sound())
    changes = [ALTERATIONS[seed % len(ALTERATIONS)]]
    changes += [
        chance.choice(ALTERATIONS) for _ in range(chance.choice([0, 0, 0, 1, 2]))
    ]
    for change in changes:
        layout = change(chance, layout)
    told = f"{seed}: {name}, {', '.join(c.__name__ for c in changes)}"
    return told, replace(layout, title=told)
