"""The derived formulas of rods on slides over NumPy arrays of shapes that broadcast.

The place of a shaft is the cosine and sine of its turn, that of a slide its way in m,
each a tuple. A position is a float or an array of shape (n,) or (rows, n), a coefficient
a float or a column of shape (rows, 1).

Not here: the formulas (`derived_slides`), a rod that ends on a slide (`connect.slid`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.formulas import derived_slide_partials, derived_slides, kernels

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.model.columns import Number, Positions

_QUIET: Any = {"invalid": "ignore", "divide": "ignore"}


def slide_coefficients(kind: str, *parameters: Number) -> tuple[Number, ...]:
    """Return the nine reduced coefficients of a rod. [m²].

    Parameters
    ----------
    kind : str
        Key of `slide_derivation.KINDS`.
    *parameters : float or column
        In the order of `formulas.PARAMETER_NAMES`, in SI.
    """
    found: tuple[Number, ...] = getattr(derived_slides, f"coefficients_{kind}")(
        *parameters
    )
    return found


def close_slide(
    kind: str,
    one: tuple[Positions, ...],
    reduced: Sequence[Number],
    length: Number,
    branch: Number,
) -> tuple[tuple[Positions, ...], Positions]:
    """Return the driven place at every place of the driver, and the reach.

    Parameters
    ----------
    kind : str
        Key of `slide_derivation.KINDS`.
    one : tuple of ndarray
        Place of the driver.
    reduced : sequence of 9 floats or columns
        The coefficients.
    length : float or column
        Of the rod. [m]
    branch : {1, -1} or column
        1 where a pull moves the driven part along, or anticlockwise round, its axis.

    Returns
    -------
    two : tuple of ndarray
        Place of the driven part; nan where the rod does not reach.
    reach : ndarray
        Negative there, 0 at the dead centre.
    """
    if kind == "slide_turn":
        # Its a, b and k are affine in the way and its square, as else in C1 and S1.
        (way,) = one
        cosine, sine, reach = kernels.close(way, way * way, reduced, branch)
        return (cosine, sine), reach
    with np.errstate(**_QUIET):
        close = getattr(derived_slides, f"close_{kind}")
        way, reach = close(*one, *reduced, length, branch)
    return (way,), reach


def slide_moments(
    kind: str,
    one: tuple[Positions, ...],
    two: tuple[Positions, ...],
    reduced: Sequence[Number],
) -> tuple[Positions, Positions]:
    """Return the loop's derivatives by the driver's and the driven place.

    Each is zero at a dead centre of its own. [m²/rad, or m of a slide]
    """
    found = getattr(derived_slides, f"moments_{kind}")(*one, *two, *reduced)
    return found[0], found[1]


def slide_miss(
    kind: str,
    one: tuple[Positions, ...],
    two: tuple[Positions, ...],
    reduced: Sequence[Number],
) -> Positions:
    """Return the square of how far apart both pins are, less that of the rod. [m²]."""
    found: Positions = getattr(derived_slides, f"miss_{kind}")(*one, *two, *reduced)[0]
    return found


def slide_rates(
    kind: str,
    one: tuple[Positions, ...],
    two: tuple[Positions, ...],
    reduced: Sequence[Number],
) -> tuple[Positions, Positions]:
    """Return the driven place by the driver's, and its change."""
    with np.errstate(**_QUIET):
        first, second = getattr(derived_slides, f"rates_{kind}")(*one, *two, *reduced)
    return first, second


def slide_partials(
    kind: str,
    one: tuple[Positions, ...],
    two: tuple[Positions, ...],
    parameters: Sequence[Number],
) -> tuple[Positions, ...]:
    """Return the change of the driven place by each of `formulas.MEASURED_NAMES`."""
    with np.errstate(**_QUIET):
        partials = getattr(derived_slide_partials, f"partials_{kind}")
        found: tuple[Positions, ...] = partials(*one, *two, *parameters)
    return found
