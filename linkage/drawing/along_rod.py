"""Places along and across a rod, for what is drawn on it to scale.

Not here: what that is (`loose`, `sprung`), where its pins are (`track`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from linkage.model import Hole, Rod

    FloatArray = NDArray[np.float64]
    #: From the name of a rod and one of its holes to where its pin is, shape (3, n). [m]
    Pin = Callable[[str, Hole], FloatArray]


def pins_apart(rod: Rod, pin: Pin) -> FloatArray:
    """Return how far the two pins of a rod are apart in space, shape (n,), over 0. [m]."""
    gap = pin(rod.name, rod.end) - pin(rod.name, rod.start)
    return np.maximum(np.sqrt((gap**2).sum(axis=0)), 1e-12)


def spots_on(
    one: FloatArray, other: FloatArray, half: float
) -> Callable[..., FloatArray]:
    """Return what places points on a rod as it is seen.

    Parameters
    ----------
    one, other : ndarray, shape (2,)
        Its two pins on the picture. [m]
    half : float
        Half the width of what is drawn on it. [m]

    Returns
    -------
    callable
        From shares of the way from one pin to the other, and from there how far along
        and across in half widths, each one or n, to the points, shape (2,) or (n, 2). [m]
    """
    way = other - one
    seen = float(np.hypot(*way))
    ahead = way / seen if seen > 0 else np.array([1.0, 0.0])
    beside = np.array([-ahead[1], ahead[0]])

    def spots(share: Any, along: Any = 0.0, across: Any = 0.0) -> FloatArray:  # noqa: ANN401
        each = np.broadcast_arrays(share, along, across)
        share, along, across = (np.asarray(part, float)[..., None] for part in each)
        return np.asarray(one + share * way + half * (along * ahead + across * beside))

    return spots
