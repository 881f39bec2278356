"""The balance of one shaft after another, with bearing friction in closed form.

Rods are two-force members and form a tree. Held at one shaft (its root), the
tree is solved from its ends inwards: each shaft has one unknown, the force X in
the rod that leads towards the root::

    X B + M - σ μ r |W + X f| = 0

B torque arm and f direction of that rod on the shaft, M torque and W force of
all else on it, σ the sense in which it turns, μ r the radius of its friction
circle. The reaction |W + X f| depends on X and X on it; the fixed point of the
two is the root of a quadratic equation, so nothing is iterated. Where the
friction circle reaches the rod's line (μ r ≥ |B|) friction locks the shaft.

Not modelled: friction in joints, and the tipping of a shaft in two bearings.

Not here: what is balanced (`statics`, `returns`).

References
----------
.. [1] K. J. Waldron, G. L. Kinzel, Kinematics, Dynamics, and Design of
   Machinery, the friction circle of a journal bearing (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from linkage.forces.lines import Lines
    from linkage.layout import Layout, Link

    FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Load:
    """What acts on one shaft beside its rods.

    Parameters
    ----------
    torque : ndarray, shape (n,)
        Anticlockwise positive. [N·m]
    force : ndarray, shape (3, n)
        [N]
    """

    torque: FloatArray
    force: FloatArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Balance:
    """A balanced tree.

    Parameters
    ----------
    hold : ndarray, shape (n,)
        Torque that must be put on the root, anticlockwise positive; pad force
        where the foot holds the pedal. [N·m or N]
    rods : mapping of str to ndarray, shape (n,)
        Pull positive. [N]
    reactions : mapping of str to ndarray, shape (3, n)
        Force of each shaft on its bearing. [N]
    """

    hold: FloatArray
    rods: Mapping[str, FloatArray]
    reactions: Mapping[str, FloatArray]


def grips(layout: Layout, factor: float = 1.0) -> dict[str, float]:
    """Return the radius of every shaft's friction circle, μ r. [m].

    0 where the bearing's diameter is not given.

    Parameters
    ----------
    layout : Layout
        Its shafts.
    factor : float
        On the coefficient, for cold grease.
    """
    return {
        name: (layout.friction if s.friction is None else s.friction)
        * factor
        * s.bearing
        / 2
        for name, s in layout.shafts.items()
    }


def loads(
    lines: Lines, springs: Iterable[str], shafts: Iterable[str]
) -> dict[str, Load]:
    """Return what springs and weight put on each of some shafts."""
    n = lines.motion.pad_travel.size
    torque: dict[str, FloatArray] = {s: lines.weight_torque[s] for s in shafts}
    force = {s: np.zeros((3, n)) for s in torque}
    for shaft, f in force.items():
        f[2] = -lines.weight[shaft]
    for name in springs:
        line = lines.springs[name]
        if line.shaft in torque:
            torque[line.shaft] = torque[line.shaft] + line.torque
            if line.force is not None:
                force[line.shaft] += line.force
    return {s: Load(torque=torque[s], force=force[s]) for s in torque}


def inward(links: Iterable[Link], root: str) -> list[tuple[Link, str, str]]:
    """Return (link, outer shaft, inner shaft), ends first, towards the root."""
    rest = list(links)
    known = {root}
    order: list[tuple[Link, str, str]] = []
    while True:
        for link in rest:
            one, two = link.driver.shaft, link.driven.shaft
            if (one in known) != (two in known):
                inner, outer = (one, two) if one in known else (two, one)
                order.append((link, outer, inner))
                known.add(outer)
                rest.remove(link)
                break
        else:
            return order[::-1]


def balance(
    lines: Lines,
    on: Mapping[str, Load],
    *,
    root: str,
    sense: int = 0,
    grip: Mapping[str, float] | None = None,
    foot: bool = False,
) -> Balance:
    """Balance the shafts that hang together with a root.

    Parameters
    ----------
    lines : Lines
        Geometry.
    on : mapping of str to Load
        By shaft; only these shafts take part, so a parted rod is one whose two
        shafts are not both in it.
    root : str
        Shaft that is held.
    sense : {1, -1, 0}
        1 while the pedal goes down slowly, -1 while it comes up, 0 without
        friction.
    grip : mapping of str to float, optional
        Radius of the friction circle by shaft. [m]
    foot : bool
        Whether the root is the pedal and is held at its pad.

    Returns
    -------
    Balance
        nan where friction locks a shaft or the linkage is jammed.
    """
    layout = lines.motion.assembly.layout
    torque = {s: load.torque for s, load in on.items()}
    force = {s: load.force for s, load in on.items()}
    rods: dict[str, FloatArray] = {}
    reactions: dict[str, FloatArray] = {}
    inside = [k for k in layout.links if k.driver.shaft in on and k.driven.shaft in on]
    for link, outer, inner in inward(inside, root):
        rod = lines.rods[link.rod.name]
        way = rod.along if outer == link.driver.shaft else -rod.along
        drag = _drag(lines, outer, sense, grip)
        pull, reactions[outer] = _meet(
            torque[outer], force[outer], way, rod.arms[outer], drag
        )
        rods[link.rod.name] = pull
        torque[inner] = torque[inner] + pull * rod.arms[inner]
        force[inner] = force[inner] - pull * way
    drag = _drag(lines, root, sense, grip)
    if foot:
        hold, reactions[root] = _meet(
            torque[root], force[root], lines.push, lines.push_arm, drag
        )
    else:
        reactions[root] = force[root]
        hold = -torque[root]
        if drag is not None:
            hold = hold + drag * _size(force[root])
    return Balance(hold=hold, rods=rods, reactions=reactions)


def _size(v: FloatArray) -> FloatArray:
    return np.asarray(np.sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]))


def _drag(
    lines: Lines, shaft: str, sense: int, grip: Mapping[str, float] | None
) -> FloatArray | None:
    """Return σ μ r of a shaft, or None where there is no friction."""
    if not sense or grip is None or not grip[shaft]:
        return None
    return np.sign(lines.first[shaft]) * (sense * grip[shaft])


def _meet(
    torque: FloatArray,
    force: FloatArray,
    way: FloatArray,
    arm: FloatArray | float,
    drag: FloatArray | None,
) -> tuple[FloatArray, FloatArray]:
    """Solve one shaft: the force X along ``way``, and the reaction.

    With c = σ μ r / B and w = W - (M/B) f, X = -M/B + c x, the reaction x is
    the positive root of x²(1 - c²) - 2 c x (w·f) - |w|² = 0.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        pull = -torque / arm
        reaction = force + pull * way
        if drag is None:
            return pull, reaction
        c = drag / arm
        lean = c * (reaction[0] * way[0] + reaction[1] * way[1] + reaction[2] * way[2])
        free = 1 - c * c
        free = np.where(free > 0, free, np.nan)
        own = reaction[0] ** 2 + reaction[1] ** 2 + reaction[2] ** 2
        more = c * (lean + np.sqrt(lean * lean + free * own)) / free
    return pull + more, reaction + more * way
