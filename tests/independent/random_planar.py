"""Random planar linkages with levers at different stations along every shaft.

Rods stay in a plane of their own: both levers of a rod are at one station, those of
the next rod at another, so that forces which cancel in the sum tip the shaft between
its bearings.

Not here: their equilibrium (`planar`).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from linkage.model import Known, Layout, Spring
from tests.build import arm, rod, shaft, tree
from tests.independent.planar import pose

#: So light that no weight is estimated and none is felt. [kg]
LIGHT = 1e-12


def _sprung(rng, name: str, on, far) -> Spring:
    """A spring from one arm of a shaft to an anchor in the same plane."""
    hook = np.array(on.pin("spring"))
    turn = rng.uniform(0, 2 * np.pi)
    way = np.cos(turn) * np.array(on.axis.u) + np.sin(turn) * np.array(on.axis.v)
    return Spring(
        name=name,
        kind="extension",
        shaft=on.name,
        arm="spring",
        anchor=tuple(float(c) for c in hook + far * way),
        known=Known(
            rate=rng.uniform(300, 900),
            free_length=far * 0.7,
            initial_tension=rng.uniform(0, 8),
        ),
    )


def _light(layout: Layout) -> Layout:
    for s in layout.shafts.values():
        arms = {n: replace(a, mass=LIGHT) for n, a in s.arms.items()}
        layout = layout.with_shaft(replace(s, arms=arms))
    rods = {n: replace(r, mass=LIGHT) for n, r in layout.rods.items()}
    return replace(layout, rods=rods)


def _one(rng, loops: int) -> Layout:
    axis = str(rng.choice(["across", "along", "upright"]))
    shafts, rods, angles = [], [], rng.uniform(-180, 180, 3 * loops + 3)
    places = np.cumsum(rng.uniform(20, 70, loops + 2)) - 60
    at = np.array([0.0, 0.0])
    for i in range(loops + 1):
        arms = [
            arm("pad", 180, angles[3 * i], places[i] - 25),
            arm("in", rng.uniform(30, 70), angles[3 * i + 1], places[i]),
            arm("out", rng.uniform(30, 70), angles[3 * i + 2], places[i + 1]),
            arm("spring", 30, rng.uniform(-180, 180), rng.uniform(-60, 60)),
        ]
        flat = {
            "across": (at[0], 0, at[1]),
            "along": (0, -at[0], at[1]),
            "upright": (*at, 0),
        }
        shafts.append(shaft(f"s{i}", flat[axis], axis, *arms))
        if i:
            rods.append(rod(f"r{i}", f"s{i - 1}.out", f"s{i}.in"))
        turn = rng.uniform(0, 2 * np.pi)
        at = at + rng.uniform(120, 250) * np.array([np.cos(turn), np.sin(turn)])
    for i, s in enumerate(shafts):
        two = sorted(rng.uniform(-90, 90, 2))
        shafts[i] = replace(
            s,
            bearing=rng.uniform(6e-3, 18e-3),
            friction=rng.uniform(0.05, 0.3),
            drag=float(rng.choice([0.0, 0.02])),
            bearings=None
            if rng.random() < 0.4 or two[1] - two[0] < 15
            else (two[0] / 1e3, two[1] / 1e3),
        )
    rods = [
        replace(
            r,
            joint_friction=None if rng.random() < 0.5 else rng.uniform(0.05, 0.3),
            joint_diameter=float(rng.choice([0.0, 8e-3, 13e-3])),
        )
        for r in rods
    ]
    springs = [
        _sprung(rng, f"k{i}", s, rng.uniform(0.08, 0.14)) for i, s in enumerate(shafts)
    ]
    layout = tree(shafts, rods, travel_mm=30, presses=int(rng.choice([1, -1])))
    return _light(replace(layout, springs={s.name: s for s in springs}))


def _clear(layout: Layout, travel: float) -> bool:
    """Whether no arm comes within about 35 degrees of its rod up to a travel."""
    for at in (0.0, travel):
        try:
            posed = pose(layout, at)
        except ValueError:
            return False
        for k in layout.links:
            line = posed.pins[k.driven] - posed.pins[k.driver]
            for h in k.holes:
                s = layout.shafts[h.shaft]
                middle = np.array(
                    [np.dot(s.pivot, s.axis.u), np.dot(s.pivot, s.axis.v)]
                )
                a = posed.pins[h] - middle
                sine = abs(a[0] * line[1] - a[1] * line[0])
                if sine < 0.6 * np.hypot(*a) * np.hypot(*line):
                    return False
    return True


def planar(rng: np.random.Generator, loops: int, travel: float) -> Layout:
    """Return the next random planar linkage that stays clear of dead centres.

    Parameters
    ----------
    rng : Generator
        Source of chance.
    loops : int
        How many rods, one after another.
    travel : float
        Up to which pad travel. [m]
    """
    while True:
        layout = _one(rng, loops)
        if _clear(layout, travel):
            return layout
