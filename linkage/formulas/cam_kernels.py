"""The derived formulas of cams over NumPy arrays of any shapes that broadcast.

Not here: the formulas (`derived_cams`), the cam that is cut by them (`search.cam_cut`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from linkage.formulas import derived_cams as derived

if TYPE_CHECKING:
    from linkage.model.columns import Number, Positions

    Both = tuple[Positions, Positions]


class PinWay(NamedTuple):
    """The way of a roller's pin in its cam, at every position.

    The pin [m], its normal outwards, how the way bends, positive round the cam [1/m],
    and the cosine of the pressure angle.
    """

    x: Positions
    y: Positions
    out_x: Positions
    out_y: Positions
    bend: Positions
    push: Positions


def pin_way(
    turns: tuple[Both, Both],
    seen: tuple[tuple[Number, Number], tuple[Number, Number], tuple[Number, Number]],
    first: Both,
    second: Both,
) -> PinWay:
    """Return the way of a roller's pin in its cam.

    The normal points to where the cam pushes the pin: outwards.

    Parameters
    ----------
    turns : pair of pair of ndarray
        Cosine and sine of the cam's turn, and of the driven one.
    seen : tuple of 3 pair of float
        Where the roller is, as `connect.facing.Seen`. [m]
    first, second : pair of ndarray
        First and second rates of both turns, by one number that they go with. [rad]
    """
    away, along, ahead = seen
    with np.errstate(invalid="ignore", divide="ignore"):
        x, y, out_x, out_y, bend, push = derived.pin_way(
            *turns[0], *turns[1], *away, *along, *ahead, *first, *second
        )
    side: Any = np.where(push < 0, -1.0, 1.0)
    return PinWay(x, y, side * out_x, side * out_y, side * bend, side * push)
