"""The travel curve as a table, CSV and plain data.

Not here: the curve (`motion.curve`), its picture (`drawing.curve`).
"""

from __future__ import annotations

import csv
import io
import math
from typing import TYPE_CHECKING, Any, Final

from linkage.model.refs import Ref
from linkage.motion.plate import rest_of_area
from linkage.quantities import SHOWN, say, shown
from linkage.report.governed import (
    governed_columns,
    governed_curve_data,
    governed_curve_lines,
)
from linkage.report.tables import evenly, mm, plain, table, wrapped
from linkage.report.twins import beside_data, beside_text
from linkage.rules.caution import CAUTION
from linkage.rules.other_words import in_hands_words
from linkage.spoken import DATA_UNITS, number, other_cells, other_heads, unit_word
from linkage.tabular import csv_word

if TYPE_CHECKING:
    from linkage.motion.curve import TravelCurve


def summary(curve: TravelCurve) -> dict[str, Any]:
    """Return the numbers beside the curve, in shown units."""
    return {
        "title": curve.title,
        "input": "hand lever" if curve.by_hand else "pedal",
        "pad_travel_end_mm": mm(curve.end),
        "pedal_end_mm": mm(curve.pedal_end),
        "left_over_mm": mm(curve.left_over),
        "stopped_by": str(curve.stopped_by),
        "opens": curve.opens,
        "full_limit_pct": round(curve.full_limit * 100, 3),
        "full_at_mm": mm(curve.full_at),
        "throttles": {
            name: {"starts_at_mm": mm(t.starts), "full_at_mm": mm(t.full_at)}
            for name, t in curve.throttles.items()
        },
        "tip_in_deg_per_mm": round(shown(curve.tip_in, "angle per travel"), 4),
        "half_pedal_throttle_pct": round(curve.half_pedal_share * 100, 3),
        "marks_mm": {f"{m:.0%}": mm(v) for m, v in curve.marks.items()},
        **_over_travel(curve),
    }


def _over_travel(curve: TravelCurve) -> dict[str, Any]:
    """Return where over-travel springs give, and how far; nothing where none is."""
    found = {
        rod: {
            "gives_from_mm": mm(place),
            "given_at_end_mm": mm(curve.given[rod]),
        }
        for rod, place in curve.gives_from.items()
    }
    return {"over_travel": found} if found else {}


def curve_data(curve: TravelCurve) -> dict[str, Any]:
    """Return a curve as plain data: summary and columns of one length."""
    if curve.governed:
        return governed_curve_data(curve)
    return {
        **summary(curve),
        "units": DATA_UNITS,
        "plates_beside": [beside_data(twins) for twins in curve.beside],
        "columns": {k: plain(v) for k, v in curve.columns().items()},
        "caution": CAUTION,
    }


def curve_csv(curve: TravelCurve) -> str:
    """Return a curve as CSV; the header carries the units."""
    found = governed_columns(curve) if curve.governed else curve.columns()
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    heads = [k.replace("pad_", "hand_lever_") if curve.by_hand else k for k in found]
    writer.writerow(map(csv_word, heads))
    cells = zip(*(plain(v) for v in found.values()), strict=True)
    writer.writerows([["" if c is None else f"{c:g}" for c in row] for row in cells])
    return buffer.getvalue()


#: By the ending of a column's name: heading and kind.
_HEAD: Final = {
    "pad_travel_mm": ("pad", "length"),
    "pad_travel_share_pct": ("pad", "fraction"),
    "throttle_angle_deg": ("throttle", "angle"),
    "throttle_share_pct": ("throttle", "fraction"),
    "ahead_of_first_deg": ("ahead of\nfirst", "angle"),
    "open_area_pct": ("open area", "fraction"),
    "local_ratio_deg_per_mm": ("ratio", "angle per travel"),
}


def _known(key: str) -> tuple[str, str, str]:
    """Return the name of the throttle, heading and kind of a column."""
    ending = next(e for e in _HEAD if key == e or key.endswith("_" + e))
    of = key.removesuffix(ending).rstrip("_").replace("_", " ")
    return of, *_HEAD[ending]


def _headings(key: str) -> list[str]:
    of, words, kind = _known(key)
    unit = "% of bore" if words == "open area" else unit_word(kind)
    head = [f"{of}\n" * bool(of) + f"{words}\n{unit}"]
    return head + (other_heads("pad", "length") if key == "pad_travel_mm" else [])


