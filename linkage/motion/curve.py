"""The travel curve: throttle against pad, from pedal up to whatever stops it.

One result serves the picture, the table, CSV and JSON.

Not here: one throttle of it (`throttle_curve`), judging it (`rules`), drawing it (`drawing.curve`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import (
    greater,
    is_column,
    last,
    lesser,
    most,
    rows_below,
    spread,
)
from linkage.motion.frame import frame
from linkage.motion.giving import gives_from
from linkage.motion.stops import first_met, opens_by
from linkage.motion.sweep import sweep_clear
from linkage.motion.throttle_curve import ThrottleCurve, throttle_curve
from linkage.motion.tip_in import tip_in
from linkage.motion.twins import beside
from linkage.motion.working import BEGINS
from linkage.records import dataclass, short
from linkage.tabular import Tabular, column_words, put

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.model import Throttle
    from linkage.model.columns import Number, Truth
    from linkage.model.refs import Ref
    from linkage.motion.assembly import Assembly
    from linkage.motion.twins import Twins
    from linkage.motion.working import Working

    FloatArray = NDArray[np.float64]

#: Shares of the swing whose pad positions are told.
MARKS: Final = (0.25, 0.50, 0.75)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class TravelCurve(Tabular):
    """The travel curve of a layout; all arrays are read-only.

    Of many layouts arrays are (rows, n) and numbers columns, and what is None for
    one is nan.

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
    stopped_by : Ref, optional
        What stops it at `end`; None of many layouts, see `Working`.
    held_open : float
        Throttle angle off the idle stop with the pedal up. [rad]
    opens : bool
        Whether pressing opens the plate at all, or a governor shuts it.
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
        Throttle share with the pedal, or governor, half-way to its own end.
    gives_from : mapping of str to float
        By rod with an over-travel spring, the pad travel from which that gives; nan
        where it does not. [m]
    given : mapping of str to float
        How far it has given at `end`. [m]
    beside : tuple of Twins
        Every further plate beside the first.
    driver : str
        As `Layout.driver` has it: what is told of the pad is of the end of that.
    """

    title: str
    pad_travel: FloatArray
    pad_travel_share: FloatArray
    throttles: Mapping[str, ThrottleCurve]
    main: ThrottleCurve
    start: Number
    end: Number
    pedal_end: Number
    left_over: Number
    stopped_by: Ref | None
    held_open: Number
    opens: Truth
    tip_in: Number
    tip_in_end: Number
    marks: Mapping[float, Number | None]
    full_limit: Number
    full_at: Number | None
    half_pedal_share: Number
    gives_from: Mapping[str, Number]
    given: Mapping[str, Number]
    beside: tuple[Twins, ...]
    driver: str = "pedal"

    def __repr__(self) -> str:
        points = self.pad_travel.shape[-1]
        if is_column(self.end):
            return f"<Travel curves of {len(self.end)} rows: {points} points>"
        reached = 100 * self.main.throttle_share[-1]
        return (
            f"<Travel curve of {short(self.title)!r}: {points} points, pad 0 to "
            f"{1e3 * self.end:.1f} mm, {reached:.0f} % of swing>"
        )

    def columns(self) -> dict[str, Any]:
        """Return the columns by their name with unit, in shown units.

        With several throttles each has its own, named after it. Of many layouts all
        points stand one below the other, with the row first.
        """
        out: dict[str, Any] = {}
        put(out, "pad travel", self.pad_travel)
        put(out, "pad travel share", self.pad_travel_share)
        words = column_words(self.throttles)
        for name, throttle in self.throttles.items():
            of = words[name] if len(words) > 1 else ""
            put(out, "throttle angle", throttle.throttle_angle, of)
            put(out, "throttle share", throttle.throttle_share, of)
            if throttle.open_area is not None:
                put(out, "open area", throttle.open_area, of)
            put(out, "local ratio", throttle.local_ratio, of)
        for twins in self.together:
            put(out, "ahead of first", self.ahead(twins), words[twins.other])
        return rows_below(out)

    @property
    def by_hand(self) -> bool:
        """Whether the hand lever drives."""
        return self.driver == "hand lever"

    @property
    def governed(self) -> bool:
        """Whether a governor does, which shuts: angles fall from full open."""
        return self.driver == "governor"

    @property
    def together(self) -> tuple[Twins, ...]:
        """Those that are to go together all the way, not later on purpose."""
        return tuple(twins for twins in self.beside if not twins.later)

    def ahead(self, twins: Twins) -> FloatArray:
        """Return the opening of a further plate less the first's, over the pad. [rad]."""
        one, other = (self.throttles[n] for n in (twins.first, twins.other))
        return other.throttle_angle - one.throttle_angle


def travel_curve(
    assembly: Assembly, working: Working, *, points: int = 201
) -> TravelCurve:
    """Follow every throttle from rest to the end of the working travel.

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
    governed, pedal_end = layout.governed, layout.pedal.end
    many = is_column(working.end)
    travel = spread(0.0, working.end, max(points, 2))
    motion = sweep_clear(assembly, travel)
    fast = frame(motion)
    idle = travel < layout.pedal.free_play
    full = layout.limits.full_throttle
    throttles = {
        name: throttle_curve(
            throttle,
            motion,
            fast,
            idle,
            _met(assembly, working, throttle, BEGINS),
            _met(assembly, working, throttle, full * throttle.swing),
        )
        for name, throttle in layout.throttles.items()
    }
    name, swing = layout.main.name, layout.main.swing
    main = throttles[name]
    first = tip_in(assembly, working)
    half = sweep_clear(assembly, lesser(pedal_end / 2, working.end))
    half_share = abs(governed - half.between_stops(name) / swing)
    held = lesser(greater(working.opening_at_start[name], 0.0), swing)
    moved = abs(governed * swing - main.throttle_angle)
    opens = most(np.nan_to_num(moved, nan=-np.inf)) > held + 1e-9
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
        stopped_by=None if many else working.stopped_by,
        held_open=0.0 * held if governed else held,
        opens=opens if many else bool(opens),
        tip_in=first.ratio,
        tip_in_end=first.end,
        marks={
            m: _met(assembly, working, layout.main, swing * abs(governed - m))
            for m in MARKS
        },
        full_limit=full,
        full_at=main.full_at,
        half_pedal_share=half_share if many else float(half_share),
        gives_from=gives_from(assembly, working),
        given={name: last(far) for name, far in fast.given.items()},
        beside=beside(assembly, working),
        driver=layout.driver,
    )


def _met(
    assembly: Assembly, working: Working, throttle: Throttle, angle: Number
) -> Number | None:
    """Return where a throttle has opened by an angle from its idle stop.

    None where it does not; nan in rows.
    """
    measure = opens_by(assembly.layout, throttle.name, angle)
    place = first_met(assembly, measure, working.end)
    return place if is_column(place) or not np.isnan(place) else None
