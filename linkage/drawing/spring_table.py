"""The data of every spring in rows under the spring card: as far as they are given.

Not here: the table of loads on a terminal (`report.springs`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.drawing.fit import shorten_to, width_of
from linkage.drawing.key import LOUD
from linkage.forces import spring_senses
from linkage.model.axes import turning
from linkage.quantities import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.figure import Figure

    from linkage.forces import SpringSense
    from linkage.forces.summary import SpringCard

HEADS: Final = (
    "spring", "what it does to the plate", "rate", "free length", "preload", "wire",
    "coil, outside", "turns", "load at idle", "at the end",
)  # fmt: skip
#: Of the letters, and from row to row. [pt]
SIZE: Final = 7.5
ROW: Final = 12.0
#: Most rows; the rest is counted.
MOST: Final = 12
#: Letters of a name that stand in the margin.
LONGEST: Final = 15
#: Between two columns. [pt]
GAP: Final = 10.0
#: Where the rows begin and end, as shares of the page's width.
LEFT, RIGHT = 0.03, 0.97
_PULLS: Final = {"extension": "pulls", "compression": "pushes"}


def numbered(names: Sequence[str]) -> dict[str, str]:
    """Return what springs are called: by number too where a name may be cut off.

    >>> numbered(["near", "far"])
    {'near': 'near', 'far': 'far'}
    >>> numbered(["near", "under the fast idle cam"])
    {'near': '1 near', 'under the fast idle cam': '2 under the fast idle cam'}
    """
    if all(len(name) <= LONGEST for name in names):
        return {name: name for name in names}
    return {name: f"{i} {name}" for i, name in enumerate(names, start=1)}


def does(sense: SpringSense, card: SpringCard) -> str:
    """Return in words what a spring does to the plate, whatever the others do.

    Parameters
    ----------
    sense : SpringSense
        From `spring_senses`.
    card : SpringCard
        Of the same layout.
    """
    law = card.laws[sense.spring]
    verb = _PULLS.get(law.kind, "turns")
    layout = card.motion.assembly.layout
    if layout.governed:  # inside, the way in which a governor shuts counts as opening
        words = {"right": "opens it", "wrong": "shuts it"}.get(
            sense.hand, "opens it in part of the travel, else shuts it"
        )
        seen = layout.shafts[sense.shaft].axis.seen_from
        turn = "" if law.along_line else f"; {turning(law.sense)}, seen from {seen}"
        return words + turn
    words = {
        "right": f"{verb} it shut",
        "wrong": f"{verb} it OPEN: of the wrong hand",
        "crosses": f"crosses its spindle: {verb} it OPEN in part of the travel",
    }.get(sense.hand, "not known at every position")
    if law.along_line:
        return words
    seen = card.motion.assembly.layout.shafts[sense.shaft].axis.seen_from
    return f"{words}; {turning(law.sense)}, seen from {seen}"


def spring_rows(card: SpringCard) -> list[tuple[list[str], bool]]:
    """Return the cells of every spring, by `HEADS`, and whether it works against it.

    What is not given is a dash.
    """
    layout, s = card.motion.assembly.layout, card.together
    senses = {sense.spring: sense for sense in spring_senses(s)}
    called, out = numbered(list(card.laws)), []
    for name, law in card.laws.items():
        known, line = layout.springs[name].known, law.along_line
        force = "force" if line else "torque"
        loads = [abs(float(s.spring_load[name][i])) for i in (0, -1)]
        cells = [
            called[name],
            does(senses[name], card),
            say(float(law.rate), "rate" if line else "torsion rate"),
            say(float(law.free_length), "length") if line else "-",
            "-" if law.kind == "compression" else say(float(law.initial), force),
            *(
                "-" if v is None else say(float(v), "length", 2)
                for v in (known.wire, known.coil)
            ),
            "-" if known.turns is None else f"{float(known.turns):g}",
            *(say(load, force) for load in loads),
        ]
        hand = senses[name].hand
        against = {"wrong", "crosses"}
        if layout.governed and layout.springs[name].shaft != layout.pedal.shaft:
            against = {"right", "crosses"}  # elsewhere than at its arm one is to shut
        out.append((cells, hand in against))
    return out


def table_height(card: SpringCard) -> float:
    """Return how high the rows stand under each other. [in]."""
    count = len(card.laws)
    return (min(count, MOST) + 1 + (count > MOST)) * ROW / 72


def draw_springs(figure: Figure, card: SpringCard, top: float) -> None:
    """Write the data of every spring, one row each.

    Parameters
    ----------
    figure : Figure
        Its page.
    card : SpringCard
        From `forces.summary.spring_card`.
    top : float
        Upper edge of the heads, from the bottom of the page. [in]
    """
    width, height = figure.get_size_inches()
    found = spring_rows(card)
    heads = list(HEADS)
    if card.motion.assembly.layout.governed:
        heads = [head.replace("idle", "rest") for head in heads]
    rows = [(heads, False), *found[:MOST]]
    places = _places(figure, [cells for cells, _ in rows])
    for number, (cells, bad) in enumerate(rows):
        y = (top - (number + 0.5) * ROW / 72) / height
        for (at, wide), cell in zip(places, cells, strict=True):
            weight = "bold" if bad or number == 0 else "normal"
            figure.text(
                at / 72 / width,
                y,
                shorten_to(cell, wide, SIZE, weight),
                size=SIZE,
                va="center_baseline",
                weight=weight,
                color=LOUD if bad else "black",
                gid="spring data",
            )
    if len(found) > MOST:
        y = (top - (len(rows) + 0.5) * ROW / 72) / height
        text = f"and {len(found) - MOST} more: see `throttle-linkage springs`"
        figure.text(LEFT, y, text, size=SIZE, va="center_baseline", gid="spring data")


def _places(figure: Figure, rows: Sequence[Sequence[str]]) -> list[tuple[float, float]]:
    """Return where each column begins and how wide it may be. [pt].

    Where the page is too narrow, names and words give way and not numbers.
    """
    page = figure.get_size_inches()[0] * 72
    wide = [
        max(width_of(cell, SIZE, "bold") for cell in column) + 1
        for column in zip(*rows, strict=True)
    ]
    room = (RIGHT - LEFT) * page - GAP * (len(wide) - 1)
    over = sum(wide) - room
    if over > 0:
        wide[0] -= min(over, max(wide[0] - 0.16 * room, 0.0))
        wide[1] -= min(max(sum(wide) - room, 0.0), wide[1])
    out, at = [], LEFT * page
    for w in wide:
        out.append((at, w))
        at += w + GAP
    return out
