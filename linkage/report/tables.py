"""Plain text that prints from any terminal: tables, and cards where there is no room.

Not here: lines of words (`report.lines`), what stands in them.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.quantities import shown
from linkage.report.lines import terminal_width, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

__all__ = ["cards", "evenly", "plain", "table", "wrapped"]


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], *, left: int = 1, gap: int = 2
) -> list[str]:
    r"""Return lines of a table, columns as wide as they need to be.

    Where the terminal is narrower than the table, a card a row instead.

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
    most = terminal_width()
    return out if most is None or max(map(len, out)) <= most else cards(head, body)


def cards(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    r"""Return a table as cards: a row is lines of heading and value.

    A column without a heading marks the row; what is empty is left out.

    >>> print("\n".join(cards(["", "rod\nmm", "fits"], [[">", "9.0", ""]])))
    > rod mm: 9.0
    """
    out: list[str] = []
    for row in rows:
        marks = [str(c) for h, c in zip(head, row, strict=True) if not h and c]
        first = f"{' '.join(marks)} " if marks else "  "
        out += [""] if out else []
        for h, cell in zip(head, row, strict=True):
            if not h or not cell:
                continue
            out += wrapped(f"{' '.join(h.split())}: {cell}", " " * 6, first=first)
            first = "  "
    return out


def mm(value: float | None) -> float | None:
    """Return a length of plain data; None where there is none. [mm]."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value) * 1e3, 4)


def in_shown(value: float, kind: str) -> float | None:
    """Return a number of plain data in its shown unit; None where there is none.

    >>> in_shown(0.0255, "length"), in_shown(math.nan, "length")
    (25.5, None)
    """
    if not math.isfinite(value):
        return None
    return round(float(shown(value, kind)), 6) + 0.0


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
