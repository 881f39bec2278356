"""Many layouts of one make-up as one: stacked, taken apart, a row alone.

A layout is a tree of frozen dataclasses, mappings and tuples whose leaves are
numbers, names and choices. What is not a number is its *make-up* and is the same
in all rows; so are senses of turning. The functions serve any part of a layout.

Not here: how a number, a column and positions meet (`model.columns`).
"""

from __future__ import annotations

import math
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import numpy as np

from linkage.errors import LayoutError
from linkage.model.frozen import FrozenDict

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from linkage.model.columns import FloatArray, Number

Part = TypeVar("Part")
_LEAF = (float, int, str, type(None))
_NUMBER = (float, int, np.ndarray)


class _Field(NamedTuple):
    """How a field of a part behaves in rows."""

    name: str
    #: The number that stands for None in a column; None where None is make-up.
    none: float | None
    #: Words that may differ: left out of a batch in which they do.
    words: bool
    #: A choice, though it is a number.
    choice: bool


_PLANS: dict[type, tuple[_Field, ...]] = {}


def _plan(kind: Any) -> tuple[_Field, ...]:  # noqa: ANN401
    """Return the fields that make a part, looked up once."""
    if kind not in _PLANS:
        _PLANS[kind] = tuple(
            _Field(
                f.name,
                f.metadata.get("none"),
                f.metadata.get("words", False),
                str(f.type).startswith(("Literal", "bool")),
            )
            for f in fields(kind)
            if f.init
        )
    return _PLANS[kind]


def rows_of(part: Any) -> int:  # noqa: ANN401
    """Return how many rows a layout, or a part of one, has.

    Returns
    -------
    int
        1 where no number is a column.

    Raises
    ------
    LayoutError
        If it holds columns of different length.

    >>> rows_of((1.0, np.zeros((3, 1))))
    3
    """
    counts: set[int] = set()
    ahead = [part]
    while ahead:
        here = ahead.pop()
        kind = type(here)
        if kind in _LEAF:
            continue
        if kind is np.ndarray:
            counts.add(len(here))
        elif isinstance(here, tuple):
            ahead += here
        elif isinstance(here, dict):
            ahead += here.values()
        elif not isinstance(here, _NUMBER):
            ahead += [getattr(here, f.name) for f in _plan(kind)]
    counts.discard(1)
    if len(counts) > 1:
        msg = "columns of " + " and of ".join(map(str, sorted(counts))) + " rows"
        raise LayoutError(msg, hint="every column of one layout has the same rows")
    return counts.pop() if counts else 1


def row(layout: Part, i: int) -> Part:
    """Return one row as a layout of its own, all numbers floats.

    Parameters
    ----------
    layout : Layout
        One or many; a part of one will do.
    i : int
        Row, from 0, or from the end where it is negative.

    Raises
    ------
    IndexError
        If there is no such row.
    LayoutError
        If the row is impossible alone: two pivots in one place, say.
    """
    count = rows_of(layout)
    if not -count <= i < count:
        msg = f"there is no row {i} among {count}"
        raise IndexError(msg)
    return _mapped(layout, lambda c: float(c[i, 0]))


def take(layout: Part, rows: slice | Sequence[int] | NDArray[Any]) -> Part:
    """Return some rows as a batch of their own, in the order asked for.

    Parameters
    ----------
    layout : Layout
        Many; one layout is returned as it is.
    rows : slice, sequence of int, or ndarray of int or bool
        Which.
    """
    which = rows if isinstance(rows, slice) else np.asarray(rows)
    return _mapped(layout, lambda c: c[which])


def _mapped(part: Any, change: Callable[[FloatArray], Number]) -> Any:  # noqa: ANN401
    """Return a part with its columns changed; the same object where it has none."""
    if isinstance(part, _LEAF):
        return part
    if isinstance(part, np.ndarray):
        return change(part)
    if isinstance(part, dict):
        inner = {k: _mapped(v, change) for k, v in part.items()}
        return part if all(inner[k] is part[k] for k in part) else FrozenDict(inner)
    if isinstance(part, tuple):
        items = tuple(_mapped(v, change) for v in part)
        return part if all(a is b for a, b in zip(items, part, strict=True)) else items
    changes = {}
    for f in _plan(type(part)):
        old = getattr(part, f.name)
        new = _mapped(old, change)
        if f.none is not None and isinstance(new, float):
            new = None if new == f.none or math.isnan(new) else new
        if new is not old:
            changes[f.name] = new
    return replace(part, **changes) if changes else part


