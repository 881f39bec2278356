r"""What a cam looks like that holds its roller where it is wanted, derived in symbols.

A roller's pin goes round its shaft, and that shaft stands beside the cam's. With the cam
turned by q₁ and the roller's arm by q₂, the pin is in the cam, x along its arm and y ahead,

.. math:: x + i y = e^{-i q_1} (a + b \cos q_2 + c \sin q_2)

Both turns go with one number, of which the wanted curve makes functions. The way of the pin
in the cam then has a normal and a bend; the cam is what lies a roller's radius inwards of
it.

Not here: their text as a module (`formulas.write`), numbers (`formulas.cam_kernels`),
which curve is wanted (`search.cam_way`).
"""

from __future__ import annotations

from functools import cache
from typing import Final

import sympy as sp

from linkage.formulas.derivation import C1, C2, S1, S2

#: Away, along and ahead of `connect.facing.Seen`, as x and y.
SEEN: Final = sp.symbols("ax ay bx by cx cy", real=True)
#: First and second rates of both turns by that number.
FIRST: Final = sp.symbols("q1_1 q2_1", real=True)
SECOND: Final = sp.symbols("q1_2 q2_2", real=True)


@cache
def place() -> sp.Matrix:
    """Return the pin in the cam. [m]."""
    ax, ay, bx, by, cx, cy = SEEN
    x, y = ax + bx * C2 + cx * S2, ay + by * C2 + cy * S2
    return sp.Matrix([C1 * x + S1 * y, C1 * y - S1 * x])


def _by_driver(expr: sp.Matrix) -> sp.Matrix:
    return sp.diff(expr, C1) * -S1 + sp.diff(expr, S1) * C1


def _by_driven(expr: sp.Matrix) -> sp.Matrix:
    return sp.diff(expr, C2) * -S2 + sp.diff(expr, S2) * C2


def along(expr: sp.Matrix) -> sp.Matrix:
    """Return the derivative by the number that both turns go with."""
    out = _by_driver(expr) * FIRST[0] + _by_driven(expr) * FIRST[1]
    for first, second in zip(FIRST, SECOND, strict=True):
        out += sp.diff(expr, first) * second
    return out


@cache
def way() -> dict[str, sp.Expr]:
    """Return the way of the pin in the cam.

    Returns
    -------
    dict
        ``x``, ``y``: the pin [m]; ``out_x``, ``out_y``: its normal, on the right of the
        way; ``bend``: how the way bends, positive to its left [1/m]; ``push``: cosine
        between that normal and the pin's own motion as the driven shaft turns.
    """
    first = along(place())
    second = along(first)
    speed = sp.sqrt(first.dot(first))
    normal = sp.Matrix([first[1], -first[0]]) / speed
    moves = _by_driven(place()) * FIRST[1]
    return {
        "x": place()[0],
        "y": place()[1],
        "out_x": normal[0],
        "out_y": normal[1],
        "bend": (first[0] * second[1] - first[1] * second[0]) / speed**3,
        "push": normal.dot(moves) / sp.sqrt(moves.dot(moves)),
    }
