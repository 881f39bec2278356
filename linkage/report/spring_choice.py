"""The springs that were tried as text and as plain data, the best with what to buy.

Not here: trying them (`search.springs`), the spring card (`report.springs`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.quantities import say
from linkage.report.springs import ratio
from linkage.report.tables import plain, table, wrapped
from linkage.rules.caution import CAUTION
from linkage.search.springs import PLEASANT
from linkage.spoken import DATA_UNITS, number, other_cells, other_heads, unit_word

if TYPE_CHECKING:
    from linkage.search.spring_rows import SpringRow, SpringRows


def _head() -> list[str]:
    length, force, torque = map(unit_word, ("length", "force", "torque"))
    return [
        "",
        "spring",
        f"hook\n{length}",
        f"rate\n{unit_word('rate')}",
        *other_heads("rate", "rate"),
        f"anchor\n{length}",
        f"load {force}\nidle",
        f"load {force}\nend",
        f"pad\n{force}",
        "closing over\nfriction",
        f"alone, {torque}\nleast",
        "alone, over\nfriction",
        "outcome",
    ]


def _cells(i: int, row: SpringRow) -> list[str]:
    anchor = row.spring.anchor or ()
    return [
        ">" if i == 0 and row.fits else "",
        row.at_hand or row.spring.name,
        number(row.radius, "length") if row.radius else "-",
        number(row.rate, "rate"),
        *other_cells(row.rate, "rate"),
        ", ".join(number(c, "length", 0) for c in anchor),
        number(row.first_load, "force"),
        number(row.last_load, "force"),
        number(row.pad_force, "force"),
        ratio(row.least_ratio),
        number(row.alone.torque, "torque"),
        ratio(row.alone.ratio),
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
    out = table(_head(), [_cells(i, row) for i, row in enumerate(told)], left=2)
    out.append("")
    for i, row in enumerate(told):
        if not row.fits:
            out += wrapped("; ".join(row.reasons), " " * 4, first=f"{i + 1:>2}. ")
    fitting = sum(r.fits for r in rows)
    order = (
        f"{fitting} of {len(rows)} tried keep every rule, alone too; first those with "
        f"{number(PLEASANT[0], 'force', 0)} to {say(PLEASANT[1], 'force', 0)} at the pad, "
        "and of them the one that alone leaves most to shut the plate."
    )
    out += wrapped(order, "")
    if rows and rows[0].fits:
        out += wrapped(rows[0].buying, " " * 4, first="Buy: ")
    return [*out, *wrapped(CAUTION, "  ", first="")]


def choice_data(rows: SpringRows) -> dict[str, Any]:
    """Return the springs tried as plain data: columns of one length."""
    best = rows[0] if rows and rows[0].fits else None
    return {
        "chosen": None if best is None else 0,
        "buying": None if best is None else best.buying,
        "units": DATA_UNITS,
        "columns": {k: plain(v) for k, v in rows.columns().items()},
        "caution": CAUTION,
    }
