"""How likely a sum of squares is, by the chi-squared distribution.

With mpmath's incomplete gamma functions; the definition is that of M. Abramowitz, I. A.
Stegun, Handbook of Mathematical Functions, 26.4 (from memory).

Not here: the sums (`proof.fit`).
"""

from __future__ import annotations

from functools import cache


def beyond(misfit: float, freedom: int) -> float:
    """Return the share of vehicles of which a sum of squares is larger.

    Parameters
    ----------
    misfit : float
        Sum of the squares of so many independent normal numbers.
    freedom : int
        How many; of none nothing can be told, and 1 is returned.

    >>> round(beyond(3.841, 1), 4), round(beyond(11.07, 5), 4)
    (0.05, 0.05)
    """
    import mpmath  # type: ignore[import-untyped]  # noqa: PLC0415 - a tenth of a second

    if freedom < 1:
        return 1.0
    if misfit == float("inf"):
        return 0.0
    return float(mpmath.gammainc(freedom / 2, misfit / 2, regularized=True))


@cache
def within(share: float, freedom: int) -> float:
    """Return the sum of squares below which a share of vehicles lies.

    >>> round(within(0.95, 1), 3), round(within(0.95, 10), 3)
    (3.841, 18.307)
    """
    low, high = 0.0, 10.0 + 10.0 * freedom
    while beyond(high, freedom) > 1 - share:
        high *= 2
    for _ in range(60):
        middle = (low + high) / 2
        if beyond(middle, freedom) > 1 - share:
            low = middle
        else:
            high = middle
    return (low + high) / 2
