"""What a moving engine does to the throttle, as text and as plain data.

Not here: the numbers (`motion.drift`), the picture (`drawing.rock`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from linkage.motion.drift import LEAST, WAYS, Drift, opens
from linkage.quantities import say, say_round
from linkage.report.tables import mm, plain, table, wrapped
from linkage.rules.caution import CAUTION
from linkage.spoken import DATA_UNITS, listed

if TYPE_CHECKING:
    from linkage.model import Layout


def most_words(d: Drift) -> str:
    """Return the direction in which the engine opens the throttle most, in words."""
    if d.nothing:
        return (
            "No way of going does anything: what drives it goes with the engine, as a "
            "cable does."
        )
    if d.rate * d.by < LEAST:
        return (
            "With the pedal up going a little way does nothing: a slot, a slack wire or a "
            "gap takes it up. Further off, and with the pedal down, it does what stands "
            "above."
        )
    parts = [
        f"{say(abs(share) * d.by, 'length')} {WAYS[2 * i + (share < 0)]}"
        for i, share in enumerate(d.most.tolist())
        if abs(share) * d.by > 0.05e-3
    ]
    return (
        f"Most by {say_round(d.by, 'length')} in all, {listed(parts)}: about "
        f"{say(d.rate * d.by, 'angle')}. That is along the rod from body to engine; square "
        "to it hardly anything moves: lead it across the way in which the engine goes."
    )


def rock_lines(d: Drift, layout: Layout) -> list[str]:
    """Return what a moving engine does as lines for a terminal.

    Parameters
    ----------
    d : Drift
        From `motion.drift`.
    layout : Layout
        Whose limits are named.
    """
    rows = [
        [way, opens(idle), opens(full)]
        for way, idle, full in zip(WAYS, d.idle.tolist(), d.full.tolist(), strict=True)
    ]
    limits = layout.limits
    told = (
        "Every rod as long as it is, plates on no stop. Over "
        f"{say(float(limits.engine_rock_look), 'angle')} asks for a look and over "
        f"{say(float(limits.engine_rock_refuse), 'angle')} is refused of what [engine] "
        "says that it rolls and rises; `check` judges that."
    )
    head = [f"engine goes {say_round(d.by, 'length')}", "pedal up", "pedal down"]
    return [
        d.title,
        "",
        *table(head, rows),
        "",
        *wrapped(most_words(d), "  ", first=""),
        "",
        *wrapped(told, "  ", first=""),
        CAUTION,
    ]


def rock_data(d: Drift) -> dict[str, Any]:
    """Return what a moving engine does as plain data."""
    return {
        "title": d.title,
        "units": DATA_UNITS,
        "by_mm": mm(d.by),
        "most_along": plain(d.most.tolist()),
        "most_deg_by_mm": plain([math.degrees(d.rate) / 1e3])[0],
        "columns": {name: plain(column) for name, column in d.columns().items()},
        "caution": CAUTION,
    }