def stack(layouts: Sequence[Part]) -> Part:
    """Return layouts, each one or many, as one batch.

    Parameters
    ----------
    layouts : sequence of Layout
        At least one, all of one make-up.

    Returns
    -------
    Layout
        Its rows are those of the layouts, one after the other. Numbers that are
        equal in all rows stay floats. Titles that differ are left out.

    Raises
    ------
    LayoutError
        If they differ in more than numbers; `key` names where.
    """
    parts = list(layouts)
    try:
        return _merged(parts, [], ())
    except _Batch:
        return _merged(parts, [rows_of(p) for p in parts], ())


class _Batch(Exception):  # noqa: N818
    """One of the layouts has columns already: count its rows."""


def _merged(parts: list[Any], sizes: list[int], path: tuple[str, ...]) -> Any:  # noqa: ANN401
    first = parts[0]
    if all(p is first for p in parts) and rows_of(first) == 1:
        return first
    if all(isinstance(p, _NUMBER) for p in parts):
        return _numbers(parts, sizes)
    shape = _shape(first)
    if any(_shape(p) != shape for p in parts):
        raise _differ(path)
    if isinstance(first, dict):
        inner = {
            k: _merged([p[k] for p in parts], sizes, (*path, _text(k))) for k in first
        }
        return FrozenDict(inner)
    if isinstance(first, tuple):
        columns = zip(*parts, strict=True)
        return tuple(_merged(list(items), sizes, path) for items in columns)
    return _parts(parts, sizes, path) if is_dataclass(first) else first


def _text(key: str | tuple[str, ...]) -> str:
    return key if isinstance(key, str) else ".".join(key)


def _shape(part: Any) -> Any:  # noqa: ANN401
    """Return what parts of one make-up have in common, their inside apart."""
    if isinstance(part, _NUMBER):
        return float
    if isinstance(part, dict):
        return list(part)
    if isinstance(part, tuple):
        return len(part)
    if not is_dataclass(part):
        return part
    return type(part), getattr(part, "make_up", None)


def _parts(parts: list[Any], sizes: list[int], path: tuple[str, ...]) -> Any:  # noqa: ANN401
    values = {}
    for f in _plan(type(parts[0])):
        here = (*path, f.name)
        inner = [getattr(p, f.name) for p in parts]
        if f.none is not None and any(v is not None for v in inner):
            inner = [f.none if v is None else v for v in inner]
        if f.choice or f.words:
            same = all(v == inner[0] for v in inner)
            if not same and f.choice:
                raise _differ(here)
            values[f.name] = inner[0] if same else ""
        else:
            values[f.name] = _merged(inner, sizes, here)
    return type(parts[0])(**values)


def _numbers(parts: list[Any], sizes: list[int]) -> Number:
    if not sizes:
        if any(isinstance(p, np.ndarray) for p in parts):
            raise _Batch
        values = np.array(parts, dtype=float)
    else:
        each = [
            np.broadcast_to(np.ravel(p), n) for p, n in zip(parts, sizes, strict=True)
        ]
        values = np.concatenate(each).astype(float)
    if (values == values[0]).all():
        return float(values[0])
    return values[:, None]


def _differ(path: tuple[str, ...]) -> LayoutError:
    where = ".".join(path) or "their kind"
    msg = f"layouts that differ in {where} are no rows of one batch"
    hint = "rows may differ in numbers only; judge these one by one"
    return LayoutError(msg, hint=hint, key=path)


def same_make_up(one: Any, two: Any) -> bool:  # noqa: ANN401
    """Tell whether two layouts could be rows of one batch.

    Parameters
    ----------
    one, two : Layout
        Each one or many; parts of layouts will do.
    """
    if one is two:
        return True
    if _shape(one) != _shape(two):
        return False
    if isinstance(one, dict):
        return all(same_make_up(one[k], two[k]) for k in one)
    if isinstance(one, tuple):
        return all(map(same_make_up, one, two))
    plan = _plan(type(one)) if is_dataclass(one) else ()
    return all(_same_field(f, getattr(one, f.name), getattr(two, f.name)) for f in plan)


def _same_field(f: _Field, one: Any, two: Any) -> bool:  # noqa: ANN401
    if f.words:
        return True
    if f.choice:
        return bool(one == two)
    if f.none is not None:
        one, two = (f.none if v is None else v for v in (one, two))
    return same_make_up(one, two)
