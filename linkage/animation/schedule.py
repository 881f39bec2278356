"""Which pad position each frame shows: down to the stop and up again, evenly.

Not here: what is shown (`scene`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import UsageError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: Fewer frames are no animation; more are a film.
LEAST_FRAMES: Final = 4
MOST_FRAMES: Final = 1000
#: Frames a second, at least, and at most by the file's ending. A GIF counts time
#: in hundredths of a second, and readers slow down what is under two of them.
LEAST_FPS: Final = 1
MOST_FPS: Final = {"gif": 50, "mp4": 120}


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Schedule:
    """The frames of one press and release at constant pad speed.

    Parameters
    ----------
    pad_travel : ndarray, shape (m,)
        Every pad position that is shown, rising from 0. [m]
    indices : ndarray, shape (n,)
        Which of them each frame shows; the first and the last are 0.
    pressing : ndarray, shape (n,)
        Whether the pedal goes down in a frame.
    """

    pad_travel: FloatArray
    indices: NDArray[np.int64]
    pressing: NDArray[np.bool_]


def refuse_timing(frames: int, fps: float, kind: str) -> None:
    """Refuse a number of frames or a speed that makes no animation.

    Parameters
    ----------
    frames : int
        In all.
    fps : float
        Frames a second.
    kind : {"gif", "mp4"}
        The file's ending.

    Raises
    ------
    UsageError
        With the numbers that do.
    """
    if not LEAST_FRAMES <= frames <= MOST_FRAMES:
        msg = f"{frames} frames make no animation"
        raise UsageError(
            msg, hint=f"give --frames from {LEAST_FRAMES} to {MOST_FRAMES}, such as 120"
        )
    if not LEAST_FPS <= fps <= MOST_FPS[kind]:
        msg = f"{fps:g} frames a second cannot be shown as .{kind}"
        raise UsageError(
            msg, hint=f"give --fps from {LEAST_FPS} to {MOST_FPS[kind]}, such as 25"
        )


def schedule(end: float, frames: int) -> Schedule:
    """Return the frames of one press and release.

    An even number shows the pedal down twice, so that both ways take as long.

    Parameters
    ----------
    end : float
        Pad travel at the deepest. [m]
    frames : int
        Four or more.

    Examples
    --------
    >>> schedule(0.06, 7).indices
    array([0, 1, 2, 3, 2, 1, 0])
    >>> schedule(0.06, 8).indices
    array([0, 1, 2, 3, 3, 2, 1, 0])
    """
    half = (frames - 1) // 2
    count = np.arange(frames)
    indices = np.minimum(np.minimum(count, frames - 1 - count), half)
    pressing = count <= half
    pad = np.linspace(0.0, end, half + 1)
    for array in (pad, indices, pressing):
        array.flags.writeable = False
    return Schedule(pad_travel=pad, indices=indices, pressing=pressing)
