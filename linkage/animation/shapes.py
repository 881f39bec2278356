"""What stands and moves on a view of the page, as plain data.

Not here: where it all comes from (`geometry`), how it is written (`markup`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np
    from numpy.typing import NDArray

    from linkage.animation.room import WordPlace
    from linkage.drawing.cables import Wired
    from linkage.drawing.drums import Drum
    from linkage.drawing.loose import Loose
    from linkage.drawing.sprung import Sprung

    FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A line or a symbol.

    Parameters
    ----------
    name : str
        As in `drawing.pose.Pose`.
    path : str
        As in the ``d`` of an SVG path. [pt]
    stroke : str
        Colour of the line, as ``#rrggbb``; empty for none.
    fill : str
        Colour inside; empty for none.
    width : float
        Of the line. [pt]
    dash : str
        Lengths of dashes and gaps; empty for a whole line. [pt]
    order : float
        What has more lies over what has less.
    """

    name: str
    path: str
    stroke: str
    fill: str
    width: float
    dash: str
    order: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """Words that stand.

    Parameters
    ----------
    text : str
        May have several lines.
    x, y : float
        Middle of the box. [pt]
    size : float
        Of the letters. [pt]
    colour : str
        As ``#rrggbb``.
    near : tuple of 2 floats
        Of the box, the place nearest to what it names, at which it stays where
        the letters are smaller than the view is large. [pt]
    """

    text: str
    x: float
    y: float
    size: float
    colour: str
    near: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class ViewScene:
    """One view of a layout through its travel.

    Parameters
    ----------
    name : str
        For example ``seen from the right``.
    compass : str
        Two directions of the vehicle as arrows.
    size : tuple of 2 floats
        Width and height. [pt]
    left_out : tuple of str
        Shafts that the view has no room to name.
    scale : float
        Points on the page a millimetre of the layout. [pt/mm]
    origin : tuple of 2 floats
        Where the vehicle's datum falls on the page. [pt]
    shapes : tuple of Shape
        What stands.
    words : tuple of Word
        What stands.
    pins : mapping of str to ndarray, shape (n, 2)
        By hole, as the stops hold its arm: right and up on the view. [mm]
    parted : mapping of str to tuple of str and ndarray, shape (n, 2)
        By rod that would take its lever beyond a stop: the hole it leaves, and
        where its end is; nan where it is on its lever. [mm]
    arms : mapping of str to tuple
        By hole: foot on its shaft (right, up) [mm], fill and ink.
    bands : mapping of str to tuple
        By hole whose shaft is told by more than colour: ink, width [pt] and
        dashes [pt] of the line along its arm.
    joints : mapping of str to Shape
        By hole: the pin's symbol about the origin.
    rods : mapping of str to tuple of 2 str
        By rod: its two holes.
    loose : mapping of str to Loose
        By rod that loses motion: its slot, hook or cup.
    sprung : mapping of str to Sprung
        By rod with an over-travel spring: its tube, coil and collar.
    cables : mapping of str to Wired
        By cable: its wires and where it leaves them.
    drums : mapping of str to tuple of Drum and ndarray, shape (n,)
        By hole of a nipple on a drum, with how far that has turned. [rad]
    bars : mapping of str to ndarray, shape (n, 2)
        By pin of a slide: its foot on the bar. [mm]
    word_places : mapping of str to tuple of 3 floats
        By rod: share along it, and right and up from there, of its word; of a cable
        right and up from the datum. [mm]
    springs : mapping of str to tuple
        By spring along a line: its hole, and the anchor (right, up). [mm]
    pad : ndarray, shape (n, 4) or (n, 0)
        The two ends of the pad's face, right and up of each; none of a governor. [mm]
    """

    name: str
    compass: str
    size: tuple[float, float]
    left_out: tuple[str, ...]
    scale: float
    origin: tuple[float, float]
    shapes: tuple[Shape, ...]
    words: tuple[Word, ...]
    pins: Mapping[str, FloatArray]
    parted: Mapping[str, tuple[str, FloatArray]]
    arms: Mapping[str, tuple[tuple[float, float], str, str]]
    bands: Mapping[str, tuple[str, float, str]]
    joints: Mapping[str, Shape]
    rods: Mapping[str, tuple[str, str]]
    loose: Mapping[str, Loose]
    sprung: Mapping[str, Sprung]
    cables: Mapping[str, Wired]
    drums: Mapping[str, tuple[Drum, FloatArray]]
    bars: Mapping[str, FloatArray]
    word_places: Mapping[str, WordPlace]
    springs: Mapping[str, tuple[str, tuple[float, float]]]
    pad: FloatArray