def _cells(key: str, value: float) -> list[str]:
    _, _, kind = _known(key)
    si = float(value) * SHOWN[kind].factor
    return [
        number(si, kind),
        *(other_cells(si, kind) if key == "pad_travel_mm" else []),
    ]


def _area(curve: TravelCurve) -> str:
    """Return where the open area of the main plate ends, and why there."""
    main = curve.main
    if main.open_area is None or main.most_area is None or not curve.opens:
        return ""
    share = float(main.throttle_share[-1])
    rest = rest_of_area(main.open_area, float(main.most_area), share)
    return f"Open area ends at {main.open_area[-1]:.0%}{f': {rest}' * bool(rest)}."


_SHUT: Final = "Pressing does not open the plate."
#: Starts within this of rest are at once. [m]
AT_ONCE: Final = 1e-4


def _starts(curve: TravelCurve) -> str:
    """Return where each throttle starts and is full; empty for one that does at once."""
    several = len(curve.throttles) > 1
    full = say(float(curve.full_limit), "fraction")
    said = []
    for t in curve.throttles.values():
        words = f"{t.name} never starts"
        if t.starts is not None:
            at = "at once" if t.starts <= AT_ONCE else f"at {say(t.starts, 'length')}"
            end = f"{say(t.throttle_share[-1], 'fraction')} at the end"
            if t.full_at is not None:
                end = f"{full} of swing at {say(t.full_at, 'length')}"
            words = f"{t.name} starts {at}" + f", {end}" * several
        if several or (t.starts is not None and t.starts > AT_ONCE):
            said.append(words)
    return f"Pad travel: {'; '.join(said)}." if said else ""


def _gives(curve: TravelCurve) -> list[str]:
    """Return from where each over-travel spring gives, and how far it has at the end."""
    return [
        f"The over-travel spring of rod `{rod}` does not give."
        if math.isnan(place)
        else f"From pad {say(place, 'length')} on the over-travel spring of rod `{rod}` "
        f"gives, {say(curve.given[rod], 'length')} at the end; what it drives stands on "
        "its stop."
        for rod, place in curve.gives_from.items()
    ]


def _stop(curve: TravelCurve) -> str:
    """Return what stops the pedal, or the hand lever."""
    if curve.by_hand and curve.stopped_by == Ref("floor"):
        return "end of its travel"
    return str(curve.stopped_by)


def curve_lines(curve: TravelCurve, *, rows: int = 11) -> list[str]:
    """Return a curve as a table with its marks, for a terminal.

    Parameters
    ----------
    curve : TravelCurve
        From `motion.curve.travel_curve`; its points are the rows.
    rows : int
        At most so many rows, evenly taken.
    """
    if curve.governed:
        return governed_curve_lines(curve, rows=rows)
    found = curve.columns()
    n = len(curve.pad_travel)
    picked = evenly(n, rows)
    body = [[c for k, v in found.items() for c in _cells(k, v[i])] for i in picked]
    heads = [h for k in found for h in _headings(k)]
    title, said = curve.title, [] if curve.opens else [_SHUT]
    if curve.by_hand:
        title, said = f"{title}: by hand", [in_hands_words(text) for text in said]
        heads = [in_hands_words(head).replace("hand lever", "hand") for head in heads]
    out = [*wrapped(title, "  ", first=""), ""]
    out += [*table(heads, body, left=0), "", *said]
    marks = ", ".join(
        f"{m:.0%} at {say(v, 'length')}" if v is not None else f"{m:.0%} not reached"
        for m, v in curve.marks.items()
    )
    full = (
        f"full ({say(curve.full_limit, 'fraction')} of swing) at {say(curve.full_at, 'length')}"
        if curve.full_at is not None
        else "full NOT REACHED"
    )
    tip_in = (
        f"Tip-in {say(curve.tip_in, 'angle per travel')}; half pedal gives "
        f"{say(curve.half_pedal_share, 'fraction')} of swing; stopped by the "
        f"{_stop(curve)} at {say(curve.end, 'length')}, "
        f"{say(curve.left_over, 'length')} left over."
    )
    beside = [f"{t.other} beside {t.first}: {beside_text(t)}." for t in curve.beside]
    told = (f"Throttle {marks}, {full}.", _starts(curve), *_gives(curve), tip_in)
    for text in (*told, _area(curve), *beside):
        words = in_hands_words(text) if curve.by_hand else text
        out += wrapped(words, "  ", first="") if words else []
    return [*out, *wrapped(CAUTION, "  ", first="")]
