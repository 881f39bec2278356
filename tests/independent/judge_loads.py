"""What springs and weights put on the shafts of a judged layout.

Written for the judge alone. A spring is known by its rate, by two loads, by a
measured pull or as a torsion spring; one known by its wire alone is told in
``not_judged``. Masses that are not given are taken from sizes: pad 0.3 kg, levers
20 x 5 mm steel, rods of their diameter.

Not here: friction (`judge_friction`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from tests.independent.judge_places import cross, dot, size

if TYPE_CHECKING:
    from tests.independent.judge_places import Places

GRAVITY = 9.80665
STEEL, ALUMINIUM = 7850.0, 2700.0
PAD = 0.3
LEVER = 0.020 * 0.005
#: Where a rod's diameter is not given. [m]
ROD = 6e-3


@dataclass
class Load:
    """What one spring or one weight puts on a shaft; one of force and torque is None.

    Parameters
    ----------
    shaft : str
        On which it acts.
    part : tuple of (str, str)
        The spring, or the rod that weighs; empty for an arm's weight.
    at, force : ndarray, shape (states, positions, 3)
        Point and force. [m], [N]
    torque : ndarray, shape (states, positions)
        Anticlockwise positive about the shaft. [N·m]
    """

    shaft: str
    part: tuple[str, str] | tuple[()]
    at: np.ndarray | None = None
    force: np.ndarray | None = None
    torque: np.ndarray | None = None

    def about(self, places: Places) -> np.ndarray:
        """Torque about its own shaft. [N·m]."""
        if self.torque is not None:
            return self.torque
        f = places.frames[self.shaft]
        return dot(
            cross(self.at - f.pivot, self.force), np.broadcast_to(f.n, self.at.shape)
        )


@dataclass
class Loads:
    """All springs and weights, and how long every spring is."""

    springs: list[Load] = field(default_factory=list)
    weights: list[Load] = field(default_factory=list)
    lengths: dict[str, np.ndarray] = field(default_factory=dict)
    free: dict[str, float] = field(default_factory=dict)
    not_judged: list[str] = field(default_factory=list)


def line_law(spring) -> tuple[float, float, float] | None:
    """Return rate, free length and initial tension of a spring along a line."""
    k = spring.known
    tension = k.initial_tension or 0.0
    if k.rate is not None:
        return None if k.free_length is None else (k.rate, k.free_length, tension)
    if k.load_1 is None or k.load_2 is None:
        return None
    slope = (k.load_2 - k.load_1) / (k.length_2 - k.length_1)
    push = spring.kind == "compression"
    if k.free_length is None:
        drawn = k.load_1 if push else k.load_1 - tension
        return (
            abs(slope),
            k.length_1 + drawn / abs(slope) if push else k.length_1 - drawn / slope,
            0.0 if push else tension,
        )
    if not push:
        tension = max(k.load_1 - slope * (k.length_1 - k.free_length), 0.0)
    return abs(slope), k.free_length, tension


def _along(places: Places, spring, loads: Loads) -> None:
    law = line_law(spring)
    if law is None:
        loads.not_judged.append(spring.name)
        return
    rate, free, tension = law
    hook = places.pin(spring.shaft, spring.arm)
    line = places.moved(spring.anchor, spring.anchored_on == "engine") - hook
    length = size(line)
    out = length - free
    if spring.kind == "compression":
        pull = np.where(out < 0, rate * out, 0.0)
    else:
        pull = np.where(out > 0, tension + rate * out, 0.0)
    loads.lengths[spring.name], loads.free[spring.name] = length, free
    force = (pull / length)[..., None] * line
    loads.springs.append(
        Load(spring.shaft, ("spring", spring.name), at=hook, force=force)
    )


def _about(places: Places, spring, loads: Loads) -> None:
    k, layout = spring.known, places.layout
    throttle = next(
        (t for t in layout.throttles.values() if t.shaft == spring.shaft), None
    )
    sense = k.shuts or (-throttle.opens if throttle else None)
    turn = places.turns[spring.shaft]
    if spring.kind == "measured":
        if throttle is None or k.pull_idle is None or k.pull_full is None:
            loads.not_judged.append(spring.name)
            return
        arm = layout.shafts[spring.shaft].arms[spring.arm].length
        share = throttle.opens * turn / throttle.swing
        wound = arm * (k.pull_idle + (k.pull_full - k.pull_idle) * share)
    elif k.rate is None or k.preload is None or sense is None:
        loads.not_judged.append(spring.name)
        return
    else:
        wound = k.preload - sense * k.rate * turn
    loads.springs.append(
        Load(
            spring.shaft,
            ("spring", spring.name),
            torque=sense * np.maximum(wound, 0.0),
        )
    )


def _weight(
    places: Places, shaft: str, arm: str, mass: float, share: float, part=()
) -> Load:
    centre = places.centre(shaft, arm)
    at = centre + share * (places.pin(shaft, arm) - centre)
    down = np.broadcast_to([0.0, 0.0, -GRAVITY * mass], at.shape)
    return Load(shaft, part, at=at, force=down)


def _weights(places: Places) -> list[Load]:
    layout, out = places.layout, []
    for name, shaft in layout.shafts.items():
        for a in shaft.arms.values():
            pad = name == layout.pedal.shaft and a.name == layout.pedal.pad
            mass = a.mass or a.length * LEVER * STEEL
            out.append(_weight(places, name, a.name, mass, 0.5))
            if pad and not a.mass:
                out.append(_weight(places, name, a.name, PAD, 1.0))
    for name, rod in layout.rods.items():
        ends = [places.pin(h.shaft, h.arm) for h in (rod.start, rod.end)]
        length = float(size(ends[1] - ends[0])[0, 0])
        dense = ALUMINIUM if rod.material == "aluminium" else STEEL
        area = math.pi / 4 * ((rod.diameter or ROD) ** 2 - rod.bore**2)
        mass = rod.mass or dense * area * length
        out += [
            _weight(places, h.shaft, h.arm, mass / 2, 1.0, ("rod", name))
            for h in (rod.start, rod.end)
        ]
    return out


def loads_of(places: Places) -> Loads:
    """Return all springs and weights at every position and in every state."""
    loads = Loads()
    for spring in places.layout.springs.values():
        if spring.kind in {"extension", "compression"}:
            _along(places, spring, loads)
        else:
            _about(places, spring, loads)
    loads.weights = _weights(places)
    return loads


def counted(weight: Load, shutting: np.ndarray) -> Load:
    """Return what is counted on of a weight: all where it opens, half where it shuts."""
    share = np.where(shutting > 0, 0.5, 1.0)
    return replace(weight, force=share[..., None] * weight.force)
