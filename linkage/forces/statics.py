"""Forces through the travel, while the pedal goes down slowly and while it comes up.

From the plate back to the pedal: springs, rods, bearings with friction, weight,
pad. Closed form over all positions.

Not here: what may fail (`returns`), how fast it shuts (`time`).
"""

from __future__ import annotations

from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.forces.balance import NOTHING, balanced
from linkage.forces.lines import Lines, force_lines
from linkage.model.refs import Ref

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from linkage.forces.balance import Balanced, Gone
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion import Motion


class Statics:
    """Forces at every position; see `statics`.

    All arrays are read-only, of shape (n,), or (rows, n) for many layouts, and
    nan where jammed. Each is worked out when it is first asked for. Within the
    pedal's free play the forces are those just after it.

    Parameters
    ----------
    lines : Lines
        Geometry they rest on.
    gone : frozenset of Ref
        Springs and rods that do not act.
    factor : float or column
        On every friction.
    """

    def __init__(self, lines: Lines, gone: Gone, factor: Number) -> None:
        self.lines = lines
        self.gone = gone
        self.factor = factor
        self._shafts = lines.hanging.together(lines.layout.pedal.shaft, gone)

    def __repr__(self) -> str:
        n = self.pad_travel.shape[-1]
        off = f", {len(self.gone)} gone" if self.gone else ""
        return f"<Statics of {len(self.springs)} springs at {n} positions{off}>"

    @property
    def pad_travel(self) -> Positions:
        """Of the pad, from its own rest. [m]."""
        return self.lines.motion.pad_travel

    @property
    def springs(self) -> tuple[str, ...]:
        """Springs that act."""
        return tuple(n for n in self.lines.laws if Ref("spring", n) not in self.gone)

    def _balanced(self, sense: int) -> Balanced:
        return balanced(self.lines, sense, self.factor)

    @np.errstate(divide="ignore", invalid="ignore")
    def _pressed(self, sense: int) -> Positions:
        return self.lines.full(self._balanced(sense).pressed(self.gone))

    @cached_property
    def pad_force_pressing(self) -> Positions:
        """Force of the foot along the pad's path while it goes down. [N].

        Positive pressing; negative means that the pad must be pulled up. nan
        where friction locks.
        """
        return self._pressed(1)

    @cached_property
    def pad_force_releasing(self) -> Positions:
        """The same while it comes up. [N]."""
        return self._pressed(-1)

    @cached_property
    def pad_force(self) -> Positions:
        """The same without friction. [N]."""
        return self._pressed(0)

    @cached_property
    def split(self) -> Mapping[str, Positions]:
        """Share of each spring in `pad_force`, by virtual work. [N]."""
        lines = self.lines
        return self._all(
            {
                name: -lines.felt(lines.springs[name].shaft, lines.spring_work[name])
                if lines.springs[name].shaft in self._shafts
                else 0.0
                for name in self.springs
            }
        )

    @cached_property
    def over_travel_share(self) -> Mapping[str, Positions]:
        """Share of each over-travel spring in it, 0 where it has not given. [N]."""
        lines, found = self.lines, {}
        for name, pull in lines.sprung.items():
            link = lines.motion.assembly.loop(name).link
            driver = link.driver.shaft
            if link.driven.shaft not in self._shafts:
                continue
            work = pull * lines.rods[name].arms[driver] * lines.first[driver]
            found[name] = -lines.felt(driver, np.where(lines.given[name], work, 0.0))
        return self._all(found)

    @cached_property
    def weight_share(self) -> Positions:
        """Share of the weight of rods and arms in it. [N]."""
        springs = frozenset(Ref("spring", name) for name in self.lines.laws)
        gone = self.gone | springs
        return self.lines.full(closing_force(self.lines, self._shafts, gone))

    @cached_property
    def rod_pressing(self) -> Mapping[str, Positions]:
        """Force in each rod, pull positive, push negative, going down. [N]."""
        return self._rods(1)

    @cached_property
    def rod_releasing(self) -> Mapping[str, Positions]:
        """The same coming up. [N]."""
        return self._rods(-1)

    @cached_property
    def closing_torque(self) -> Mapping[str, Positions]:
        """Torque of all that still hangs together with each throttle. [N·m].

        Springs and weight, brought to the spindle without friction, positive
        shutting.
        """
        throttles = self.lines.layout.throttles
        with np.errstate(divide="ignore", invalid="ignore"):
            forces = {
                n: closing_forces(self.lines, n, [self.gone])[0] for n in throttles
            }
        return self._all({n: _at_plate(self.lines, n, f) for n, f in forces.items()})

    @cached_property
    def friction_torque(self) -> Mapping[str, Positions]:
        """By throttle: what bearings and joints take while the pad comes up. [N·m].

        Of one that a slack rod or an over-travel spring keeps from the foot: with the
        plate held by hand.
        """
        lines, found = self.lines, {}
        lost = self.pad_force - self.pad_force_releasing
        for name, throttle in lines.layout.throttles.items():
            shaft = throttle.shaft
            if shaft in lines.frame.stands:
                with np.errstate(divide="ignore", invalid="ignore"):
                    still = self._balanced(0).held(shaft, self.gone)
                    back = self._balanced(-1).held(shaft, self.gone)
                found[name] = throttle.opens * (still - back)
            else:
                found[name] = _at_plate(lines, name, lost)
        return self._all(found)

    @cached_property
    def spring_length(self) -> Mapping[str, Positions]:
        """From hook to anchor, of springs along a line. [m]."""
        springs = self.lines.springs.items()
        return self._all({n: s.length for n, s in springs if s.length is not None})

    @cached_property
    def spring_load(self) -> Mapping[str, Positions]:
        """Pull positive, push negative [N]; torque about a shaft [N·m]."""
        return self._all({n: s.load for n, s in self.lines.springs.items()})

    @cached_property
    def spring_arm(self) -> Mapping[str, Positions]:
        """Torque arm of springs along a line, positive where they shut. [m]."""
        return self._all(
            {
                name: shutting_sense(self.lines, line.shaft) * line.arm
                for name, line in self.lines.springs.items()
                if line.arm is not None
            }
        )

    @property
    def unmeasured(self) -> Truth:
        """Whether the drag of no shaft was measured."""
        found: Truth = False
        for shaft in self.lines.layout.shafts.values():
            if shaft.drag is not None:
                found = found | (shaft.drag >= 0)
        return np.logical_not(found)

    @np.errstate(divide="ignore", invalid="ignore")
    def _rods(self, sense: int) -> Mapping[str, Positions]:
        solved = self._balanced(sense)
        return self._all(
            {
                link.rod.name: solved.pull(link.rod.name, link.driven.shaft, self.gone)
                for link in reversed(self.lines.layout.links)
                if link.driven.shaft in self._shafts
            }
        )

    def _all(self, arrays: Mapping[str, Any]) -> Mapping[str, Positions]:
        return MappingProxyType({k: self.lines.full(a) for k, a in arrays.items()})


