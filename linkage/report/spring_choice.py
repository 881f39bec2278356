"""The springs that were tried as text and as plain data, the best with what to buy.

Not here: trying them (`search.springs`), the spring card (`report.springs`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.quantities import shown
from linkage.report.springs import number
from linkage.report.tables import plain, table, wrapped
from linkage.rules.caution import CAUTION

if TYPE_CHECKING:
    from linkage.search.spring_rows import SpringRow, SpringRows

_HEAD: Final = (
    "",
    "spring",
    "hook\nmm",
    "rate\nN/mm",
    "anchor\nmm",
    "load N\nidle",
    "load N\nend",
    "pad\nN",
    "closing over\nfriction",
    "alone, N·m\nleast",
    "alone, over\nfriction",
    "outcome",
)


def _cells(i: int, row: SpringRow) -> list[str]:
    anchor = row.spring.anchor or ()
    return [
        ">" if i == 0 and row.fits else "",
        row.at_hand or row.spring.name,
        f"{row.radius * 1e3:.1f}",
        number(shown(row.rate, "rate"), 3),
        ", ".join(f"{c * 1e3:.0f}" for c in anchor),
        number(row.first_load, 1),
        number(row.last_load, 1),
        number(row.pad_force, 1),
        number(row.least_ratio, 2),
        number(row.alone.torque, 3),
        number(row.alone.ratio, 2),
        "fits" if row.fits else f"fails, see {i + 1}",
    ]


def choice_lines(rows: SpringRows, *, every: bool, most: int = 12) -> list[str]:
    """Return the springs tried, the best first, and what to buy.

    Parameters
    ----------
    rows : SpringRows
        From `search.springs.choose_spring`.
    every : bool
        Show all; else the first ``most``.
    most : int
        How many rows without ``every``.
    """
    told = rows[: None if every else most]
    out = table(list(_HEAD), [_cells(i, row) for i, row in enumerate(told)], left=2)
    out.append("")
    for i, row in enumerate(told):
        if not row.fits:
            out += wrapped("; ".join(row.reasons), " " * 4, first=f"{i + 1:>2}. ")
    fitting = sum(r.fits for r in rows)
    order = (
        f"{fitting} of {len(rows)} tried keep every rule, alone too; first those with 18 to "
        "36 N at the pad, and of them the one that alone leaves most to shut the plate."
    )
    out += wrapped(order, "")
    if rows and rows[0].fits:
        out += wrapped(rows[0].buying, " " * 4, first="Buy: ")
    return [*out, CAUTION]


def choice_data(rows: SpringRows) -> dict[str, Any]:
    """Return the springs tried as plain data: columns of one length."""
    best = rows[0] if rows and rows[0].fits else None
    return {
        "chosen": None if best is None else 0,
        "buying": None if best is None else best.buying,
        "columns": {k: plain(v) for k, v in rows.columns().items()},
        "caution": CAUTION,
    }
