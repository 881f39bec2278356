"""What a layout as measured says of readings, and how surely.

Not here: the same with its unknowns off (`proof.predicted`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.motion import assemble
from linkage.motion.stops import first_met, opens_by
from linkage.proof.fit import noise_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.readings import Reading
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
        Of ``full`` in pad travel; nine of ten vehicles, so read, lie within so much.
        [as read]
    """
    still = np.zeros(len(predicted.some))
    values, by_pad, by = predicted.slopes(still)
    prior = predicted.errors**2 / 3
    spread = np.sqrt((by**2) @ prior + noise_of(predicted, by_pad))
    for k, r in enumerate(predicted.readings):
        if r.what == "full":
            values[k] = _full_at(predicted, r, r.value - values[k] / by_pad[k])
            spread[k] /= abs(by_pad[k])
    return values, NINE * spread


def _full_at(predicted: Predicted, r: Reading, near: float) -> float:
    """Return the pad travel at which a throttle is full; near it where it never is."""
    layout = predicted.layout
    met = opens_by(layout, r.about.name, layout.throttles[r.about.name].swing)
    far = max(2 * near, 2 * float(layout.pedal.travel))
    found = float(first_met(assemble(layout), met, far))
    return found if math.isfinite(found) else near
