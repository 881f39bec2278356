"""The derived formulas of free runs over NumPy arrays of any shapes that broadcast.

A turn is its cosine and sine; a position is a float or an array of shape (n,) or
(rows, n), a coefficient a float or a column of shape (rows, 1).

Not here: the formulas (`derived_runs`), what a cable makes of them (`connect.cable`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.formulas import derived_runs as derived

if TYPE_CHECKING:
    from linkage.model.columns import Number, Positions

_QUIET: Any = {"invalid": "ignore", "divide": "ignore"}


def arm_coefficients(*arm: Number) -> tuple[Number, Number, Number]:
    """Return K, P and Q of a bare arm, in the order of `derived_runs.ARM_NAMES`. [m²]."""
    k, p, q = derived.arm_coefficients(*arm)
    return k, p, q


def arm_run(
    turn: tuple[Positions, Positions], arm: tuple[Number, Number, Number]
) -> Positions:
    """Return the free run from the end of a sheath to an arm's hole. [m].

    Parameters
    ----------
    turn : pair of ndarray
        Cosine and sine of the arm's turn from rest.
    arm : tuple of 3 floats or columns
        K, P and Q.
    """
    with np.errstate(**_QUIET):
        return derived.arm_run(*turn, *arm)[0]


def arm_rates(
    turn: tuple[Positions, Positions], arm: tuple[Number, Number, Number]
) -> tuple[Positions, Positions]:
    """Return its first and second derivative by the turn, as for `arm_run`. [m]."""
    with np.errstate(**_QUIET):
        first, second = derived.arm_rates(*turn, *arm)
    return first, second


def arm_by_radius(
    turn: tuple[Positions, Positions],
    arm: tuple[Number, Number, Number],
    radius: Number,
) -> Positions:
    """Return its derivative by the arm's length, as for `arm_run`."""
    with np.errstate(**_QUIET):
        return derived.arm_by_radius(*turn, *arm, radius)[0]


def arm_turn(
    run: Positions, arm: tuple[Number, Number, Number], branch: Number
) -> tuple[Positions, Positions, Positions]:
    """Return cosine and sine of the turn at which an arm leaves so long a run.

    Parameters
    ----------
    run : float or ndarray
        From the end of the sheath to the hole. [m]
    arm : tuple of 3 floats or columns
        K, P and Q.
    branch : {1, -1} or column
        1 where a pull turns the arm anticlockwise.

    Returns
    -------
    cosine, sine : ndarray
        nan where there is no such turn.
    reach : ndarray
        Negative there, 0 where arm and wire are in line.
    """
    with np.errstate(**_QUIET):
        cosine, sine, reach = derived.arm_turn(run, *arm, branch)
    return cosine, sine, reach


def drum_at_rest(*arm_and_sense: Number) -> tuple[Number, Number, Number]:
    """Return straight part, direction of its foot, and its square in the drum's plane.

    In the order of `derived_runs.ARM_NAMES`, then the sense of the winding, 1
    anticlockwise. Direction from the arm's at rest, anticlockwise. [m, rad, m²]
    """
    with np.errstate(**_QUIET):
        straight, leaves, clear = derived.drum_at_rest(*arm_and_sense)
    return straight, leaves, clear


def drum_run(straight: Number, wound: Positions, radius: Number) -> Positions:
    """Return the run to a drum, straight part and arc. [m]."""
    return derived.drum_run(straight, wound, radius)[0]


def drum_wound(straight: Number, run: Positions, radius: Number) -> Positions:
    """Return the angle on which the wire lies where the run is so long. [rad]."""
    return derived.drum_wound(straight, run, radius)[0]


def drum_by_radius(
    straight: Number, wound: Positions, radius: Number, flat: Number
) -> Positions:
    """Return the derivative of the run by the drum's radius.

    ``flat`` is the straight part in the drum's plane. [m]
    """
    with np.errstate(**_QUIET):
        return derived.drum_by_radius(straight, wound, radius, flat)[0]
