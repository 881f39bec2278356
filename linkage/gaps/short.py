"""Where gaps of one layout are shorter than is asked, as points to be marked.

Not here: the verdict (`rules.gaps`), how it is drawn (`drawing.obstacles`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.gaps.among import mark_between
from linkage.gaps.found import asked_of, gaps_of
from linkage.gaps.nearest import mark_of
from linkage.model.refs import Ref
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.gaps.nearest import Mark
    from linkage.motion import Motion

#: An obstacle nearer to the linkage than this belongs on a picture of it. [m]
BESIDE: Final = 0.100


@dataclass(frozen=True, slots=True, eq=False)
class Near:
    """Where two parts come nearest to each other.

    Parameters
    ----------
    part, other : Ref
        The part of the linkage, and an obstacle or another part.
    mark : Mark
        The two points, and the gap.
    at : int
        Position in the motion.
    """

    part: Ref
    other: Ref
    mark: Mark
    at: int


def short_gaps(motion: Motion) -> list[Near]:
    """Return where parts of a layout come nearer than is asked, engine at rest.

    Of a layout without obstacles none: its own parts are not judged then.

    Parameters
    ----------
    motion : Motion
        Of one layout.

    Returns
    -------
    list of Near
        One for each pair.
    """
    gaps = gaps_of(motion)
    layout = gaps.layout
    if not layout.obstacles:
        return []
    out = []
    for name, found in gaps.to.items():
        obstacle = layout.obstacles[name]
        for part, gap in zip(gaps.parts, found, strict=True):
            if not np.nanmin(gap) >= asked_of(layout, part, obstacle).gap:
                i = int(np.nanargmin(gap))
                ref = Ref("obstacle", name)
                out.append(Near(part.ref, ref, mark_of(part, obstacle, i), i))
    look = float(layout.limits.gap_own_look)
    for pair, gap in gaps.among(look):
        if not np.nanmin(gap) >= look:
            one, two = gaps.both(pair)
            i = int(np.nanargmin(gap))
            out.append(Near(one.ref, two.ref, mark_between(one, two, i), i))
    return out


def nearest_gap(motion: Motion) -> Near | None:
    """Return where a layout comes nearest to an obstacle, engine at rest.

    Parameters
    ----------
    motion : Motion
        Of one layout.

    Returns
    -------
    Near or None
        None of a layout without obstacles.
    """
    each = list(_nearest(motion))
    return min(each, key=lambda near: float(near.mark.gap)) if each else None


def _nearest(motion: Motion) -> Iterator[Near]:
    """Yield where each obstacle is come nearest to."""
    gaps = gaps_of(motion)
    for name, found in gaps.to.items():
        k = int(np.nanmin(found, axis=1).argmin())
        i = int(np.nanargmin(found[k]))
        mark = mark_of(gaps.parts[k], gaps.layout.obstacles[name], i)
        yield Near(gaps.parts[k].ref, Ref("obstacle", name), mark, i)


def nearest_points(motion: Motion) -> Iterator[tuple[str, np.ndarray]]:
    """Yield of each obstacle beside a layout its point that any part comes nearest to.

    Parameters
    ----------
    motion : Motion
        Of one layout.

    Yields
    ------
    name : str
        Of the obstacle; those farther away than `BESIDE` are left out.
    point : ndarray, shape (3,)
        [m]
    """
    for near in _nearest(motion):
        if near.mark.gap < BESIDE:
            yield near.other.name, near.mark.there
