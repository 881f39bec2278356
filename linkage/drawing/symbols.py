"""Symbols of kinematic diagrams after ISO 3952-1, as marker paths, and springs.

Markers keep their size on paper whatever the scale of the drawing.

Not here: where they stand (`pose`, `layout`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from matplotlib.path import Path
from matplotlib.transforms import Affine2D

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]
    Point = tuple[float, float]

#: Size of a fixed pivot with its hatched ground. [pt]
GROUND_SIZE: Final = 26.0
#: Size of a bearing seen from the side. [pt]
BEARING_SIZE: Final = 16.0
#: Size of a turn arrow. [pt]
TURN_SIZE: Final = 40.0
#: Size of a stop. [pt]
STOP_SIZE: Final = 14.0


def _strokes(lines: Sequence[Sequence[Point]]) -> Path:
    """Return open lines as one path."""
    vertices: list[Point] = []
    codes: list[int] = []
    for line in lines:
        vertices += line
        codes += [int(Path.MOVETO)] + [int(Path.LINETO)] * (len(line) - 1)
    return Path(np.array(vertices, dtype=float), codes)


def _hatched(x0: float, x1: float, y: float, depth: float) -> list[list[Point]]:
    """Return a ground line with hatching under it."""
    feet = np.linspace(x0 + depth, x1, 5)
    lines: list[list[Point]] = [[(x0, y), (x1, y)]]
    lines += [[(float(x), y), (float(x) - depth, y - depth)] for x in feet]
    return lines


def ground() -> Path:
    """Return the two legs and the hatched ground of a fixed pivot."""
    return _strokes(
        [[(-0.6, -1.0), (0.0, 0.0), (0.6, -1.0)], *_hatched(-1, 1, -1.0, 0.4)]
    )


def bearing(angle: float) -> Path:
    """Return a fixed bearing of a shaft seen from its side.

    Parameters
    ----------
    angle : float
        Of the shaft's centre line on the picture. [rad]
    """
    lines = [[(-0.7, 0.42), (0.7, 0.42)], *_hatched(-0.7, 0.7, -0.42, 0.35)]
    return _strokes(lines).transformed(Affine2D().rotate(angle))


def stop(angle: float) -> Path:
    """Return a fixed stop, its face through the origin.

    Parameters
    ----------
    angle : float
        Direction out of the face, toward what is stopped. [rad]
    """
    return _strokes(_hatched(-0.8, 0.8, 0.0, 0.45)).transformed(
        Affine2D().rotate(angle - np.pi / 2)
    )


def collar(angle: float, *, hatched: bool) -> Path:
    """Return the end of a sheath in what holds it, its mouth at the origin.

    Parameters
    ----------
    angle : float
        Direction out of the sheath. [rad]
    hatched : bool
        Whether it is held on what stands still.
    """
    lines: list[list[Point]] = [
        [(-0.75, -0.45), (0.0, -0.45), (0.0, 0.45), (-0.75, 0.45), (-0.75, -0.45)]
    ]
    if hatched:
        lines += _hatched(-1.0, 0.25, -0.45, 0.3)
    return _strokes(lines).transformed(Affine2D().rotate(angle))


def ball_joint() -> Path:
    """Return a ball in its socket."""
    around = np.radians(np.linspace(0, 360, 25))
    cup = np.radians(np.linspace(200, 340, 13))
    ball = [(float(0.55 * np.cos(t)), float(0.55 * np.sin(t))) for t in around]
    socket = [(float(np.cos(t)), float(np.sin(t))) for t in cup]
    return _strokes([ball, socket])


def turn_sweep(sense: int) -> FloatArray:
    """Return angles along a turn arrow, from its tail, shape (40,). [rad]."""
    return np.asarray(
        np.radians(np.linspace(20, 290, 40)) * sense + (0 if sense > 0 else np.pi)
    )


def turn_arrow(sense: int) -> Path:
    """Return an arrow about the origin.

    Parameters
    ----------
    sense : {1, -1}
        1 anticlockwise on the picture, -1 clockwise.
    """
    sweep = turn_sweep(sense)
    arc = [(float(np.cos(t)), float(np.sin(t))) for t in sweep]
    tip = np.array(arc[-1])
    along = tip - np.array(arc[-2])
    along /= np.hypot(*along)
    across = np.array([-along[1], along[0]])
    barbs = [tip - 0.34 * along + side * 0.2 * across for side in (1, -1)]
    head: list[Point] = [tuple(barbs[0]), tuple(tip), tuple(barbs[1])]
    return _strokes([arc, head])


def turn_radius(sense: int) -> float:
    """Return the radius at which the arc of a turn arrow is printed. [pt]."""
    return TURN_SIZE / 2 / float(np.abs(turn_arrow(sense).vertices).max())


def spiral(turns: float = 2.2) -> Path:
    """Return a torsion spring about the origin."""
    t = np.linspace(0, 2 * np.pi * turns, 60)
    r = np.linspace(0.45, 1.0, 60)
    line = [
        (float(x), float(y)) for x, y in zip(r * np.cos(t), r * np.sin(t), strict=True)
    ]
    return _strokes([line])


#: Zigzags of a spring; always as many, so that the line can be moved.
COILS: Final = 8
_STEPS = np.concatenate(
    [[0, 0.14], np.linspace(0.14, 0.86, 2 * COILS + 2)[1:-1], [0.86, 1]]
)
_SIDES = np.concatenate([[0, 0], np.tile([1, -1], COILS), [0, 0]])


def zigzag(start: FloatArray, end: FloatArray, width: float) -> FloatArray:
    """Return a spring's line on the picture.

    Parameters
    ----------
    start, end : ndarray, shape (2,)
        Hook and anchor.
    width : float
        From side to side; less where the spring is seen nearly end on.

    Returns
    -------
    ndarray, shape (20, 2)
        In the units of the ends.
    """
    along = end - start
    length = float(np.hypot(*along)) or 1.0
    across = np.array([-along[1], along[0]]) / length
    width = min(width, length / 4)
    return np.asarray(
        start + _STEPS[:, None] * along + (_SIDES * width / 2)[:, None] * across
    )
