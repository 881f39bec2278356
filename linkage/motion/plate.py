"""How far a throttle plate uncovers its bore.

Not here: how far the linkage turns it (`motion.curve`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import LayoutError
from linkage.model.columns import every, some

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from linkage.model import Throttle
    from linkage.model.columns import Number

    FloatArray = NDArray[np.float64]


#: Shares of the bore nearer than this are told as the same.
SAME_AREA: Final = 0.005


def area_of(throttle: Throttle, angle: ArrayLike) -> FloatArray | None:
    """Return the open area of a throttle's plate, as a share of its bore.

    Parameters
    ----------
    throttle : Throttle
        With its bore, if that is known.
    angle : array_like, shape (n,) or (rows, n)
        From the idle stop, positive opening. [rad]

    Returns
    -------
    ndarray of the same shape, or None
        None where no bore is given, or the lever turns no plate.
    """
    if not some(throttle.bore) or throttle.kind != "plate":
        return None
    plate = throttle.closed_angle + np.asarray(angle, dtype=float)
    return open_area(plate, throttle.closed_angle, throttle.spindle / throttle.bore)


def most_area(throttle: Throttle) -> Number | None:
    """Return the greatest open area, with the plate edge-on behind its spindle.

    Parameters
    ----------
    throttle : Throttle
        With its bore, if that is known.

    Returns
    -------
    float or column, optional
        Share of the bore; what is left of it the spindle covers. None where no bore
        is given, or the lever turns no plate.
    """
    return area_of(throttle, np.pi / 2 - throttle.closed_angle)


def rest_of_area(area: FloatArray, most: float, share: float) -> str:
    """Return what takes the rest of the bore where the open area ends, in words.

    Parameters
    ----------
    area : ndarray, shape (n,)
        Open area through the travel. [1]
    most : float
        The same with the plate edge-on, from `most_area`. [1]
    share : float
        Of the swing that is reached. [1]

    Returns
    -------
    str
        Nothing where the bore is free.

    Examples
    --------
    >>> rest_of_area(np.array([0, 0.5, 0.72]), 0.72, 1.0)
    'the spindle takes the rest of the bore'
    """
    end = float(area[-1])
    if end >= 1 - SAME_AREA:
        return ""
    if end >= most - SAME_AREA:
        return "the spindle takes the rest of the bore"
    if float(np.nanmax(area)) >= most - SAME_AREA:
        return "the plate has turned past edge-on"
    if share < 1 - SAME_AREA:
        return "the plate is not fully open"
    return "the plate is not edge-on, plate and spindle take the rest"


def open_area(
    plate_angle: ArrayLike, closed_angle: Number, spindle_ratio: Number = 0.0
) -> FloatArray:
    r"""Return the open area seen along the bore, as a share of the bore area.

    Parameters
    ----------
    plate_angle : array_like, shape (n,) or (rows, n)
        Angle of the plate from the plane square to the bore. [rad]
    closed_angle : float or column
        The same angle with the plate shut, 0 to less than π/2. [rad]
    spindle_ratio : float or column
        Spindle diameter over bore diameter, 0 to less than 1.

    Returns
    -------
    ndarray of the same shape
        0 shut; never quite 1, as the spindle stays in the way.

    Raises
    ------
    LayoutError
        If the closed angle or the spindle's share is out of its range.

    Notes
    -----
    Take the bore's radius as 1, x along the spindle. The plate that fills the
    bore at ψ0 is an ellipse; seen along the bore at ψ its half-height over x
    is k h(x), with h = √(1 - x²) that of the bore and k = cos ψ / cos ψ0. The
    spindle covers the half-height a. So a quarter of the open area is

    .. math:: \int_0^{x_1} (1 - k) h\,dx + \int_{x_1}^{x_2} (h - a)\,dx

    where the plate's edge meets the spindle's at x1 = √(1 - a²/k²) and the
    spindle's meets the bore at x2 = √(1 - a²). With
    ∫ h dx = (x h + asin x)/2 the share of the bore's area π is, for k > a,

    .. math:: 1 - k + \frac{2}{\pi}\left[k \arcsin\frac{a}{k}
              + a\sqrt{1 - a^2/k^2} - \arcsin a - a\sqrt{1 - a^2}\right]

    and from ψ = acos(a cos ψ0) on, where the plate hides behind its spindle,
    the same with k = a. Valid for: a thin plate in a round bore, past parallel
    too. Not valid for: the flow itself, which depends on more than area.

    References
    ----------
    .. [1] J. B. Heywood, Internal Combustion Engine Fundamentals, 1988,
       section 7.6 (from memory; derived anew above).

    Examples
    --------
    >>> import math
    >>> open_area([math.radians(10), math.radians(60)], math.radians(10)).round(4)
    array([0.    , 0.4923])
    """
    if not every((closed_angle >= 0) & (closed_angle < np.pi / 2)):
        msg = "the closed plate angle must be from 0 to less than 90°"
        raise LayoutError(
            msg,
            hint="measure it from the plane square to the bore, usually 0 to 15 deg",
        )
    if not every((spindle_ratio >= 0) & (spindle_ratio < 1)):
        msg = "the spindle must be thinner than the bore"
        raise LayoutError(msg, hint="give both as diameters")
    a = spindle_ratio
    angle = np.asarray(plate_angle, dtype=float)
    # Nearer to square than shut is shut; past parallel it shuts again.
    k = np.clip(np.abs(np.cos(angle)) / np.cos(closed_angle), a, 1.0)
    covered = np.divide(a, k, out=np.ones_like(k), where=k > 0)
    by_spindle = (
        k * np.arcsin(covered)
        + a * np.sqrt(1 - covered**2)
        - np.arcsin(a)
        - a * np.sqrt(1 - a * a)
    )
    return np.asarray(np.maximum(1 - k + 2 / np.pi * by_spindle, 0.0))
