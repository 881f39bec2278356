"""What a layout as measured says of readings, and how surely.

Not here: the same with its unknowns off (`proof.predicted`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.proof.fit import noise_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.proof.predicted import Predicted

    FloatArray = NDArray[np.float64]

#: Nine of ten of a normal number lie within so many of its standard deviations.
NINE: Final = 1.6448536269514722


def said_of(predicted: Predicted) -> tuple[FloatArray, FloatArray]:
    """Return what the layout as measured says of each reading, and how surely.

    Parameters
    ----------
    predicted : Predicted
        What is said of the readings.

    Returns
    -------
    said, sure : ndarray, shape (readings,)
        Nine of ten vehicles, so read, lie within so much. [as read]
    """
    still = np.zeros(len(predicted.some))
    values, by_pad, by = predicted.slopes(still)
    prior = predicted.errors**2 / 3
    spread = np.sqrt((by**2) @ prior + noise_of(predicted, by_pad))
    return values, NINE * spread
