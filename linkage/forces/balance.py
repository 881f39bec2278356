"""The balance of one shaft after another, with bearing friction in closed form.

Rods are two-force members and form a tree. Held at one shaft (its root), the
tree is solved from its ends inwards: each shaft has one unknown, the force X in
the rod that leads towards the root::

    X B + M - σ (μ r |W + X f| + D) = 0

B torque arm and f direction of that rod on the shaft, M torque and W force of
all else on it, D a drag that no load changes, σ the sense in which it turns, μ r
the radius of its friction circle. The reaction |W + X f| depends on X and X on it;
the fixed point of the two is the root of a quadratic equation, so nothing is
iterated. Where the friction circle reaches the rod's line (μ r ≥ |B|) friction
locks the shaft.

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
    from linkage.model import Layout, Link

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Rubbing:
    """What resists the turning of each shaft.

    Parameters
    ----------
    circle : mapping of str to float
        Radius of its friction circle, μ r; 0 where the bearing's diameter is
        not given. [m]
    drag : mapping of str to float
        Friction torque that no load changes. [N·m]
    """

    circle: Mapping[str, float]
    drag: Mapping[str, float]

    def among(self, shafts: Iterable[str]) -> bool:
        """Tell whether any of some shafts is rubbed at all."""
        return any(self.circle[s] or self.drag[s] for s in shafts)


def rubbing(layout: Layout, factor: float = 1.0) -> Rubbing:
    """Return what resists the turning of each shaft of a layout.

    Parameters
    ----------
    layout : Layout
        Its shafts.
    factor : float
        On every friction, for cold grease.
    """
    circle = {}
    for name, s in layout.shafts.items():
        coefficient = layout.friction if s.friction is None else s.friction
        circle[name] = coefficient * factor * s.bearing / 2
    drag = {name: factor * s.drag for name, s in layout.shafts.items()}
    return Rubbing(circle=circle, drag=drag)


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
    rub: Rubbing | None = None,
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
    rub : Rubbing, optional
        What resists; nothing where not given.
    foot : bool
        Whether the root is the pedal and is held at its pad.

    Returns
    -------
    Balance
        nan where friction locks a shaft or the linkage is jammed.
    """
    layout = lines.motion.assembly.layout
    torque = {s: load.torque - _drag(lines, s, sense, rub) for s, load in on.items()}
    force = {s: load.force for s, load in on.items()}
    rods: dict[str, FloatArray] = {}
    reactions: dict[str, FloatArray] = {}
    inside = [k for k in layout.links if k.driver.shaft in on and k.driven.shaft in on]
    for link, outer, inner in inward(inside, root):
        rod = lines.rods[link.rod.name]
        way = rod.along if outer == link.driver.shaft else -rod.along
        circle = _circle(lines, outer, sense, rub)
        pull, reactions[outer] = _meet(
            torque[outer], force[outer], way, rod.arms[outer], circle
        )
        rods[link.rod.name] = pull
        torque[inner] = torque[inner] + pull * rod.arms[inner]
        force[inner] = force[inner] - pull * way
    circle = _circle(lines, root, sense, rub)
    if foot:
        hold, reactions[root] = _meet(
            torque[root], force[root], lines.push, lines.push_arm, circle
        )
    else:
        reactions[root] = force[root]
        hold = -torque[root]
        if circle is not None:
            hold = hold + circle * _size(force[root])
    return Balance(hold=hold, rods=rods, reactions=reactions)


def _size(v: FloatArray) -> FloatArray:
    return np.asarray(np.sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]))


def _drag(
    lines: Lines, shaft: str, sense: int, rub: Rubbing | None
) -> FloatArray | float:
    """Return σ times the torque that no load changes. [N·m]."""
    if not sense or rub is None or not rub.drag[shaft]:
        return 0.0
    return np.asarray(np.sign(lines.first[shaft]) * (sense * rub.drag[shaft]))


def _circle(
    lines: Lines, shaft: str, sense: int, rub: Rubbing | None
) -> FloatArray | None:
    """Return σ μ r of a shaft, or None where its bearing does not rub."""
    if not sense or rub is None or not rub.circle[shaft]:
        return None
    return np.asarray(np.sign(lines.first[shaft]) * (sense * rub.circle[shaft]))


def _meet(
    torque: FloatArray,
    force: FloatArray,
    way: FloatArray,
    arm: FloatArray | float,
    circle: FloatArray | None,
) -> tuple[FloatArray, FloatArray]:
    """Solve one shaft: the force X along ``way``, and the reaction.

    D is in M already. With c = σ μ r / B and w = W - (M/B) f, X = -M/B + c x, the
    reaction x is the positive root of x²(1 - c²) - 2 c x (w·f) - |w|² = 0.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        pull = -torque / arm
        reaction = force + pull * way
        if circle is None:
            return pull, reaction
        c = circle / arm
        lean = c * (reaction[0] * way[0] + reaction[1] * way[1] + reaction[2] * way[2])
        free = 1 - c * c
        free = np.where(free > 0, free, np.nan)
        own = reaction[0] ** 2 + reaction[1] ** 2 + reaction[2] ** 2
        more = c * (lean + np.sqrt(lean * lean + free * own)) / free
    return pull + more, reaction + more * way
