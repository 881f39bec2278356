"""What is drawn on a view, stroke by stroke and by the part it belongs to.

Not here: who has to keep off it (`board`, `labels`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from matplotlib.markers import MarkerStyle
from matplotlib.transforms import Affine2D

from linkage.drawing.canvas import point_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: Which part a drawn line belongs to, by the first word of its name.
OWNERS: Final = {
    "edge": "arm",
    "arm": "arm",
    "band": "arm",
    "pin": "arm",
    "joint": "rod",
    "slot": "rod",
    "wire": "rod",
    "sheath": "rod",
    "core": "rod",
    "collar": "rod",
    "anchor": "spring",
    "torsion": "spring",
    "guide": "shaft",
    "pivot": "shaft",
    "ground": "shaft",
    "bearing": "shaft",
}
#: What is no part: a leader may run over it where it has to, a label may not.
NO_PARTS: Final = frozenset(
    {
        "turn",
        "ghost",
        "leader",
        "dot",
        "included",
        "gap",
        "mark",
        "obstacle",
        "within",
        "near",
    }
)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Ink:
    """One stroke.

    Parameters
    ----------
    owner : str
        The part: ``arm SHAFT.ARM``, ``rod NAME``, ``spring NAME``, ``shaft NAME``,
        ``turn SHAFT``, ``stop NAME``, ``pad``; any other line by its own name.
    points : ndarray, shape (n, 2)
        Its corners on the picture. [pt]
    width : float
        [pt]
    """

    owner: str
    points: FloatArray
    width: float

    @property
    def part(self) -> bool:
        """Whether it is part of the linkage, or a sign that stands by itself."""
        return self.owner.partition(" ")[0] not in NO_PARTS


def owner_of(name: str) -> str:
    """Return the part that a drawn line belongs to.

    >>> owner_of("pin spindle.lever"), owner_of("edge of shaft cross shaft")
    ('arm spindle.lever', 'shaft cross shaft')
    """
    if name.startswith(("edge of shaft ", "band shaft ")):
        return name[name.index("shaft ") :]
    kind, space, rest = name.partition(" ")
    return OWNERS.get(kind, kind) + space + rest


def inked(ax: Axes) -> Iterator[Ink]:
    """Give every stroke of the lines and symbols of a view.

    Parameters
    ----------
    ax : Axes
        With its place and its limits settled.
    """
    point = point_of(ax)
    for line in ax.lines:
        owner = owner_of(str(line.get_gid() or "line"))
        places = line.get_transform().transform(np.asarray(line.get_xydata(), float))
        places = places[np.isfinite(places).all(axis=1)] / point
        if not len(places) or not line.get_visible():
            continue
        if line.get_linestyle() not in {"None", "none", " ", ""} and len(places) > 1:
            yield Ink(owner=owner, points=places, width=float(line.get_linewidth()))
        for outline in symbol(line):
            for place in places:
                width = float(line.get_markeredgewidth())
                yield Ink(owner=owner, points=place + outline, width=width)


def symbol(line: Line2D) -> list[FloatArray]:
    """Return the outlines of a line's marker about the origin, each shape (n, 2). [pt]."""
    if line.get_marker() in {"None", "none", " ", "", None}:
        return []
    style = MarkerStyle(line.get_marker(), "full")
    grow = style.get_transform() + Affine2D().scale(float(line.get_markersize()))
    path = style.get_path().transformed(grow)
    return [np.asarray(p) for p in path.to_polygons(closed_only=False)]
