"""Slips as rows, each solved and judged by the whole check.

Not here: which slips there are (`slips.kinds`), when they are asked for
(`slips.suspects`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final, cast

import numpy as np

from linkage.errors import LinkageError
from linkage.model import Arm, Rod
from linkage.model.paths import applied, read
from linkage.model.rows import row, rows_of, take
from linkage.records import dataclass
from linkage.rules.engine import judge
from linkage.rules.examine import COARSE, WHOLE, examine
from linkage.rules.room import room
from linkage.rules.rule import BAD, LOOK
from linkage.search.standing import NOTHING, Standing
from linkage.slips.wholes import HAND

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from linkage.model import Axis, Layout
    from linkage.model.paths import Path
    from linkage.rules.examine import Grain
    from linkage.rules.judged import Judged
    from linkage.rules.rule import Need
    from linkage.slips.kinds import Hypothesis

#: Most rows that are judged together: more would not stay in a processor's memory.
BLOCK: Final = 128
#: Parts that a slip sets whole.
_WHOLE: Final = (Rod, Arm)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tried:
    """What a layout would be, had a slip not been made.

    Parameters
    ----------
    slip : Hypothesis
        The slip.
    lengths : mapping of str to float
        Of rods as they were put together. [m]
    bad : tuple of str
        Codes of rules that then fail or cannot be judged.
    looks : int
        Findings to look at.
    """

    slip: Hypothesis
    lengths: dict[str, float]
    bad: tuple[str, ...]
    looks: int


def meant(layout: Layout, slip: Hypothesis) -> Layout:
    """Return a layout as it would be, had a slip not been made.

    Raises
    ------
    LayoutError
        If it would be impossible.
    """
    return applied(_turned(layout, slip.turned), slip.sets)


def _turned(layout: Layout, names: tuple[str, ...]) -> Layout:
    """Return a layout whose throttles open, pedal presses or hand lever pulls otherwise."""
    throttles = {
        name: replace(t, opens=cast("Any", -t.opens)) if name in names else t
        for name, t in layout.throttles.items()
    }
    pedal = layout.pedal
    if "pedal" in names:
        pedal = replace(pedal, presses=cast("Any", -pedal.presses))
    hand = layout.hand
    if hand is not None and HAND in names:
        hand = replace(hand, pulls=cast("Any", -hand.pulls))
    if not names:
        return layout
    return replace(layout, throttles=throttles, pedal=pedal, hand=hand)


def tried(
    layout: Layout,
    slips: Sequence[Hypothesis],
    needs: tuple[Need, ...],
    *,
    closely: bool = False,
) -> Iterator[Tried]:
    """Judge slips, and yield those after which all moves as it should.

    Parameters
    ----------
    layout : Layout
        As it is written.
    slips : sequence of Hypothesis
        What may have been done.
    needs : tuple of str
        Rules that need one of these are judged.
    closely : bool
        As for a verdict; else coarsely, as in a search.
    """
    grain = WHOLE if closely else COARSE
    groups: dict[Any, list[Hypothesis]] = {}
    for slip in slips:
        groups.setdefault((slip.turned, *_remade(slip)), []).append(slip)
    for (turned, *remade), group in groups.items():
        base = applied(_turned(layout, turned), dict(remade))
        step = min(BLOCK, room(base, grain))
        for begin in range(0, len(group), step):
            yield from _block(base, group[begin : begin + step], needs, grain)


def _block(
    base: Layout, slips: list[Hypothesis], needs: tuple[Need, ...], grain: Grain
) -> Iterator[Tried]:
    """Judge by the rules of motion first, and by all of them what those leave."""
    many = _rows(base, slips)
    try:
        x = examine(many, grain)
        seen = judge(x, ("motion",), refusing=True)
        good = np.flatnonzero(np.broadcast_to(seen.verdicts < BAD, len(slips)))
        if not good.size:
            return
        if rows_of(many) > 1 and 2 * good.size < len(slips):
            slips = [slips[i] for i in good]
            x, good = examine(take(many, good), grain), np.arange(len(slips))
        judged = judge(x, needs)
    except LinkageError:  # all are in pieces, or have a spring that cannot be
        return
    x.forget()
    for k in good.tolist():
        yield _one(slips[k], judged, k)


def _one(slip: Hypothesis, judged: Judged, k: int) -> Tried:
    k = min(k, judged.rows - 1)
    alone = Standing(judged, NOTHING)
    bad = [p[0] for p, ranks in judged.ranks.items() if ranks[k] == BAD]
    if alone.failing[k] and not bad:
        bad = [code for code, rows in judged.mute.items() if rows[k]] or ["hidden"]
    return Tried(
        slip=slip,
        lengths={
            loop.link.rod.name: float(
                np.broadcast_to(np.ravel(loop.length), judged.rows)[k]
            )
            for loop in judged.x.assembly.loops
        },
        bad=tuple(dict.fromkeys(bad)),
        looks=int(judged.count(LOOK)[k]),
    )


def _rows(base: Layout, slips: Sequence[Hypothesis]) -> Layout:
    """Return slips of one base as a batch, one a row."""
    each = [_numbers(slip) for slip in slips]
    columns: dict[Path, Any] = {}
    for path in dict.fromkeys(p for sets in each for p in sets):
        old = float(read(base, path))
        values = [float(cast("float", sets.get(path, old))) for sets in each]
        columns[path] = np.array(values)[:, None]
    many = applied(base, columns)
    return row(many, 0) if columns and len(slips) == 1 else many


def _remade(slip: Hypothesis) -> tuple[tuple[Path, object], ...]:
    """Return the whole parts that a slip sets: of another make-up, no row of others."""
    return tuple((path, v) for path, v in slip.sets.items() if isinstance(v, _WHOLE))


def _numbers(slip: Hypothesis) -> dict[Path, object]:
    """Return what a slip sets as numbers: an axis as the vectors of its viewer."""
    out: dict[Path, object] = {}
    for path, value in slip.sets.items():
        if path[-1] == "axis":
            axis = cast("Axis", value)
            for basis in ("u", "v", "n"):
                vector = getattr(axis, basis)
                out |= {(*path, basis, i): vector[i] for i in range(3)}
        elif not isinstance(value, _WHOLE):
            out[path] = value
    return out
