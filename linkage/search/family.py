"""Changes of one kind as rows: what a fitter can do, and how much it takes.

A family is one kind of change at one part, tried with many values: arm
``spindle.lever`` made 20, 20.5, 21 ... mm long. Families that start from one
layout are stacked into one batch, so that all are solved at once.

Not here: which changes there are (`search.changes`), solving them (`search.engine`).
"""

from __future__ import annotations

import math
from dataclasses import field, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.paths import Path, applied, read, stand
from linkage.model.rows import row
from linkage.records import dataclass
from linkage.search.said import BOTH, new_parts

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.refs import Ref

    FloatArray = NDArray[np.float64]

#: Rows of a family that is judged apart from the large ones.
FEW: Final = 6
#: Rows under which a family is not thinned.
SMALL: Final = 16
#: What an optional number is where a row has none: a rod is cut to fit, a pedal stop is
#: never met, the bends of a sheath follow from its points.
NONE: Final[dict[str, float]] = {
    "length": math.nan,
    "stop": math.inf,
    "drag": math.nan,
    "bend": math.nan,
    "sheath_friction": math.nan,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do, as data; `search.said` puts it into words.

    Parameters
    ----------
    kind : str
        A key of `search.said.KINDS`.
    about : Ref
        The part.
    old, new : object
        Number in SI, point, name or None.
    more : mapping of str to object
        What else the words need.
    """

    kind: str
    about: Ref
    old: Any = None
    new: Any = None
    more: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Family:
    """Changes of one kind.

    Parameters
    ----------
    base : Layout
        What is changed: the layout as it is, or with a part added already.
    sets : mapping of path to ndarray, shape (rows,)
        The numbers that change.
    effort : ndarray, shape (rows,)
        How much each takes; the least that mends is offered.
    step : callable
        From a row's index to its `Step`.
    cut : tuple of str
        Rods that have to be cut again.
    moves_stroke : bool
        Whether full throttle comes elsewhere, so that a pedal stop is set anew.
    """

    base: Layout
    sets: Mapping[Path, FloatArray]
    effort: FloatArray
    step: Callable[[int], Step]
    cut: tuple[str, ...] = ()
    moves_stroke: bool = True

    @property
    def size(self) -> int:
        """Number of rows."""
        return len(self.effort)

    @property
    def parts(self) -> int:
        """New parts to be made or bought for any row, but for rods that are cut."""
        return new_parts(self.step(0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stack:
    """Families that start from one layout, as one batch in order of effort.

    Parameters
    ----------
    families : tuple of Family
        All of one base, and alike in whether they move the stroke.
    which, index : ndarray of int, shape (rows,)
        Family of each row, and its index there.
    way : ndarray of int, shape (rows,)
        The same for rows of one family that make one number less, or more.
    effort : ndarray, shape (rows,)
        Rising.
    sets : mapping of path to ndarray, shape (rows,)
        Every number that any of them changes.
    """

    families: tuple[Family, ...]
    which: NDArray[np.intp]
    index: NDArray[np.intp]
    way: NDArray[np.intp]
    effort: FloatArray
    sets: Mapping[Path, FloatArray]

    @property
    def parts(self) -> int:
        """New parts that any of them takes at least."""
        return min(f.parts for f in self.families)

    @property
    def base(self) -> Layout:
        """What all of them change."""
        return self.families[0].base

    def layout(self, rows: NDArray[np.intp]) -> Layout:
        """Return some rows as a batch."""
        sets = {path: values[rows][:, None] for path, values in self.sets.items()}
        return applied(self.base, sets)

    def one(self, i: int) -> Layout:
        """Return one row as a layout of its own."""
        return row(self.layout(np.array([i])), 0)

    def family(self, i: int) -> Family:
        """Return the family of a row."""
        return self.families[self.which[i]]

    def step(self, i: int) -> Step:
        """Return what a row does."""
        return self.family(i).step(int(self.index[i]))


def evenly(count: int, many: int) -> NDArray[np.intp]:
    """Return which of some rows are taken: the first, the last, and some between."""
    return np.unique(np.linspace(0, count - 1, many).astype(int))


def always(step: Step) -> Callable[[int], Step]:
    """Return what gives the same step for every row."""
    return lambda _: step


def thinned(family: Family, stride: int) -> Family:
    """Return every so many rows of a family; a small one stays whole."""
    if stride <= 1 or family.size < SMALL:
        return family
    rows = slice(None, None, stride)
    return replace(
        family,
        sets={path: values[rows] for path, values in family.sets.items()},
        effort=family.effort[rows],
        step=lambda i: family.step(i * stride),
    )


def paired(first: Family, rows: NDArray[np.intp], second: Family) -> Family | None:
    """Return every pair of some rows of one family with all of another.

    Parameters
    ----------
    first : Family
        Of the base of the other, or of that with a part added.
    rows : ndarray of int
        Of the first.
    second : Family
        Whose base has all that is added.

    Returns
    -------
    Family or None
        None where both would set the same number.
    """
    if set(first.sets) & set(second.sets):
        return None
    count = second.size
    sets = {path: np.repeat(v[rows], count) for path, v in first.sets.items()}
    sets |= {path: np.tile(v, len(rows)) for path, v in second.sets.items()}
    about = second.step(0).about

    def step(i: int) -> Step:
        steps = (first.step(int(rows[i // count])), second.step(i % count))
        return Step(kind=BOTH, about=about, more={"steps": steps})

    return Family(
        base=second.base,
        sets=sets,
        effort=np.add.outer(first.effort[rows], second.effort).ravel(),
        step=step,
        cut=tuple(dict.fromkeys((*first.cut, *second.cut))),
        moves_stroke=first.moves_stroke or second.moves_stroke,
    )


def joined(
    base: Layout, first: Family, rows: NDArray[np.intp], second: Family
) -> Family | None:
    """Return every pair of some rows of one family with all of another.

    None where both add a part to a layout, would set the same number, or the one sets
    what the other takes away.
    """
    if first.base is base:
        there = stand(second.base, first.sets)
        return paired(first, rows, second) if there else None
    if second.base is base and stand(first.base, second.sets):
        return paired(first, rows, replace(second, base=first.base))
    return None


def after(steps: Sequence[Step], family: Family) -> Family:
    """Return a family whose base has some steps made already, told with each row."""

    def step(i: int) -> Step:
        each = (family.step(i), *steps)
        return Step(
            kind=BOTH, about=each[0].about, new=each[0].new, more={"steps": each}
        )

    return replace(family, effort=family.effort + 0.5 * len(steps), step=step)


def only(family: Family, i: int) -> Family:
    """Return a family of one row of another."""
    return replace(
        family,
        sets={path: values[[i]] for path, values in family.sets.items()},
        effort=family.effort[[i]],
        step=lambda _: family.step(i),
    )


def flat(step: Step) -> tuple[Step, ...]:
    """Return the steps that a step is, one after the other."""
    if step.kind != BOTH:
        return (step,)
    return tuple(one for part in step.more["steps"] for one in flat(part))


def merged(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return steps of which later ones of the same number are taken as one."""
    out: list[Step] = []
    for step in steps:
        for i, old in enumerate(out):
            if (old.kind, old.about) == (step.kind, step.about) and step.old == old.new:
                out[i] = replace(step, old=old.old)
                break
        else:
            out.append(step)
    return tuple(out)


def _plain(base: Layout, path: Path) -> float:
    """Return the number at a path, as a column says it where there is none."""
    value = read(base, path)
    if value is not None:
        return float(value)
    return float(base.friction) if path[-1] == "friction" else NONE[path[-1]]


def stacked(families: Sequence[Family]) -> Stack:
    """Stack families of one base, the least effort first.

    A family of one row that changes nothing in numbers is a row like any other.
    """
    base = families[0].base
    which = np.repeat(np.arange(len(families)), [f.size for f in families])
    index = np.concatenate([np.arange(f.size) for f in families])
    effort = np.concatenate([f.effort for f in families])
    order = np.argsort(effort, kind="stable")
    total = len(effort)
    sets: dict[Path, FloatArray] = {}
    way = 2 * which
    begin = 0
    for family in families:
        part = slice(begin, begin + family.size)
        for path, values in family.sets.items():
            if path not in sets:
                sets[path] = np.full(total, _plain(base, path))
            sets[path][part] = values
            if len(family.sets) == 1:
                way[part] += values > _plain(base, path)
        for name in family.cut:
            path = ("rods", name, "length")
            if read(base, path) is not None:
                sets.setdefault(path, np.full(total, _plain(base, path)))
                sets[path][part] = math.nan
        begin = part.stop
    return Stack(
        families=tuple(families),
        which=which[order],
        index=index[order],
        way=way[order],
        effort=effort[order],
        sets={path: values[order] for path, values in sets.items()},
    )


def stacks(families: Sequence[Family]) -> list[Stack]:
    """Sort families into stacks, those of one base and alike in stroke together.

    Families of few rows come together too, lest they wait among hundreds of others.
    """
    groups: dict[tuple[int, bool, bool], list[Family]] = {}
    for family in families:
        if family.size:
            key = id(family.base), family.moves_stroke, family.size <= FEW
            groups.setdefault(key, []).append(family)
    return [stacked(group) for group in groups.values()]
