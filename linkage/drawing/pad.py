"""The pedal's pad as it is drawn: a face across its path.

Not here: how it moves (`track`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Hole
from linkage.motion import frame

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Half the height of the pad as drawn, and how far its face stands back. [m]
PAD_HALF: Final = 0.022
PAD_BACK: Final = 0.006
#: The most of the pad's own arm that its half height takes.
PAD_SHARE: Final = 0.25


def pad_ends(motion: Motion) -> tuple[FloatArray, FloatArray]:
    """Return the two ends of the pad's face, which looks back along its path.

    Returns
    -------
    tuple of 2 ndarray, shape (n, 3)
        In vehicle axes. [m]
    """
    layout = motion.assembly.layout
    pedal = layout.foot or layout.pedal  # a hand lever has no pad
    shaft = layout.shafts[pedal.shaft]
    radius = shaft.arms[pedal.pad].length
    pin = frame(motion).pin(Hole(shaft=pedal.shaft, arm=pedal.pad)).T
    radial = (pin - np.array(shaft.centre(pedal.pad))) / radius
    ahead = pedal.presses * np.cross(np.array(shaft.axis.n, float), radial)
    size = min(1.0, PAD_SHARE * float(radius) / PAD_HALF)
    face = pin - size * PAD_BACK * ahead
    half = size * PAD_HALF * radial
    return face - half, face + half
