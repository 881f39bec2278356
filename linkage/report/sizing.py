"""The arm chooser's table, and plain data.

Not here: the search (`search.arm`), its picture (`drawing.sizing`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.quantities import say, shown
from linkage.report.tables import plain, table, wrapped
from linkage.rules.caution import CAUTION

if TYPE_CHECKING:
    from linkage.search.sized import Row, Sizing

#: Rows shown on either side of the chosen one.
NEIGHBOURS = 4


def _varied(sizing: Sizing) -> list[tuple[str, int, str]]:
    """Return heading, index and kind of every column that varies."""
    out = []
    for i, choice in enumerate(sizing.choices):
        name = str(choice.hole)
        if len(choice.lengths) > 1 or len(choice.angles) == 1:
            out.append((f"{name}\nmm", i, "length"))
        if len(choice.angles) > 1:
            out.append((f"{name}\n°", i, "angle"))
    return out


def _cells(sizing: Sizing, index: int) -> list[str]:
    row = sizing.rows[index]
    cells = [">" if index == sizing.chosen else ""]
    for _, i, kind in _varied(sizing):
        value = row.lengths[i] if kind == "length" else row.angles[i]
        cells.append(f"{shown(value, kind):.2f}")
    cells += [f"{shown(v, 'length'):.1f}" for v in row.rods.values()] or [
        "-"
    ] * _rod_count(sizing)
    cells += [
        f"{row.throttle_share * 100:.1f}",
        "-" if row.full_share is None else f"{row.full_share * 100:.1f}",
        f"{shown(row.tip_in, 'angle per travel'):.2f}",
        f"{shown(row.least_angle, 'angle'):.1f}",
        row.code or "fits",
    ]
    return cells


def _rod_names(sizing: Sizing) -> list[str]:
    return max((list(r.rods) for r in sizing.rows), key=len, default=[])


def _rod_count(sizing: Sizing) -> int:
    return len(_rod_names(sizing))


def shown_rows(sizing: Sizing, *, every: bool) -> list[int]:
    """Return which rows to show: all, or the chosen one and those around it."""
    n = len(sizing.rows)
    if every or n <= 2 * NEIGHBOURS + 1:
        return list(range(n))
    if sizing.chosen is None:
        by_share = sorted(range(n), key=lambda i: -sizing.rows[i].throttle_share)
        return sorted(by_share[: 2 * NEIGHBOURS + 1])
    if len(sizing.choices) == 1:
        first = min(max(sizing.chosen - NEIGHBOURS, 0), n - 2 * NEIGHBOURS - 1)
        return list(range(first, first + 2 * NEIGHBOURS + 1))
    chosen = np.array(sizing.rows[sizing.chosen].lengths)
    near = sorted(
        range(n),
        key=lambda i: float(np.abs(np.array(sizing.rows[i].lengths) - chosen).sum()),
    )
    return sorted(near[: 2 * NEIGHBOURS + 1])


def sizing_lines(sizing: Sizing, *, every: bool = False) -> list[str]:
    """Return the table with the chosen row marked, and why others failed."""
    head = ["", *(h for h, _, _ in _varied(sizing))]
    head += [f"rod {n}\nmm" for n in _rod_names(sizing)]
    head += [
        "throttle\n%",
        "full at\n% of pad",
        "tip-in\n°/mm",
        "least arm-\nrod °",
        "outcome",
    ]
    body = [_cells(sizing, i) for i in shown_rows(sizing, every=every)]
    out = table(head, body, left=1)
    out.append("")
    if sizing.chosen is None:
        out.append(f"None of the {len(sizing.rows)} tried fits.")
    else:
        out += wrapped(_chosen_text(sizing, sizing.rows[sizing.chosen]), "  ", first="")
    reasons: dict[str, list[int]] = {}
    for i, row in enumerate(sizing.rows):
        if not row.fits:
            reasons.setdefault(row.code, []).append(i)
    for code, rows in reasons.items():
        out += wrapped(
            f"{len(rows)} failed by {code}, for example: {sizing.rows[rows[0]].reason}",
            "  ",
            first="",
        )
    return [*out, CAUTION]


def _chosen_text(sizing: Sizing, row: Row) -> str:
    parts = []
    for choice, length, angle in zip(
        sizing.choices, row.lengths, row.angles, strict=True
    ):
        text = f"`{choice.hole}` {say(length, 'length', 2)}"
        if len(choice.angles) > 1:
            text += f" at {say(angle, 'angle')}"
        parts.append(text)
    rods = "; ".join(f"rod `{n}` {say(v, 'length')}" for n, v in row.rods.items())
    full = (
        f"full throttle at {say(row.full_share, 'fraction')} of the pad's travel"
        if row.full_share is not None
        else f"{say(row.throttle_share, 'fraction')} of swing with the pedal on its stop"
    )
    return (
        f"Chosen: {' and '.join(parts)}; {rods}; {full}, tip-in "
        f"{say(row.tip_in, 'angle per travel')}, least arm-rod angle "
        f"{say(row.least_angle, 'angle')}."
    )


def sizing_data(sizing: Sizing) -> dict[str, Any]:
    """Return the search as plain data: columns of one length."""
    return {
        "arms": [str(c.hole) for c in sizing.choices],
        "chosen": sizing.chosen,
        "columns": {k: plain(v) for k, v in sizing.columns().items()},
        "caution": CAUTION,
    }
