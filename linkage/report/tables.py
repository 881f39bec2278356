"""Plain text tables that print from any terminal.

Not here: what stands in them.
"""

from __future__ import annotations

import math
import textwrap
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], *, left: int = 1, gap: int = 2
) -> list[str]:
    r"""Return lines of a table, columns as wide as they need to be.

    Parameters
    ----------
    head : sequence of str
        One word or several lines (``\n``) a column.
    rows : sequence of sequence of str
        Each as long as the head.
    left : int
        Columns from the left that are set flush left; the rest flush right.
    gap : int
        Spaces between columns.

    >>> print("\n".join(table(["rod", "mm"], [["first", "9.0"], ["x", "12.5"]])))
    rod      mm
    -----  ----
    first   9.0
    x      12.5
    """
    heads = [h.split("\n") for h in head]
    depth = max(len(h) for h in heads)
    padded = [[""] * (depth - len(h)) + h for h in heads]
    lines = [[h[i] for h in padded] for i in range(depth)]
    body = [list(map(str, row)) for row in rows]
    widths = [max(len(row[i]) for row in [*lines, *body]) for i in range(len(head))]
    rule = ["-" * w for w in widths]
    out = []
    for row in [*lines, rule, *body]:
        cells = [
            cell.ljust(w) if i < left else cell.rjust(w)
            for i, (cell, w) in enumerate(zip(row, widths, strict=True))
        ]
        out.append((" " * gap).join(cells).rstrip())
    return out


def plain(column: Iterable[Any]) -> list[Any]:
    """Return a column as JSON can hold it: rounded, and None where there is nothing.

    >>> plain([0.12345678, float("nan"), True, "", (1.0, "x")])
    [0.123457, None, True, None, [1.0, 'x']]
    """
    out: list[Any] = []
    for value in column:
        one = value.item() if hasattr(value, "item") else value
        if isinstance(one, float):
            out.append(round(one, 6) + 0.0 if math.isfinite(one) else None)
        else:
            out.append(
                plain(one) if isinstance(one, tuple) else None if one == "" else one
            )
    return out


def evenly(count: int, most: int) -> list[int]:
    """Return which rows of a long table are printed: both ends and some between.

    >>> evenly(101, 3)
    [0, 50, 100]
    """
    rows = np.linspace(0, count - 1, min(most, count)).round().astype(int)
    return list(dict.fromkeys(rows.tolist()))


def wrapped(
    text: str, indent: str, *, width: int = 96, first: str | None = None
) -> list[str]:
    """Return text in lines no longer than ``width``, later ones indented."""
    return textwrap.wrap(
        text,
        width,
        initial_indent=indent if first is None else first,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
