"""The bar that a rod is made of: its mass, when it buckles, how far it stretches.

Not here: the rod between its arms (`connect.rod`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.model.columns import is_column, pick

if TYPE_CHECKING:
    from linkage.model import Rod
    from linkage.model.columns import Number

#: Densities: EN 1991-1-1, Table A.4 (from memory), rounded. [kg/m³]
DENSITY: Final = {"steel": 7850.0, "aluminium": 2700.0}
#: Diameter of a rod that gives none; common practice, no source. [m]
THICK: Final = 0.006
#: Young's moduli: EN 1993-1-1 and EN 1999-1-1, from memory. [Pa]
YOUNG: Final = {"steel": 210e9, "aluminium": 70e9}


def rod_mass(rod: Rod, length: Number) -> Number:
    """Return a rod's mass, given or estimated. [kg].

    Parameters
    ----------
    rod : Rod
        The rod.
    length : float or column
        Centre to centre. [m]
    """
    mass = DENSITY[rod.material] * _area(rod) * length
    return pick(rod.mass > 0, rod.mass, mass)


def _area(rod: Rod) -> Number:
    """Return the area of a rod's section, estimated where no diameter is given. [m²]."""
    outer = pick(rod.diameter > 0, rod.diameter, THICK)
    return math.pi / 4 * (outer**2 - rod.bore**2)


def euler_load(rod: Rod, length: Number) -> Number | None:
    """Return the push at which a pin-ended straight rod buckles, π²EI/L².

    Parameters
    ----------
    rod : Rod
        Diameter, bore and material.
    length : float or column
        Centre to centre. [m]

    Returns
    -------
    float, column or None
        None where the diameter is not given; in a column, nan. [N]
    """
    if not is_column(rod.diameter) and not rod.diameter:
        return None
    area_moment = math.pi / 64 * (rod.diameter**4 - rod.bore**4)
    limit = math.pi**2 * YOUNG[rod.material] * area_moment / length**2
    return pick(rod.diameter > 0, limit, math.nan)


def stretch(rod: Rod, length: Number) -> Number:
    """Return how much longer a rod gets under a pull of 1 N, L/(E A). [m/N]."""
    return length / (YOUNG[rod.material] * _area(rod))