def closing_force(
    lines: Lines, shafts: Iterable[str], gone: Gone, *, stiff: bool = False
) -> Positions:
    """Return the closing force at the pad by virtual work, -Σ M dq/ds over some shafts.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    shafts : iterable of str
        Those that hang together.
    gone : frozenset of Ref
        Springs and rods that do not act.
    stiff : bool
        Take over-travel springs as stiff: seen from the lever, not from the pad.

    Returns
    -------
    ndarray, shape (n,) or (rows, n)
        Positive closing, without friction. [N]
    """
    total = np.zeros(lines.shape)
    for shaft in shafts:
        total -= lines.felt(shaft, lines.weight_work(shaft, gone), stiff=stiff)
        for ref in lines.hanging.springs[shaft]:
            if ref not in gone:
                total -= lines.felt(shaft, lines.spring_work[ref.name], stiff=stiff)
    return total


def closing_forces(
    lines: Lines, throttle: str, gones: Sequence[Gone]
) -> list[Positions]:
    """Return what shuts a plate without friction, as felt at the pad. [N].

    By virtual work over all that hangs together with it; where a rod among that
    carries one way only, by the balance, which knows what such a rod does not carry.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    throttle : str
        The plate.
    gones : sequence of frozenset of Ref
        Sets of springs and rods that do not act.
    """
    shaft = lines.layout.throttles[throttle].shaft
    if lines.one_way:
        helds = balanced(lines).helds(shaft, gones)
        return [torque * lines.first[shaft] for torque in helds]
    known: dict[tuple[Gone, str], Positions] = {}
    out = []
    for gone in gones:
        part = lines.hanging.together(shaft, gone)
        if (gone, part[0]) not in known:
            known[gone, part[0]] = closing_force(lines, part, gone, stiff=True)
        out.append(known[gone, part[0]])
    return out


def per_opening(lines: Lines, throttle: str) -> Positions:
    """Return the opening of a throttle by pad travel, dψ/ds. [rad/m]."""
    t = lines.layout.throttles[throttle]
    return t.opens * lines.first[t.shaft]


def statics(
    motion: Motion,
    *,
    springs: Iterable[str] | None = None,
    gone: Gone = NOTHING,
    cold_factor: Number = 1.0,
    lines: Lines | None = None,
) -> Statics:
    """Return all forces at every position of a motion.

    Parameters
    ----------
    motion : Motion
        From `linkage.motion.sweep`, usually over the working travel.
    springs : iterable of str, optional
        Those that act; all where not given.
    gone : frozenset of Ref
        Springs and rods that have come off; what lies beyond such a rod is
        balanced no more.
    cold_factor : float or column
        On every coefficient of friction.
    lines : Lines, optional
        Of this motion, where they are known already.

    Raises
    ------
    LayoutError
        If a spring of the layout is impossible.
    """
    lines = force_lines(motion) if lines is None else lines
    if springs is not None:
        acting = set(springs)
        gone |= {Ref("spring", name) for name in lines.laws if name not in acting}
    return Statics(lines, gone, cold_factor)


def _at_plate(lines: Lines, throttle: str, force: Positions) -> Positions:
    """Return a force at the pad as the torque it is at a spindle."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return force / per_opening(lines, throttle)


def shutting_sense(lines: Lines, shaft: str) -> Positions:
    """Return the sense in which a shaft shuts the plate.

    A spindle shuts against the way its throttle opens; another shaft against
    the way pressing turns it.

    Returns
    -------
    float or ndarray, shape (n,) or (rows, n)
        1 anticlockwise, -1 clockwise for the viewer of its axis.
    """
    throttle = lines.layout.throttle_on(shaft)
    if throttle is not None:
        return -float(throttle.opens)
    return -lines.turning[shaft]
