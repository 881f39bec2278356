"""How near the parts of a linkage come to each other, where they are not joined.

Boxes round what each part sweeps leave most pairs out: only what may come near is looked
at closely.

Not here: obstacles (`gaps.nearest`), what may be so near (`rules.own_gaps`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect.line import dot
from linkage.gaps.distance import Bar, to_bar
from linkage.gaps.nearest import AT_ONCE, Mark, Stacked, on_surfaces, stacked
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from linkage.gaps.parts import Part
    from linkage.model import Hole, Layout
    from linkage.model.columns import Positions

    FloatArray = NDArray[np.float64]

#: Of two lines that are joined to one shaft, so much from there on lies beside each
#: other on studs, and is left out; common practice, no source. [m]
BESIDE: Final = 0.020
#: The most of a line that is left out so, at either end.
MOST_LEFT_OUT: Final = 0.4
#: Arms of one shaft nearer along it than this are in one plane: a stud holds what is
#: joined to one of them beside the others. [m]
ONE_PLANE: Final = 0.001
#: What is one with its shaft.
SOLID: Final = frozenset({"arm", "drum", "pin", "shaft"})


@dataclass(frozen=True, slots=True, eq=False)
class Pair:
    """Two parts that may rub on each other.

    Parameters
    ----------
    one, two : int
        Their places among the parts.
    least : ndarray, shape (rows,)
        Gap that the boxes round them leave at least. [m]
    """

    one: int
    two: int
    least: FloatArray

    @property
    def places(self) -> tuple[int, int]:
        """Their two places."""
        return self.one, self.two


def may_rub(one: Part, two: Part, layout: Layout) -> bool:
    """Tell whether two parts of a linkage are not joined to each other.

    Parameters
    ----------
    one, two : Part
        Of one layout, or of many as rows.
    layout : Layout
        Of which they are.

    Returns
    -------
    bool
        False of parts that are one with a shaft, of a line and what is in one plane with
        the lever that it is joined to, of lines on one hole, and of one cable.
    """
    if one.ref == two.ref:
        return False
    shared = one.shafts & two.shafts
    if not shared:
        return True
    solid = [part for part in (one, two) if part.what in SOLID]
    if len(solid) == 2 or any(part.what == "shaft" for part in solid):
        return False
    if not solid:
        return not {*one.holes} & {*two.holes}
    line = two if one is solid[0] else one
    joined = (hole for hole in line.holes if hole.shaft in shared)
    return not any(_in_plane(layout, solid[0].at[0], hole) for hole in joined)


def _in_plane(layout: Layout, one: Hole, two: Hole) -> bool:
    """Tell whether two arms of a shaft are in one plane, in any row."""
    arms = layout.shafts[one.shaft].arms
    if layout.shafts[one.shaft].slides:  # its pins stand out of one bar
        return True
    apart: Any = arms[one.arm].offset - arms[two.arm].offset
    return bool(np.any(np.abs(apart) < ONE_PLANE))


def near_pairs(parts: Sequence[Part], layout: Layout) -> list[Pair]:
    """Return all pairs that may rub, those whose boxes are nearest in any row first.

    Parameters
    ----------
    parts : sequence of Part
        Of one motion.
    layout : Layout
        Of which they are.
    """
    pairs = [
        (i, k)
        for i, one in enumerate(parts)
        for k, two in enumerate(parts[:i])
        if may_rub(one, two, layout)
    ]
    if not pairs:
        return []
    low, high = _boxes(parts)
    i, k = np.array(pairs).T
    gap = np.maximum(low[i] - high[k], low[k] - high[i])
    apart = np.sqrt((np.maximum(gap, 0.0) ** 2).sum(axis=1))
    order = np.argsort(apart.min(axis=1), kind="stable")
    return [Pair(int(i[n]), int(k[n]), apart[n]) for n in order]


def _boxes(parts: Sequence[Part]) -> tuple[FloatArray, FloatArray]:
    """Return corners of a box round what each part sweeps, shape (parts, 3, rows). [m]."""
    low, high = [], []
    for part in parts:
        start = part.bars.start
        ends = np.stack([start, start + part.bars.way])  # end, component, bar, (row,) n
        ends = ends if ends.ndim == 5 else ends[:, :, :, None]
        thick = np.ravel(part.radius)
        known = np.isfinite(ends)
        low.append(np.where(known, ends, np.inf).min(axis=(0, 2, 4)) - thick)
        high.append(np.where(known, ends, -np.inf).max(axis=(0, 2, 4)) + thick)
    return np.stack(np.broadcast_arrays(*low)), np.stack(np.broadcast_arrays(*high))


def gaps_among(parts: Sequence[Part], pairs: Sequence[Pair]) -> list[Positions]:
    """Return the gap between the parts of each pair at every position. [m].

    Parameters
    ----------
    parts : sequence of Part
        Of one motion.
    pairs : sequence of Pair
        Of them.

    Returns
    -------
    list of ndarray, each shape (n,) or (rows, n)
    """
    if not pairs:
        return []
    whole = stacked(parts)
    counts = np.diff([*whole.first, whole.bars.start.shape[1]])
    size = max(whole.bars.start[0, 0].size, 1)
    out: list[Positions] = []
    some: list[Pair] = []
    many = 0
    for pair in (*pairs, None):
        more = 0 if pair is None else int(counts[pair.one] * counts[pair.two])
        if some and (pair is None or (many + more) * size > AT_ONCE):
            out += _looked_at(parts, some, whole, counts)
            some, many = [], 0
        if pair is not None:
            some.append(pair)
            many += more
    return out


def _looked_at(
    parts: Sequence[Part],
    pairs: Sequence[Pair],
    whole: Stacked,
    counts: NDArray[np.intp],
) -> list[Positions]:
    bars, radius, first = whole.bars, whole.radius, whole.first
    ones, twos, trims, begins = [], [], [], [0]
    for pair in pairs:
        grid = np.mgrid[: counts[pair.one], : counts[pair.two]].reshape(2, -1)
        ones.append(first[pair.one] + grid[0])
        twos.append(first[pair.two] + grid[1])
        left_out = _left_out(parts[pair.one], parts[pair.two])
        trims.append(np.repeat(left_out[:, None], grid.shape[1], axis=1))
        begins.append(begins[-1] + grid.shape[1])
    i, k = np.concatenate(ones), np.concatenate(twos)
    trim = np.concatenate(trims, axis=1)
    trim = trim.reshape(*trim.shape, *(1,) * (bars.start.ndim - 2))
    one = _trimmed(bars.only(np.s_[:, i]), trim[0], trim[1])
    two = _trimmed(bars.only(np.s_[:, k]), trim[2], trim[3])
    gap = to_bar(one, two).apart(one) - radius[i] - radius[k]
    return list(np.minimum.reduceat(gap, begins[:-1], axis=0))


def _left_out(one: Part, two: Part) -> FloatArray:
    """Return what is left out at both ends of one and of the other, shape (4,). [m]."""
    shared = one.shafts & two.shafts
    return np.array(
        [
            BESIDE * (hole is not None and hole.shaft in shared)
            for part in (one, two)
            for hole in part.ends
        ]
    )


def _trimmed(bar: Bar, low: Any, high: Any) -> Bar:  # noqa: ANN401
    """Return a bar without some of its ends. [m]."""
    length = np.maximum(np.sqrt(dot(bar.way, bar.way)), 1e-9)
    one, two = (np.minimum(end / length, MOST_LEFT_OUT) for end in (low, high))
    return Bar(bar.start + one * bar.way, (1 - one - two) * bar.way)


def mark_between(one: Part, two: Part, index: int) -> Mark:
    """Return where two parts of one layout come nearest to each other at a position.

    Parameters
    ----------
    one, two : Part
        Of one layout.
    index : int
        The position.
    """
    trim = _left_out(one, two)
    bars = []
    for part, (low, high) in ((one, trim[:2]), (two, trim[2:])):
        i = min(index, part.bars.start.shape[-1] - 1)
        bars.append(_trimmed(part.bars.only(np.s_[..., i]), low, high))
    first = Bar(bars[0].start[:, :, None], bars[0].way[:, :, None])
    second = Bar(bars[1].start[:, None], bars[1].way[:, None])
    found = to_bar(first, second)
    k, m = np.unravel_index(int(found.apart(first).argmin()), found.apart(first).shape)
    here = first.at(found.share)[:, k, m]
    there = np.broadcast_to(found.there, first.at(found.share).shape)[:, k, m]
    wide = [float(np.ravel(part.radius)[0]) for part in (one, two)]
    return on_surfaces(here, there, *wide)
