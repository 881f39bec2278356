"""The travel curve as a table, CSV and plain data.

Not here: the curve (`motion.curve`), its picture (`drawing.curve`).
"""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.quantities import say, shown
from linkage.report.tables import evenly, plain, table
from linkage.rules.caution import CAUTION

if TYPE_CHECKING:
    from linkage.motion.curve import TravelCurve


def summary(curve: TravelCurve) -> dict[str, Any]:
    """Return the numbers beside the curve, in shown units."""

    def mm(value: float | None) -> float | None:
        return None if value is None else round(value * 1e3, 4)

    return {
        "title": curve.title,
        "pad_travel_end_mm": mm(curve.end),
        "pedal_end_mm": mm(curve.pedal_end),
        "left_over_mm": mm(curve.left_over),
        "stopped_by": str(curve.stopped_by),
        "opens": curve.opens,
        "full_limit_pct": round(curve.full_limit * 100, 3),
        "full_at_mm": mm(curve.full_at),
        "tip_in_deg_per_mm": round(shown(curve.tip_in, "angle per travel"), 4),
        "half_pedal_throttle_pct": round(curve.half_pedal_share * 100, 3),
        "marks_mm": {f"{m:.0%}": mm(v) for m, v in curve.marks.items()},
    }


def curve_data(curve: TravelCurve) -> dict[str, Any]:
    """Return a curve as plain data: summary and columns of one length."""
    return {
        **summary(curve),
        "columns": {k: plain(v) for k, v in curve.columns().items()},
        "caution": CAUTION,
    }


def curve_csv(curve: TravelCurve) -> str:
    """Return a curve as CSV; the header carries the units."""
    found = curve.columns()
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(found)
    cells = zip(*(plain(v) for v in found.values()), strict=True)
    writer.writerows([["" if c is None else f"{c:g}" for c in row] for row in cells])
    return buffer.getvalue()


_HEAD = {
    "pad_travel_mm": "pad\nmm",
    "pad_travel_share_pct": "pad\n%",
    "throttle_angle_deg": "throttle\n°",
    "throttle_share_pct": "throttle\n%",
    "open_area_pct": "open area\n% of bore",
    "local_ratio_deg_per_mm": "ratio\n°/mm",
}


def _heading(key: str) -> str:
    for ending, words in _HEAD.items():
        if key == ending:
            return words
        if key.endswith("_" + ending):
            return f"{key.removesuffix('_' + ending).replace('_', ' ')}\n{words}"
    return key


def curve_lines(curve: TravelCurve, *, rows: int = 11) -> list[str]:
    """Return a curve as a table with its marks, for a terminal.

    Parameters
    ----------
    curve : TravelCurve
        From `motion.curve.travel_curve`; its points are the rows.
    rows : int
        At most so many rows, evenly taken.
    """
    found = curve.columns()
    n = len(curve.pad_travel)
    picked = evenly(n, rows)
    body = [[_cell(key, values[i]) for key, values in found.items()] for i in picked]
    out = [curve.title, ""]
    out += table([_heading(k) for k in found], body, left=0)
    out.append("")
    if not curve.opens:
        out.append("Pressing does not open the plate.")
    marks = ", ".join(
        f"{m:.0%} at {say(v, 'length')}" if v is not None else f"{m:.0%} not reached"
        for m, v in curve.marks.items()
    )
    full = (
        f"full ({say(curve.full_limit, 'fraction')} of swing) at {say(curve.full_at, 'length')}"
        if curve.full_at is not None
        else "full NOT REACHED"
    )
    out.append(f"Throttle {marks}, {full}.")
    out.append(
        f"Tip-in {say(curve.tip_in, 'angle per travel')}; half pedal gives "
        f"{say(curve.half_pedal_share, 'fraction')} of swing; stopped by the "
        f"{curve.stopped_by} at {say(curve.end, 'length')}, "
        f"{say(curve.left_over, 'length')} left over."
    )
    return [*out, CAUTION]


def _cell(key: str, value: float) -> str:
    if not np.isfinite(value):
        return "-"
    decimals = 2 if key.endswith("per_mm") else 1
    return f"{round(float(value), decimals) + 0.0:.{decimals}f}"
