"""From the table of an obstacle to the obstacle.

Not here: the other tables (`build`), how near it may be (`rules.gaps`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, cast

from linkage.config.obstacle_table import MOST_POINTS
from linkage.config.rods import given, point_of, si
from linkage.errors import LayoutError
from linkage.model import NAMED, Obstacle
from linkage.model.axes import add, dot
from linkage.quantities import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.config.obstacle_table import ObstacleTable
    from linkage.model.obstacle import Nature, Shape

#: Widest pipe, sphere and hole: no part of a vehicle beside a linkage is wider; common
#: practice, no source. [m]
WIDEST: Final = 2.0


def obstacle_of(name: str, table: ObstacleTable) -> Obstacle:
    """Return the obstacle of a table.

    Parameters
    ----------
    name : str
        Of the obstacle.
    table : ObstacleTable
        Each value read.

    Raises
    ------
    LayoutError
        If its points do not make its shape; `key` says where.
    """
    key = ("obstacles", name)
    for word, some in (("points", table.points), ("holes", table.holes)):
        if some is not None and len(some) > MOST_POINTS:
            msg = f"obstacle `{name}` has {len(some)} {word}, more than {MOST_POINTS}"
            hint = "give what is near the linkage; one point at each bend will do"
            raise LayoutError(msg, hint=hint, key=(*key, word))
    wide = [] if table.diameter is None else [(table.diameter, "is", "diameter")]
    wide += [(hole[3], "has a hole", "holes") for hole in table.holes or ()]
    for size, what, word in wide:
        if size.value > WIDEST:
            msg = f"obstacle `{name}` {what} {say(size.value, 'length')} wide"
            hint = "the diameter is from side to side; check its unit"
            raise LayoutError(msg, hint=hint, key=(*key, word))
    if table.gap is not None and table.gap.value > WIDEST:
        msg = f"a gap of {say(table.gap.value, 'length')} to obstacle `{name}`"
        hint = "5 mm is usual, 50 mm to an exhaust; check its unit"
        raise LayoutError(msg, hint=hint, key=(*key, "gap"))
    obstacle = Obstacle(
        name=name,
        shape=cast("Shape", table.shape),
        kind=cast("Nature", table.kind),
        on="engine" if table.on == "engine" else "body",
        points=tuple(point_of(point) for point in _points(table)),
        diameter=si(table.diameter),
        axis=table.axis or NAMED["upright"],
        holes=tuple((point_of(hole[:3]), hole[3].value) for hole in table.holes or ()),
        gap=given(table, "gap"),
    )
    _in_plane(obstacle)
    return obstacle


def _points(table: ObstacleTable) -> Sequence:  # type: ignore[type-arg]
    if table.points is not None:
        return table.points
    if table.corners is not None:
        return table.corners
    return [table.centre or table.point]


def _in_plane(obstacle: Obstacle) -> None:
    """Refuse holes that are not in their plane, or lie in one another."""
    n, foot = obstacle.axis.n, obstacle.points[0]
    key = (*obstacle.key, "holes")
    for i, (middle, diameter) in enumerate(obstacle.holes):
        off = abs(dot(add(middle, foot, -1), n))
        if off > diameter / 2:
            msg = f"a hole of plane `{obstacle.name}` is {say(off, 'length')} off the plane"
            hint = "measure `point` and the middles of `holes` from the same datum"
            raise LayoutError(msg, hint=hint, key=key)
        for other, wide in obstacle.holes[:i]:
            if math.dist(middle, other) < (diameter + wide) / 2:
                msg = f"two holes of plane `{obstacle.name}` lie in one another"
                hint = "give one hole, as wide as both leave free"
                raise LayoutError(msg, hint=hint, key=key)
