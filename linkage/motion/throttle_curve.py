"""One throttle through the working travel, as a part of a travel curve.

Not here: the whole curve (`motion.curve`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np

from linkage.motion.plate import area_of, most_area
from linkage.motion.sweep import SHUT
from linkage.records import dataclass, short

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model import Throttle
    from linkage.model.columns import Number
    from linkage.motion.frame import Frame
    from linkage.motion.sweep import Motion

    FloatArray = NDArray[np.float64]


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
    most_area : float, optional
        The same with the plate edge-on: the spindle covers the rest.
    local_ratio : ndarray, shape (n,)
        Throttle a metre of pad, of a governor how fast it shuts; 0 in free play, on the
        idle stop and where a rod on the way to it is slack. [rad/m]
    starts : float, optional
        Pad travel at which it begins to open, of a governor to shut; None where it never does. [m]
    full_at : float, optional
        Pad travel at which it has opened by the share of its swing that counts as
        full, of a governor shut by it; None where that is not reached. [m]
    """

    name: str
    kind: Literal["plate", "kickdown"]
    swing: Number
    asked_angle: FloatArray
    throttle_angle: FloatArray
    throttle_share: FloatArray
    open_area: FloatArray | None
    most_area: Number | None
    local_ratio: FloatArray
    starts: Number | None
    full_at: Number | None

    def __repr__(self) -> str:
        reached = 100 * np.max(self.throttle_share[..., -1])
        return f"<Throttle curve of {short(self.name)!r}: to {reached:.0f} % of swing>"


def throttle_curve(
    throttle: Throttle,
    motion: Motion,
    fast: Frame,
    idle: NDArray[np.bool_],
    starts: Number | None,
    full_at: Number | None,
) -> ThrottleCurve:
    """Return one throttle through the working travel.

    Parameters
    ----------
    throttle : Throttle
        Of the layout that moves.
    motion : Motion
        Over the working travel.
    fast : Frame
        Of the same positions.
    idle : ndarray of bool, shape (n,)
        Within the pedal's free play.
    starts, full_at : float, optional
        Pad travels at which it begins to move, and is full. [m]
    """
    asked = np.array(motion.opening(throttle.name))
    angle = motion.between_stops(throttle.name)
    ratio = throttle.opens * fast.moving[throttle.shaft]
    on_stop = (asked < -SHUT) | ((asked < SHUT) & (ratio < 0))
    ratio = np.where(idle | on_stop, 0.0, ratio)
    # Inside, the way in which a governor moves it counts as opening.
    if motion.assembly.layout.governed:
        asked, angle = throttle.swing - asked, throttle.swing - angle
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
        most_area=most_area(throttle),
        local_ratio=ratio,
        starts=starts,
        full_at=full_at,
    )
