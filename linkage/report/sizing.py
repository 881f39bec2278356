"""The arm chooser's table, and plain data.

Not here: the search (`search.arm`), its picture (`drawing.sizing`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from linkage.model.called import a_rod, called, rod_kinds
from linkage.quantities import say
from linkage.report.tables import mm, plain, table, wrapped
from linkage.rules.caution import CAUTION, PEDALS
from linkage.search.sized import NEIGHBOURS
from linkage.spoken import (
    DATA_UNITS,
    number,
    other_cells,
    other_heads,
    say_hole,
    say_rod,
    unit_word,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Hole, Layout
    from linkage.search.sized import Row, Sizing

__all__ = ["NEIGHBOURS", "shown_rows", "sizing_data", "sizing_lines"]


def _varied(sizing: Sizing) -> list[tuple[str, int, str]]:
    """Return name, index and kind of every column that varies."""
    out = []
    for i, choice in enumerate(sizing.choices):
        name = str(choice.hole)
        if len(choice.lengths) > 1 or len(choice.angles) == 1:
            out.append((name, i, "length"))
        if len(choice.angles) > 1:
            out.append((name, i, "angle"))
    return out


def _cells(sizing: Sizing, index: int) -> list[str]:
    row = sizing.rows[index]
    cells = [">" if index == sizing.chosen else ""]
    for _, i, kind in _varied(sizing):
        value = row.lengths[i] if kind == "length" else row.angles[i]
        cells += [number(value, kind, 2), *other_cells(value, kind)]
    for name in _rod_names(sizing):
        length = row.rods.get(name, math.nan)
        cells += [number(length, "length"), *other_cells(length, "length")]
    cells += [
        f"{row.throttle_share * 100:.1f}",
        "-" if row.full_share is None else f"{row.full_share * 100:.1f}",
        number(row.tip_in, "angle per travel"),
        number(row.least_angle, "angle"),
        row.code or "fits",
    ]
    return cells


def _rod_names(sizing: Sizing) -> list[str]:
    return max((list(r.rods) for r in sizing.rows), key=len, default=[])


def _kinds(sizing: Sizing) -> Mapping[str, str]:
    return rod_kinds(sizing.rows[0].base)


def shown_rows(sizing: Sizing, *, every: bool) -> list[int]:
    """Return which rows to show: all, or the best and those around it."""
    return list(range(len(sizing.rows))) if every else sizing.listed()


def sizing_lines(sizing: Sizing, *, every: bool = False) -> list[str]:
    """Return the table with the chosen row marked, and why others failed."""
    head, governed = [""], sizing.rows[0].base.governed
    columns = [(name, kind) for name, _, kind in _varied(sizing)]
    kinds = _kinds(sizing)
    columns += [(f"{kinds.get(n, 'rod')} {n}", "length") for n in _rod_names(sizing)]
    for name, kind in columns:
        head += [f"{name}\n{unit_word(kind)}", *other_heads(name, kind)]
    head += [
        "shut\n%" if governed else "throttle\n%",
        "shut at\n% of arm" if governed else "full at\n% of pad",
        f"tip-in\n{unit_word('angle per travel')}",
        f"least arm-\n{a_rod(kinds)} °",
        "outcome",
    ]
    body = [_cells(sizing, i) for i in shown_rows(sizing, every=every)]
    out = table(head, body, left=1)
    out.append("")
    if sizing.chosen is None:
        out.append(f"None of the {len(sizing.rows)} tried fits.")
    if sizing.best is not None:
        out += wrapped(_best_text(sizing, sizing.best), "  ", first="")
    out += _left(sizing)
    reasons: dict[str, list[int]] = {}
    for i, row in enumerate(sizing.rows):
        if not row.fits:
            reasons.setdefault(row.code, []).append(i)
    for code, rows in reasons.items():
        why = sizing.rows[rows[0]].short
        such = ", for example" if len(rows) > 1 else ""
        out += wrapped(f"{len(rows)} failed{such}: {why} [{code}]", "  ", first="")
    if sizing.rows[0].base.hand is not None:
        out += wrapped(PEDALS, "  ", first="")
    return [*out, *wrapped(CAUTION, "  ", first="")]


def _best_text(sizing: Sizing, row: Row) -> str:
    parts = []
    for choice, length, angle in zip(
        sizing.choices, row.lengths, row.angles, strict=True
    ):
        text = f"`{choice.hole}` {say_hole(length, 2)}{_of(row.base, choice.hole)}"
        if row.base.governed and choice.hole == row.base.pad_hole:
            text += f", whose hole goes {say(row.layout.pedal.travel, 'length')}"
        if len(choice.angles) > 1:
            text += f" at {say(angle, 'angle')}"
        parts.append(text)
    kinds = _kinds(sizing)
    word = "Nearest" if sizing.chosen is None else "Chosen"
    told = [
        f"{word}: {' and '.join(parts)}",
        *(_cut(kinds, n, v) for n, v in row.rods.items()),
        _stop_text(row),
        _full_text(row),
    ]
    tip_in, least = say(row.tip_in, "angle per travel"), say(row.least_angle, "angle")
    return f"{'; '.join(told)}, {tip_in} at first, flattest {least} between arm and {a_rod(kinds)}."


def _of(layout: Layout, hole: Hole) -> str:
    """Return of what a length is, of a drum; nothing of an arm."""
    arm = layout.shafts[hole.shaft].arms[hole.arm]
    word = {"drum": " radius", "snail": " radius at its nipple, its rim in proportion"}
    return word.get(arm.called, "")


def _cut(kinds: Mapping[str, str], name: str, length: float) -> str:
    free = " of free wire" if kinds.get(name) == "cable" else ""
    return f"{called(kinds, name)} {say_rod(length)}{free}"


def _stop_text(row: Row) -> str:
    """Return what is to be done about the pedal stop that goes with the arms."""
    pedal = row.base.pedal
    if row.base.governed:
        return "both pins in line and then one turn that shuts"
    if row.stop is None:
        return "no pedal stop, as the floor comes first"
    at = f"{say(row.stop, 'length')} of pad travel"
    if row.full_share is None:
        return f"pedal stop at {at}, the floor, which comes before the full stop"
    if pedal.stop is None:
        return f"fit a pedal stop at {at}; there is none"
    if pedal.stop == row.stop:
        return f"pedal stop at {at}, as it is"
    return f"set the pedal stop to {at} (now {say(pedal.stop, 'length')})"


def _full_text(row: Row) -> str:
    if row.base.governed:
        if row.full_share is None:
            share = say(row.throttle_share, "fraction")
            return f"shut by {share} only with the governor at its end"
        share = say(row.full_share, "fraction")
        return f"shut at {share} of the travel of the governor's arm"
    if row.full_share is None:
        share = say(row.throttle_share, "fraction")
        return f"{share} of swing with the pedal down, the full stop is not met"
    return f"full throttle at {say(row.full_share, 'fraction')} of the pad's travel"


def _left(sizing: Sizing) -> list[str]:
    """Return what the nearest leaves, and whether it was so before."""
    out = []
    for finding in sizing.leaves:
        before = " (so before)" if finding.place in sizing.before else ""
        text = f"It leaves{before}: {finding.short} [{finding.code}]"
        out += wrapped(text, "  ", first="")
    if sizing.only_as_before:
        text = (
            "The arm does its part; what was so before must be mended too: do not fit."
        )
        out += wrapped(text, "  ", first="")
    return out


def sizing_data(sizing: Sizing) -> dict[str, Any]:
    """Return the search as plain data: columns of one length."""
    best = sizing.best
    stop = None if best is None or best.stop is None else best.stop
    return {
        "arms": [str(c.hole) for c in sizing.choices],
        "chosen": sizing.chosen,
        "nearest": sizing.nearest,
        "pedal_stop_mm": mm(stop),
        "leaves": [
            {
                "code": f.code,
                "where": f.where,
                "text": f.text,
                "so_before": f.place in sizing.before,
            }
            for f in sizing.leaves
        ],
        "units": DATA_UNITS,
        "columns": {k: plain(v) for k, v in sizing.columns().items()},
        "caution": CAUTION,
    }
