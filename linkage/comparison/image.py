"""Where a place of the old layout lies in the mirror image that the new one is of it.

The mirror stands half-way between old pivots and new ones: in the middle of all of them,
so that one that was set elsewhere does not move it.

Not here: whether it is a mirror image (`comparison.turned`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.comparison.turned import reflected
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model import Layout, Vector

#: Off its image by less, a place is where the mirror shows it. [m]
SAME_PLACE: Final = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Image:
    """A mirror image, or what it is of where there is none.

    Parameters
    ----------
    signs : ndarray, shape (3,)
        -1 along axes on which it goes to the other side.
    middle : ndarray, shape (3,)
        A point of every mirror. [m]
    """

    signs: np.ndarray
    middle: np.ndarray

    def of(self, point: Vector) -> tuple[float, float, float]:
        """Return the image of a point. [m]."""
        there = self.middle + self.signs * (np.array(point, float) - self.middle)
        x, y, z = np.where(self.signs < 0, there, np.array(point, float)).tolist()
        return x, y, z

    def moved(self, one: Vector, two: Vector) -> bool:
        """Tell whether a point is elsewhere than the image of another."""
        apart = np.array(self.of(one)) - np.array(two, float)
        return bool(np.sqrt(apart @ apart) > SAME_PLACE)


def image(old: Layout, new: Layout, mirror: str) -> Image:
    """Return the image of the old layout that the new one is, by its pivots.

    Parameters
    ----------
    old, new : Layout
        Parts that are one by one name.
    mirror : str
        A key of `senses.MIRRORS`.
    """
    halves = [
        (np.array(old.shafts[name].pivot, float) + np.array(shaft.pivot, float)) / 2
        for name, shaft in new.shafts.items()
        if name in old.shafts
    ]
    middle = np.median(halves, axis=0) if halves else np.zeros(3)
    return Image(signs=reflected(np.ones(3), mirror), middle=middle)
