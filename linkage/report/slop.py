"""What the play of each part takes, as text: at the plate and at the pad, worst first.

Not here: how much that is (`rules.play`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from linkage.quantities import say
from linkage.report.tables import table
from linkage.rules.play import slop
from linkage.spoken import say_hole

if TYPE_CHECKING:
    from linkage.rules.examine import Examined


def plays(x: Examined) -> list[tuple[str, float, float, float]]:
    """Return what the play of each part takes at the end of the travel, worst first.

    Parameters
    ----------
    x : Examined
        One layout.

    Returns
    -------
    list of (str, float, float, float)
        The part, its play [m], what that takes at the main plate [rad], and as how much
        pad that is felt [m]: nan where the pad moves no plate there.
    """
    main = x.layout.main
    rate = abs(float(np.ravel(x.speeds.first[main.shaft])[-1]))
    rows = []
    for one in slop(x, main):
        ref, plate = one.about, float(np.ravel(one.plate)[0])
        rod = x.layout.rods.get(ref.name) if ref.kind == "rod" else None
        name = f"bush of `{ref.name}`" if rod is None else rod.called
        play = float(np.ravel(one.play)[0])
        rows.append((name, play, plate, plate / rate if rate else math.nan))
    return sorted(rows, key=lambda row: -row[2])


def slop_lines(x: Examined) -> list[str]:
    """Return that as a table, and nothing where no part has any.

    Parameters
    ----------
    x : Examined
        One layout.
    """
    rows = [
        [
            name,
            say_hole(play),
            say(plate, "angle"),
            say(pad, "length") if math.isfinite(pad) else "-",
        ]
        for name, play, plate, pad in plays(x)
    ]
    if not rows:
        return []
    head = ["what play takes, as in the file", "play", "at the plate", "at the pad"]
    return [*table(head, rows), ""]
