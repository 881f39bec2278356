"""The wire of a cable: its mass, how far it stretches, what it can carry.

Not here: the wire between its arms (`connect.cable`), what its sheath takes
(`forces.sheath`).

References
----------
.. [1] EN 1993-1-11, Design of structures with tension components: nominal metallic
   area factor and modulus of a spiral strand, from memory.
.. [2] EN 12385-2, Steel wire ropes, minimum breaking force K d² R of a strand 1x19, its
   factor from memory.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.connect.bar import DENSITY

if TYPE_CHECKING:
    from linkage.model import Cable
    from linkage.model.columns import Number

#: Metal of a spiral strand over the circle round it: EN 1993-1-11, from memory.
FILL: Final = 0.76
#: Its modulus: EN 1993-1-11, from memory. [Pa]
YOUNG: Final = 150e9
#: Breaking force factor of a strand 1x19: EN 12385-2, from memory.
BREAKING: Final = 0.525
#: Strength of its wires, the lowest grade in common use: EN 12385-2, from memory. [Pa]
GRADE: Final = 1570e6


def _metal(cable: Cable) -> Number:
    return FILL * math.pi / 4 * cable.thick**2


def wire_mass(cable: Cable, length: Number) -> Number:
    """Return the mass of a wire of some length. [kg]."""
    return DENSITY["steel"] * _metal(cable) * length


def wire_stretch(cable: Cable, length: Number) -> Number:
    """Return how much longer a wire gets under a pull of 1 N, L/(E A). [m/N]."""
    return length / (YOUNG * _metal(cable))


def breaking_load(cable: Cable) -> Number:
    """Return the pull at which a new wire breaks at the least, K d² R. [N]."""
    return BREAKING * cable.thick**2 * GRADE
