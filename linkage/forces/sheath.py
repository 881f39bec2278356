r"""What the sheath of a cable takes of a pull: friction over all its bends.

Along a wire that slides over a bend of angle β the pull grows against the way it moves,

.. math:: T_{ahead} = T_{behind}\,e^{\mu\beta}

ahead where it moves to. The bends are those of the sheath through its points and those
between the sheath and the free wire at both ends, which change as the arms turn.

Not here: the balance that it enters (`balance`), the wire (`connect.wire`).

References
----------
.. [1] L. Euler 1769, J. A. Eytelwein 1808, the belt on a drum (capstan equation); as in
   F. P. Beer, E. R. Johnston, Vector Mechanics for Engineers: Statics, belt friction
   (from memory).
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect.line import as_vector
from linkage.model.columns import is_column, pick
from linkage.motion.frame import dot

if TYPE_CHECKING:
    from linkage.connect import CableLine
    from linkage.model import Cable
    from linkage.model.columns import Number, Positions
    from linkage.motion.frame import Frame

#: Friction of a wire in a sheath: a plain steel sheath, dry; common practice, no source.
SHEATH_FRICTION: Final = 0.15
#: All bends of a cable of which neither points nor bends are given, at the least: there
#: and back again; common practice, no source. [rad]
BENDS: Final = math.pi


def sheath_friction(cable: Cable) -> Number:
    """Return the coefficient of friction of a wire in its sheath, assumed if not given."""
    given = cable.sheath_friction
    if given is None:
        return SHEATH_FRICTION
    return pick(given == given, given, SHEATH_FRICTION)  # noqa: PLR0124  (nan: not given)


def _between(one: Positions, two: Positions) -> Positions:
    """Return the angle between two ways, 0 where one of them is none. [rad]."""
    both = np.sqrt(dot(one, one) * dot(two, two))
    with np.errstate(invalid="ignore", divide="ignore"):
        cosine = np.where(both > 0, dot(one, two) / both, 1.0)
    return np.arccos(np.clip(cosine, -1.0, 1.0))


def bends(line: CableLine) -> Positions:
    """Return all bends of a wire together, at every position. [rad].

    Parameters
    ----------
    line : CableLine
        How it lies to its arms.

    Returns
    -------
    float, column or ndarray, shape (n,) or (rows, n)
        As given; else those of the legs from foot to foot through the points of its
        sheath, and where it has none `BENDS` at least.
    """
    cable: Any = line.link.rod
    if cable.bend is not None and not is_column(cable.bend):
        return cable.bend
    one, two = line.leaves
    route = cable.route if line.link.driver == cable.start else cable.route[::-1]
    # Rows may differ in the points of a sheath alone: then bends differ, no turn does.
    many = any(is_column(c) for point in route for c in point)
    feet = [
        f.reshape(3, 1, -1) if many and f.ndim < 3 else f for f in (one.foot, two.foot)
    ]
    between = (as_vector(point, feet[0].ndim - 1) for point in route)
    points = [feet[0], *between, feet[1]]
    legs = [b - a for a, b in pairwise(points)]
    total = sum(_between(a, b) for a, b in pairwise(legs))
    if not cable.through:
        total = np.maximum(total, BENDS)
    if cable.bend is None:
        return total
    return np.where(np.isnan(cable.bend), total, cable.bend)


class Sheath:
    """The friction of one cable's sheath.

    Parameters
    ----------
    frame : Frame
        Where everything is.
    cable : str
        Its name.
    """

    def __init__(self, frame: Frame, cable: str) -> None:
        line: Any = frame.rod(cable)
        self._line = line
        self._driver = line.link.driver.shaft
        #: μβ at every position.
        self.exponent = sheath_friction(line.link.rod) * bends(line)
        # Where the wire goes while the pedal goes down: out of its sheath at the driver
        # where the run there gets longer, which is against its torque arm.
        self._out = -np.sign(line.arms[self._driver] * frame.first[self._driver])

    def beyond(
        self, outer: str, pull: Positions, sense: Number, factor: Positions
    ) -> Positions:
        """Return a pull at one end as it is at the other. [N].

        Parameters
        ----------
        outer : str
            The shaft at which the pull is known.
        pull : ndarray
            Pull positive, push negative. [N]
        sense : {1, -1, 0} or column
            In which the pad moves.
        factor : float, column or ndarray over positions
            On the friction.
        """
        away = -1.0 if outer == self._driver else 1.0
        grows = np.sign(pull) * away * sense * self._out
        return pull * np.exp(grows * factor * self.exponent)


def most_bent(frame: Frame, cable: str) -> float:
    """Return the most that a cable is bent over all positions and rows. [deg]."""
    line: Any = frame.rod(cable)
    return math.degrees(float(np.nanmax(bends(line))))
