"""What an animation tells of one layout, as columns over pad positions.

Picture and page both take their numbers and words from here, so that they say
the same.

Not here: how it is drawn (`panel`, `markup`), where points fall (`geometry`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, TypeVar

import numpy as np

from linkage.drawing.track import SLACK
from linkage.drawing.views import views_needed
from linkage.errors import UsageError
from linkage.forces import cold_factor, statics
from linkage.motion import frame, sweep_clear
from linkage.motion.curve import travel_curve
from linkage.motion.plate import area_of
from linkage.motion.senses import pulls_and_pushes
from linkage.report.verdict import headline
from linkage.rules.order import gravity
from linkage.rules.senses import opens

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.model import Hole, Layout, Throttle
    from linkage.motion import Motion, Working
    from linkage.motion.curve import TravelCurve
    from linkage.rules import Examined
    from linkage.search import Check

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.int64]

_Number = TypeVar("_Number", bound=np.generic)

#: Force under which a rod counts as carrying nothing. [N]
NOTHING: Final = 0.05
#: Pad travels nearer than this are one. [m]
SAME: Final = 1e-9


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RodColumns:
    """One rod at every position; all arrays are read-only.

    Parameters
    ----------
    name : str
        The rod, or cable.
    holes : tuple of 2 Hole
        The driving and the driven one.
    sense : tuple of 2 ndarray, shape (n,)
        Pedal going down, and coming up: 1 pull, -1 push, 0 neither, `SLACK`. By force
        where it is known, else by the way the driven shaft must be turned.
    force : tuple of 2 ndarray, shape (n,), optional
        Pull positive, pedal going down and coming up, nan where not known;
        None where no springs are given or forces mean nothing. [N]
    left : ndarray, shape (n,)
        Arm-rod angle left to dead centre, of the nearer end; 90° is square; nan
        where the rod is slack. [rad]
    nearer : ndarray, shape (n,)
        Which of ``holes`` that is.
    given : ndarray, shape (n,), optional
        How far its over-travel spring has given; None where it has none. [m]
    way : float
        How far that can give; 0 where there is none. [m]
    """

    name: str
    holes: tuple[Hole, Hole]
    sense: tuple[IntArray, IntArray]
    force: tuple[FloatArray, FloatArray] | None
    left: FloatArray
    nearer: IntArray
    given: FloatArray | None
    way: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class ThrottleColumns:
    """One throttle at every position; all arrays are read-only.

    Parameters
    ----------
    throttle : Throttle
        Which; of a governed engine with the sense in which it does open.
    asked : ndarray, shape (n,)
        Where the linkage alone would turn it. [rad]
    angle : ndarray, shape (n,)
        The same between its stops. [rad]
    area : ndarray, shape (n,), optional
        Open share of the bore; None where no bore is given.
    """

    throttle: Throttle
    asked: FloatArray
    angle: FloatArray
    area: FloatArray | None

    @property
    def share(self) -> FloatArray:
        """Share of the swing, shape (n,)."""
        return np.asarray(self.angle / self.throttle.swing)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Scene:
    """What is told of one layout; all arrays are read-only.

    Parameters
    ----------
    layout : Layout
        What is shown.
    working : Working
        Its stops.
    motion : Motion
        At every position, none beyond the working travel.
    throttles : mapping of str to ThrottleColumns
        In the layout's order.
    rods : tuple of RodColumns
        In driving order.
    pad_force : tuple of 2 ndarray, shape (n,), optional
        Pedal going down and coming up, nan where not known; None as for rods. [N]
    curve : TravelCurve
        The whole of it.
    reasons : tuple of str
        Why not to fit, each with its number; empty where it fits.
    views : tuple of View
        In which it is drawn: side by side all layouts have the same.
    verdict : str
        In one sentence, as the screen says it.
    """

    layout: Layout
    working: Working
    motion: Motion
    throttles: Mapping[str, ThrottleColumns]
    rods: tuple[RodColumns, ...]
    pad_force: tuple[FloatArray, FloatArray] | None
    curve: TravelCurve
    reasons: tuple[str, ...]
    views: tuple[View, ...]
    verdict: str

    @property
    def main(self) -> ThrottleColumns:
        """The throttle of which curve and words speak."""
        return self.throttles[self.layout.main.name]


def scenes(checks: Sequence[Check], pad_travel: FloatArray) -> tuple[Scene, ...]:
    """Return what is told of each layout over the same pad positions.

    A layout whose pedal stops earlier stays at its stop.

    Parameters
    ----------
    checks : sequence of Check
        One or more.
    pad_travel : ndarray, shape (n,)
        Positive pressing. [m]

    Raises
    ------
    UsageError
        If some are governed engines and others are not.
    """
    refuse_others(checks)
    views = shared_views(checks)
    return tuple(scene(one, pad_travel, views) for one in checks)


def shared_views(checks: Sequence[Check]) -> tuple[View, ...]:
    """Return every view that one of the layouts needs, for all of them."""
    return tuple(
        dict.fromkeys(v for c in checks for v in views_needed(c.examined.layout))
    )


def refuse_others(checks: Sequence[Check]) -> None:
    """Refuse a governed engine beside one with a pedal, as one travel moves both.

    Raises
    ------
    UsageError
        If some are governed and others are not.
    """
    if len({one.examined.layout.governed for one in checks}) > 1:
        msg = "a governed engine and one with a pedal do not go on one travel"
        raise UsageError(msg, hint="make a film or page of each")


def deepest(checks: Sequence[Check]) -> float:
    """Return the pad travel at which the last of the layouts stops. [m]."""
    return max(one.examined.working.end for one in checks)


def scene(check: Check, pad_travel: FloatArray, views: tuple[View, ...] = ()) -> Scene:
    """Return what is told of one layout; arguments as for `scenes`.

    Without ``views`` it is drawn in those that it needs.
    """
    x = check.examined
    travel = np.minimum(np.asarray(pad_travel, dtype=float), x.working.end)
    motion = sweep_clear(x.assembly, travel)
    pad_force, rod_force = _forces(x, motion)
    return Scene(
        layout=x.layout,
        working=x.working,
        motion=motion,
        throttles={n: _throttle(t, motion) for n, t in x.layout.throttles.items()},
        rods=_rods(motion, rod_force),
        pad_force=pad_force,
        curve=travel_curve(x.assembly, x.working),
        reasons=tuple(
            f.short.replace("`", "")
            for f in sorted(check.reasons, key=lambda f: gravity(f.code))
        ),
        views=views or views_needed(x.layout),
        verdict=headline(check).replace("`", ""),
    )


def forces_known(x: Examined) -> bool:
    """Tell whether forces mean anything: springs given, pressing opens, no jam."""
    if not x.layout.springs or x.working.jam is not None:
        return False
    if not x.working.end > x.working.start:
        return False
    return all(opens(x, name) > 0 for name in x.layout.throttles)


def _forces(
    x: Examined, motion: Motion
) -> tuple[
    tuple[FloatArray, FloatArray] | None, dict[str, tuple[FloatArray, FloatArray]]
]:
    """Return the pad's force and every rod's, pedal going down and coming up."""
    if not forces_known(x):
        return None, {}
    s = statics(motion, cold_factor=cold_factor(x.layout))
    # Until the plate leaves its idle stop the stop carries an unknown share.
    known = motion.pad_travel >= x.working.start - SAME

    def both(down: FloatArray, up: FloatArray) -> tuple[FloatArray, FloatArray]:
        return _kept(np.where(known, down, np.nan)), _kept(np.where(known, up, np.nan))

    rods = {n: both(s.rod_pressing[n], s.rod_releasing[n]) for n in s.rod_pressing}
    return both(s.pad_force_pressing, s.pad_force_releasing), rods


def _rods(
    motion: Motion, forces: Mapping[str, tuple[FloatArray, FloatArray]]
) -> tuple[RodColumns, ...]:
    with np.errstate(divide="ignore", invalid="ignore"):  # a jam is a dead centre
        by_motion = pulls_and_pushes(motion)
    out = []
    for loop in motion.assembly.loops:
        link = loop.link
        name = link.rod.name
        line = frame(motion).rod(link.rod.name)
        ends = np.array([line.driver_angle, line.driven_angle])
        ends = np.minimum(ends, np.pi - ends)
        slack = frame(motion).slack.get(name, np.zeros(ends.shape[1:], bool))
        force, given = forces.get(name), frame(motion).given.get(name)
        senses = (
            [by_motion[name]] * 2
            if force is None
            else [_sense(f, by_motion[name]) for f in force]
        )
        down, up = (np.where(slack, SLACK, one) for one in senses)
        out.append(
            RodColumns(
                name=name,
                holes=link.holes,
                sense=(_kept(down), _kept(up)),
                force=force,
                left=_kept(np.where(slack, np.nan, ends.min(axis=0))),
                nearer=_kept(ends.argmin(axis=0)),
                given=None if given is None else _kept(given),
                way=float(link.rod.over_travel),
            )
        )
    return tuple(out)


def _sense(force: FloatArray, other: IntArray) -> IntArray:
    known = np.nan_to_num(force)
    signs = np.where(np.abs(known) < NOTHING, 0, np.sign(known)).astype(np.int64)
    return np.where(np.isnan(force), other, signs)


def _throttle(throttle: Throttle, motion: Motion) -> ThrottleColumns:
    asked = motion.opening(throttle.name)
    angle = motion.between_stops(throttle.name)
    if (
        motion.assembly.layout.governed
    ):  # inside, what a governor does counts as opening
        asked, angle = throttle.swing - asked, throttle.swing - angle
        throttle = replace(throttle, opens=-throttle.opens)
    area = area_of(throttle, angle)
    return ThrottleColumns(
        throttle=throttle,
        asked=_kept(asked),
        angle=_kept(angle),
        area=None if area is None else _kept(area),
    )


def _kept(array: NDArray[_Number]) -> NDArray[_Number]:
    out = np.array(array)
    out.flags.writeable = False
    return out
