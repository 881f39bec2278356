"""Layouts with a cam for tests, built in code: millimetres and degrees in, SI out.

The cam's shaft is the pedal's, its pad at one metre, so that pad travel in metres is the
turn of the cam in radians; all is seen from above. Every number is invented unless the
test that uses it names a source.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from linkage.model import Cam
from tests.build import arm, hole, shaft, tree

if TYPE_CHECKING:
    from linkage.model import Layout

Pairs = "Sequence[tuple[float, float]]"


def cam_of(
    first: float,
    *,
    roller: float,
    points: Pairs = (),
    arcs: Pairs = (),
    goes: int = -1,
    **more: Any,
) -> Cam:
    """Return a cam: points as (degrees, mm), arcs as (mm, degrees), roller's diameter."""
    return Cam(
        name="cam",
        start=hole("pedal.cam"),
        end=hole("spindle.roller"),
        roller=roller / 2e3,
        goes=goes,
        points=tuple((math.radians(t), r / 1e3) for t, r in points),
        arcs=tuple((r / 1e3, math.radians(a)) for r, a in arcs),
        base=first / 1e3,
        **more,
    )


def cam_layout(
    cam: Cam,
    *,
    at: float,
    away: tuple[float, float],
    reach: float,
    angle: float,
    travel: float,
    opens: int = 1,
    **more: Any,
) -> Layout:
    """Return a pedal whose cam pushes the spindle's roller.

    Parameters
    ----------
    cam : Cam
        From `cam_of`.
    at : float
        Angle of the cam's arm. [deg]
    away : pair of float
        Pivot of the spindle. [mm]
    reach, angle : float
        Of the roller's arm. [mm, deg]
    travel : float
        Turn of the cam. [deg]
    """
    return tree(
        [
            shaft(
                "pedal",
                (0, 0, 0),
                "upright",
                arm("pad", 1000.0, 90),
                arm("cam", 1e3 * cam.base, at),
            ),
            shaft("spindle", (*away, 0), "upright", arm("roller", reach, angle)),
        ],
        [cam],
        travel_mm=1e3 * math.radians(travel),
        opens=opens,
        **more,
    )
