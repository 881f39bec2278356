"""Everything that holds two shafts and the cable between them, as one system of equations.

Six equations a shaft in space, with two radial forces at each of two bearings and one
thrust as unknowns, beside the wire's pull and the foot's force. The pull goes along the
wire in small pieces, dT = μ |T| dβ against the way the wire moves. SciPy finds the root of
it all; what moves which way is taken from wires laid anew a little further on (`wires`).

No code of the package: the layout read as data.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.optimize import brentq, root

from tests.independent.random_wires import RADIUS, Case

#: Pieces of a wire in its bends.
PIECES = 400
#: Step of the pad for what moves which way. [m]
STEP = 1e-5


def foot_of(end, turn: float) -> np.ndarray:
    """Return where the wire leaves an arm: its hole, or where it touches the drum.

    There the radius is square to the way to the sheath in the plane of the drum.
    """
    if not end.arm.wound:
        return end.pin(turn)
    sense, radius = end.arm.wound, end.arm.length
    to = np.array([end.far, 0.0])

    def touch(back: float) -> np.ndarray:
        at = -sense * back
        return radius * np.array([math.cos(at), math.sin(at)])

    back = brentq(lambda b: (to - touch(b)) @ touch(b), 0.0, math.pi / 2, xtol=1e-15)
    away = end.point - end.centre
    seen = math.atan2(away @ end.v, away @ end.u) - sense * back
    return end.centre + radius * (end.u * math.cos(seen) + end.v * math.sin(seen))


@dataclass
class Solved:
    """What holds it at one position: forces, and what friction takes a metre of pad."""

    foot: float
    pull: float
    lost: float


class Balance:
    """A case at one position of the pad.

    ``hold`` asks for the torque that holds the spindle with the foot off, in the place of
    the foot's force.
    """

    def __init__(self, found: Case, pad: float, *, hold: bool = False) -> None:
        self.case, self.layout, self.hold = found, found.layout, hold
        self.wire, self.cable = found.wire, found.layout.rods["wire"]
        one_way = bool(self.cable.only)
        pads = pad + STEP * np.array([-1.0, 0.0, 1.0])
        pedal = found.pedal(pads)
        way = np.concatenate((np.linspace(0, pedal[0], 12)[:-1], pedal))
        spindle = self.wire.through(way, one_way=one_way)[-3:]
        ends = self.ends = (self.wire.driver, self.wire.driven)
        turns = self.turns = (pedal, spindle)
        #: Turn of both shafts, and wire that comes out of the sheath, a metre of pad.
        self.rates = [(t[2] - t[0]) / (2 * STEP) for t in turns]
        self.out = (ends[0].run(pedal[2]) - ends[0].run(pedal[0])) / (2 * STEP)
        self.feet = [foot_of(e, t[1]) for e, t in zip(ends, turns, strict=True)]
        self.ways = [_unit(e.point - f) for e, f in zip(ends, self.feet, strict=True)]
        route = [self.feet[0], *map(np.array, self.cable.route), self.feet[1]]
        legs = [_unit(b - a) for a, b in pairwise(route)]
        self.bend = sum(math.atan2(np.linalg.norm(np.cross(a, b)), a @ b) for a, b in pairwise(legs))  # fmt: skip
        if self.cable.bend is not None:
            self.bend = self.cable.bend
        elif not self.cable.through:
            self.bend = max(self.bend, math.pi)  # as it says of sheaths not measured
        #: Turn of either arm against its wire, a metre of pad, about its shaft.
        self.slips = [self._slip(i) for i in (0, 1)]

    def _slip(self, i: int) -> float:
        """Return the turn of an arm against its wire, of which a drum has none."""
        end, turn = self.ends[i], self.turns[i]
        if end.arm.wound:
            return 0.0
        before, after = (_unit(end.point - end.pin(t)) for t in (turn[0], turn[2]))
        wire = math.asin(float(np.cross(before, after) @ end.n)) / (2 * STEP)
        return self.rates[i] - wire

    def at_driver(self, pull: float, sense: int) -> float:
        """Return a pull at the driven end as it is at the driver."""
        push = (
            self.cable.sheath_friction * self.bend / PIECES * sense * np.sign(self.out)
        )
        for _ in range(PIECES):
            middle = pull + push * abs(pull) / 2
            pull = pull + push * abs(middle)
        return pull

    def spring_torque(self, i: int) -> float:
        name = ("pedal", "spindle")[i]
        known = self.layout.springs[name].known
        return known.shuts * known.preload - known.rate * self.turns[i][1]

    def _shaft(self, i: int, x: np.ndarray, pull: float, outer: float, sense: int):
        """Return force and moment on a shaft, and what friction takes there."""
        end = self.ends[i]
        shaft, n = self.layout.shafts[end.shaft.name], end.n
        pivot = np.array(shaft.pivot)
        forces = [(self.feet[i], pull * self.ways[i])]
        moment = self.spring_torque(i) * n
        if self.hold and i == 1:
            moment = moment + outer * n
        if not self.hold and i == 0:
            pad = shaft.arms["pad"]
            angle = pad.angle + self.turns[0][1]
            out = end.u * math.cos(angle) + end.v * math.sin(angle)
            at = pivot + pad.offset * n + RADIUS * out
            push = self.layout.pedal.presses * np.cross(n, out)
            forces.append((at, outer * push))
        held = [(pivot + at * n, a * end.u + b * end.v) for at, a, b in zip(shaft.bearings, x[:2], x[2:4], strict=True)]  # fmt: skip
        held.append((pivot, x[4] * n))
        rub = shaft.friction * shaft.bearing / 2 * sum(float(np.linalg.norm(f)) for _, f in held) + shaft.drag  # fmt: skip
        nipple = self.cable.joint_friction * self.cable.joint_diameter / 2 * abs(pull)
        # The wire turns in the nipple: held by forces across it, there and at its sheath.
        tilts = sense * np.sign(self.slips[i]) * nipple / end.run(self.turns[i][1])
        forces.append((self.feet[i], -tilts * np.cross(n, self.ways[i])))
        moment = moment - sense * n * (
            np.sign(self.rates[i]) * rub + np.sign(self.slips[i]) * nipple
        )
        forces += held
        force = sum(f for _, f in forces)
        moment = moment + sum(np.cross(p - pivot, f) for p, f in forces)
        return force, moment, rub * abs(self.rates[i]) + nipple * abs(self.slips[i])

    def solved(self, sense: int) -> Solved:
        """Return the balance while the pad goes down, 1, comes up, -1, or stands, 0."""

        def pieces(x):
            pulls = (self.at_driver(x[1], sense), x[1])
            return [self._shaft(i, x[2 + 5 * i : 7 + 5 * i], pulls[i], x[0], sense) for i in (0, 1)]  # fmt: skip

        def miss(x):
            return np.concatenate(
                [np.concatenate((f, 10 * m)) for f, m, _ in pieces(x)]
            )

        torque, arm = self.spring_torque(1), self.out / self.rates[1]
        guess = np.full(12, 1.0)
        guess[1] = torque / -arm if arm else 1.0
        found = root(miss, guess, method="hybr", options={"xtol": 1e-13})
        assert np.abs(miss(found.x)).max() < 1e-7
        pull = float(found.x[1])
        lost = sum(part[2] for part in pieces(found.x))
        lost += abs(self.at_driver(pull, sense) - pull) * abs(self.out)
        return Solved(float(found.x[0]), pull, float(lost))


def _unit(way: np.ndarray) -> np.ndarray:
    return way / np.linalg.norm(way)
