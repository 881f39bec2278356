"""Rods with an over-travel spring, as they are drawn: a tube with a coil, and a collar.

The tube is on the lever that is spared, the rest of the rod ends in a collar in it.
All is true to scale along the rod: how far the collar may still go, and how far the
rod has got longer or shorter. Across it a tube is as wide on paper as a slot.

Not here: where pins are (`track`), the lines themselves (`pose`, `ghost`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from linkage.drawing.along_rod import pins_apart, spots_on
from linkage.motion import frame
from linkage.quantities import say

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.connect import Connector
    from linkage.drawing.along_rod import Pin
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: From the spared lever's hole to the tube, as a share of the rod.
SHANK: Final = 0.1
#: Room for a coil that is used up: as long as its way, at least a share of the rod.
SHUT: Final = 0.06
#: The longest tube, as a share of the rod.
LONGEST: Final = 0.7
#: Zigzags of the coil, and how wide they and the collar are, over the tube.
COILS: Final = 5
COIL: Final = 0.72
_SHARES: Final = np.linspace(0.0, 1.0, 2 * COILS + 2)[1:-1]
_SIDES: Final = COIL * np.tile([1.0, -1.0], COILS)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Sprung:
    """A rod with an over-travel spring, at every position.

    Parameters
    ----------
    at : {0, 1}
        At which of its two ends the tube is, in the order of the layout file.
    seat, bottom, collar : ndarray, shape (n,)
        Where the end of the tube that the coil rests against, its other end, and the
        collar are, as shares of the way from the spared lever's hole to the other.
    given : ndarray, shape (n,)
        How far it has given. [m]
    way : float
        How far it can. [m]
    """

    at: Literal[0, 1]
    seat: FloatArray
    bottom: FloatArray
    collar: FloatArray
    given: FloatArray
    way: float


def sprung_rods(motion: Motion, pin: Pin) -> dict[str, Sprung]:
    """Return the rods with an over-travel spring, by name.

    Parameters
    ----------
    motion : Motion
        Of one layout.
    pin : callable
        Where pins are drawn.
    """
    return {
        name: _sprung(motion.assembly.loop(name), np.asarray(far, float), pin)
        for name, far in frame(motion).given.items()
    }


def _sprung(loop: Connector, far: FloatArray, pin: Pin) -> Sprung:
    rod, length = loop.link.rod, float(loop.length)
    apart = pins_apart(rod, pin)
    way = float(rod.over_travel)
    tube = min(way + max(way, SHUT * length), LONGEST * length)
    near = min(SHANK * length, (length - tube) / 2)
    pulls = float(loop.gives_by) > 0
    given = np.broadcast_to(np.nan_to_num(far), apart.shape)
    collar = near + given if pulls else near + tube - given
    ends = (near + tube, near) if pulls else (near, near + tube)
    return Sprung(
        at=1 if loop.link.driven == rod.end else 0,
        seat=ends[0] / apart,
        bottom=ends[1] / apart,
        collar=collar / apart,
        given=given,
        way=way,
    )


def gives_words(given: float, way: float) -> str:
    """Return how far an over-travel spring has given of how far it can. [m].

    >>> gives_words(0.0037, 0.012)
    'gives 3.7 mm of 12.0 mm'
    """
    return f"gives {say(given, 'length')} of {say(way, 'length')}"


def tubed(
    sprung: Sprung, index: int, ends: tuple[FloatArray, FloatArray], half: float
) -> tuple[FloatArray, FloatArray]:
    """Return what is drawn of a rod with an over-travel spring.

    Parameters
    ----------
    sprung : Sprung
        The rod.
    index : int
        The position.
    ends : tuple of 2 ndarray, shape (2,)
        Its two pins on the picture, in the order of the layout file. [m]
    half : float
        Half the width of its tube. [m]

    Returns
    -------
    bar : ndarray, shape (2, 2)
        In the order of the layout file, from the driving hole to the tube. [m]
    outline : ndarray, shape (n, 2)
        One line: from the spared lever's hole round the tube, along the coil, across
        the collar and out of the tube. [m]
    """
    pin, other = ends[::-1] if sprung.at else ends
    seat, bottom, collar = (
        float(s[index]) for s in (sprung.seat, sprung.bottom, sprung.collar)
    )
    spots = spots_on(pin, other, half)
    near, far = min(seat, bottom), max(seat, bottom)
    walls = spots([0, near, near, far, far, near], 0, [0, 0, 1, 1, -1, -1])
    back = ([near], [0]) if seat == near else ([near, near, far, far], [0, 1, 1, 0])
    closed = spots(back[0], 0, back[1])
    coil = spots(seat + _SHARES * (collar - seat), 0, _SIDES)
    plate = spots([*[collar] * 4, far], 0, [0, COIL, -COIL, 0, 0])
    outline = np.vstack([walls, closed, coil, plate])
    bar = np.array([other, spots(far)])
    return (bar if sprung.at else bar[::-1]), outline
