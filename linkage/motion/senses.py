"""Pull or push: in which sense each rod works while the pedal is pressed.

By motion alone, against whatever shuts the throttle: a rod pulls where a pull
along it turns the shaft it drives the way this shaft moves.

Not here: what rods carry under load (`forces.sense`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.motion.frame import frame

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.connect import Line
    from linkage.motion.sweep import Motion

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.int64]

#: Share of the rod force that turns the arm below which a rod neither pulls nor
#: pushes.
NEITHER: Final = 1e-6


def pull_or_push(rate: FloatArray, line: Line) -> IntArray:
    """Return whether a rod pulls or pushes at every position.

    Parameters
    ----------
    rate : ndarray, shape (n,) or (rows, n)
        dq/ds of the shaft it drives. [rad/m]
    line : Line
        How it lies, at the same positions.

    Returns
    -------
    ndarray, shape (n,) or (rows, n)
        1 pull, -1 push, 0 on a dead centre or where nothing moves.
    """
    with np.errstate(invalid="ignore"):
        work = np.nan_to_num(np.sign(rate) * line.driven_side)
    sense = np.sign(work) * (np.abs(work) > NEITHER)
    return np.asarray(sense, dtype=np.int64)


def pulls_and_pushes(motion: Motion) -> dict[str, IntArray]:
    """Return `pull_or_push` of every rod, by its name.

    Parameters
    ----------
    motion : Motion
        From `sweep`.
    """
    here = frame(motion)
    return {
        name: pull_or_push(here.first[line.link.driven.shaft], line)
        for name, line in here.rods.items()
    }
