"""Rules about sense: which way every shaft turns, and whether pressing opens.

Not here: pull and push under load (`checks.forces`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.model import turning
from linkage.motion.senses import pull_or_push
from linkage.quantities import say
from linkage.rules.finding import Finding

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.rules.examine import Examined

#: Turn below which a shaft stands still.
STILL = 1e-9


def opening_sense(x: Examined) -> list[Finding]:
    """Judge whether pressing opens every plate."""
    out = []
    for name, throttle in x.layout.throttles.items():
        rate = throttle.opens * float(x.speeds.first[throttle.shaft][0])
        opens = rate > 0
        seen = x.layout.shafts[throttle.shaft].axis.seen_from
        way = turning(throttle.opens if opens else -throttle.opens)
        text = (
            f"pressing turns {throttle.shaft} {way} seen from {seen}: "
            f"{'it opens' if opens else 'the pedal shuts'} {name}"
        )
        if not opens:
            text += f", which opens {turning(throttle.opens)}"
        out.append(
            Finding(
                code="opening-sense",
                verdict="fits" if opens else "do not fit",
                where=f"{name}, at pad {say(x.working.start, 'length')}",
                value=rate,
                limit=0.0,
                kind="angle per travel",
                text=text,
            )
        )
    return out


def shaft_senses(x: Examined) -> list[Finding]:
    """Tell which way every shaft turns with the pedal going down."""
    out = []
    for name, shaft in x.layout.shafts.items():
        turns = x.motion.turns[name]
        way = float(turns[-1] - turns[0])
        seen = shaft.axis.seen_from
        text = (
            f"pedal down: {name} turns {say(abs(way), 'angle')} {turning(way)} "
            f"seen from {seen}"
            if abs(way) > STILL
            else f"pedal down: {name} does not turn"
        )
        out.append(
            Finding(
                code="shaft-sense",
                verdict="fits",
                where=f"shaft {name}, whole travel",
                value=way,
                kind="angle",
                text=text,
            )
        )
    return out


def pulls(x: Examined, rod: str) -> NDArray[np.bool_]:
    """Return at every position whether a rod pulls while the pedal goes down.

    Returns
    -------
    ndarray of bool, shape (n,)
    """
    link = x.assembly.loop(rod).link
    return pull_or_push(x.speeds.first[link.driven.shaft], x.lines[rod]) > 0


def rod_senses(x: Examined) -> list[Finding]:
    """Tell whether every rod pulls or pushes, and judge whether that changes."""
    out = []
    for name in x.layout.rods:
        pull = pulls(x, name)
        word = "pulls" if pull[0] else "pushes"
        changes = np.flatnonzero(pull != pull[0])
        if changes.size:
            place = say(float(x.motion.pad_travel[changes[0]]), "length")
            text = f"rod `{name}` {word} at first and turns over at pad {place}"
        else:
            place = "whole travel"
            link = x.assembly.loop(name).link
            text = f"pedal down: rod `{name}` {word} `{link.driven}`"
        out.append(
            Finding(
                code="rod-sense",
                verdict="do not fit" if changes.size else "fits",
                where=f"rod {name}, {place}",
                text=text,
            )
        )
    return out
