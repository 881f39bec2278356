"""The travel curve: throttle against pad, from pedal up to whatever stops it.

One result serves the picture, the table, CSV and JSON.

Not here: judging it (`checks`), drawing it (`drawing.curve`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from linkage.motion.chain import Chain
from linkage.motion.events import crossings
from linkage.motion.frame import Frame, frame
from linkage.motion.plate import area_of
from linkage.motion.stops import opens_by
from linkage.motion.sweep import SHUT, Motion, sweep
from linkage.motion.tip_in import tip_in

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.model import Throttle
    from linkage.model.refs import Ref
    from linkage.motion.assembly import Assembly
    from linkage.motion.working import Working

    FloatArray = NDArray[np.float64]

#: Shares of the swing whose pad positions are told.
MARKS: Final = (0.25, 0.50, 0.75)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class ThrottleCurve:
    """One throttle through the working travel; all arrays are read-only.

    Parameters
    ----------
    name : str
        Its name in the layout.
    kind : {"plate", "kickdown"}
        A kickdown lever has no plate.
    swing : float
        From the idle stop to the full stop. [rad]
    asked_angle : ndarray, shape (n,)
        Where the linkage alone would turn the spindle; negative where it
        drives the plate against its idle stop. [rad]
    throttle_angle : ndarray, shape (n,)
        The same between the stops, which the plate cannot pass. [rad]
    throttle_share : ndarray, shape (n,)
        Of the swing.
    open_area : ndarray, shape (n,), optional
        Share of the bore; None where no bore is given.
    local_ratio : ndarray, shape (n,)
        Throttle a metre of pad; 0 in free play and on the idle stop. [rad/m]
    """

    name: str
    kind: Literal["plate", "kickdown"]
    swing: float
    asked_angle: FloatArray
    throttle_angle: FloatArray
    throttle_share: FloatArray
    open_area: FloatArray | None
    local_ratio: FloatArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class TravelCurve:
    """The travel curve of a layout; all arrays are read-only.

    Parameters
    ----------
    title : str
        Of the layout.
    pad_travel : ndarray, shape (n,)
        Evenly from 0 to `end`. [m]
    pad_travel_share : ndarray, shape (n,)
        Of `pedal_end`.
    throttles : mapping of str to ThrottleCurve
        In the layout's order.
    main : ThrottleCurve
        The throttle of which the numbers below speak.
    start : float
        Pad travel at which the plates begin to move, after free play and after
        the last of them leaves its idle stop. [m]
    end : float
        Pad travel at which the pedal stops. [m]
    pedal_end : float
        Pad travel at which the pedal's own stop or the floor would stop it. [m]
    left_over : float
        From `end` to `pedal_end`. [m]
    stopped_by : Ref
        What stops it at `end`.
    held_open : float
        Throttle angle off the idle stop with the pedal up. [rad]
    opens : bool
        Whether pressing opens the plate at all.
    tip_in : float
        Mean local ratio from `start` to `tip_in_end`. [rad/m]
    tip_in_end : float
        A tenth of the way from `start` to `end`. [m]
    marks : mapping of float to (float or None)
        Pad travel at 25, 50 and 75 % of the swing; None where not reached. [m]
    full_limit : float
        Share of the swing that counts as full throttle.
    full_at : float, optional
        Pad travel at which that is reached; None where it is not. [m]
    half_pedal_share : float
        Throttle share with the pedal half-way to its own end.
    """

    title: str
    pad_travel: FloatArray
    pad_travel_share: FloatArray
    throttles: Mapping[str, ThrottleCurve]
    main: ThrottleCurve
    start: float
    end: float
    pedal_end: float
    left_over: float
    stopped_by: Ref
    held_open: float
    opens: bool
    tip_in: float
    tip_in_end: float
    marks: Mapping[float, float | None]
    full_limit: float
    full_at: float | None
    half_pedal_share: float

    def __repr__(self) -> str:
        points = len(self.pad_travel)
        reached = 100 * self.main.throttle_share[-1]
        return (
            f"<Travel curve of {self.title!r}: {points} points, pad 0 to "
            f"{1e3 * self.end:.1f} mm, {reached:.0f} % of swing>"
        )


def travel_curve(
    assembly: Assembly, working: Working, *, points: int = 201
) -> TravelCurve:
    """Follow every throttle from pedal up to the end of the working travel.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel, from `working_travel`.
    points : int
        Positions, two or more, evenly spread.

    Returns
    -------
    TravelCurve
        Marks, full throttle and tip-in are solved for, not read off the points.
    """
    layout = assembly.layout
    pedal_end = layout.pedal.end
    travel = np.linspace(0.0, working.end, max(points, 2))
    motion = sweep(assembly, travel)
    fast = frame(motion)
    idle = travel < layout.pedal.free_play
    throttles = {
        name: _throttle(throttle, motion, fast, idle)
        for name, throttle in layout.throttles.items()
    }
    name, swing = layout.main.name, layout.main.swing
    main = throttles[name]
    first = tip_in(assembly, working)
    half = sweep(assembly, min(pedal_end / 2, working.end))
    held = min(max(working.opening_at_start[name], 0.0), swing)
    shares = (*MARKS, layout.limits.full_throttle)
    target = swing * np.array(shares)[:, None]
    zero, end = np.zeros(len(shares)), np.full(len(shares), working.end)
    measure = opens_by(layout, name, target)
    _, places = crossings(Chain.of(assembly), measure, zero, end)
    met = {
        share: None if np.isnan(place) else float(place)
        for share, place in zip(shares, places, strict=True)
    }
    share = travel / pedal_end
    for array in (travel, share):
        array.flags.writeable = False
    return TravelCurve(
        title=layout.title,
        pad_travel=travel,
        pad_travel_share=share,
        throttles=throttles,
        main=main,
        start=first.start,
        end=working.end,
        pedal_end=pedal_end,
        left_over=working.left_over,
        stopped_by=working.stopped_by,
        held_open=held,
        opens=bool(np.nanmax(main.throttle_angle) > held + 1e-9),
        tip_in=first.ratio,
        tip_in_end=first.end,
        marks={mark: met[mark] for mark in MARKS},
        full_limit=layout.limits.full_throttle,
        full_at=met[layout.limits.full_throttle],
        half_pedal_share=float(half.between_stops(name) / swing),
    )


def _throttle(
    throttle: Throttle, motion: Motion, fast: Frame, idle: NDArray[np.bool_]
) -> ThrottleCurve:
    asked = np.array(motion.opening(throttle.name))
    angle = motion.between_stops(throttle.name)
    ratio = throttle.opens * fast.first[throttle.shaft]
    on_stop = (asked < -SHUT) | ((asked < SHUT) & (ratio < 0))
    ratio = np.where(idle | on_stop, 0.0, ratio)
    share = angle / throttle.swing
    area = area_of(throttle, angle)
    if area is not None:
        area.flags.writeable = False
    for array in (asked, angle, share, ratio):
        array.flags.writeable = False
    return ThrottleCurve(
        name=throttle.name,
        kind=throttle.kind,
        swing=throttle.swing,
        asked_angle=asked,
        throttle_angle=angle,
        throttle_share=share,
        open_area=area,
        local_ratio=ratio,
    )
