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
from linkage.rules.order import AT_REST
from linkage.rules.room import room
from linkage.rules.rule import BAD, LOOK
from linkage.search.sieve import in_steps
from linkage.search.standing import NOTHING, Standing
from linkage.search.work import MOTION, shares
from linkage.slips.wholes import HAND

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.model import Axis, Layout
    from linkage.model.paths import Path
    from linkage.rules.examine import Examined, Grain
    from linkage.rules.judged import Judged
    from linkage.rules.rule import Need
    from linkage.search.work import Work
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """What is asked of slips.

    Parameters
    ----------
    needs : tuple of str
        Rules that need one of these are judged.
    bars : callable
        Tells of the code of a rule whether a slip explains nothing that leaves that
        broken: those that do so at rest are not asked of the moved engine.
    work : Work
        What judging them may take, likelier ones first.
    kept : float
        What of it is not to be spent on them.
    """

    needs: tuple[Need, ...]
    bars: Callable[[str], bool]
    work: Work
    kept: float = 0.0


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
    asked: Asked,
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
    asked : Asked
        What is asked of them.
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
            yield from _block(base, group[begin : begin + step], asked, grain)


def _block(
    base: Layout, slips: list[Hypothesis], asked: Asked, grain: Grain
) -> Iterator[Tried]:
    """Judge by the rules of motion first, and by all of them what those leave."""
    needs, work = asked.needs, asked.work
    _, every = shares(needs)
    slips = slips[: work.afford(base, len(slips), grain, kept=asked.kept, share=MOTION)]
    if not slips:
        return
    work.spend(base, len(slips), grain, share=MOTION)
    many = _rows(base, slips)
    try:
        x = examine(many, grain)
        seen = judge(x, ("motion",), refusing=True)
        good = np.flatnonzero(np.broadcast_to(seen.verdicts < BAD, len(slips)))
        if not good.size:
            return
        if rows_of(many) > 1 and 2 * good.size < len(slips):
            slips = [slips[i] for i in good]
            many = take(many, good)
            x, good = examine(many, grain), np.arange(len(slips))
        good = good[: work.afford(base, good.size, grain, kept=asked.kept, share=every)]
        at_rest = _left_at_rest(x, good, len(slips), asked)
        if rows_of(many) > 1 and 0 < 2 * at_rest.size < len(slips):
            slips = [slips[i] for i in at_rest]
            x, at_rest = examine(take(many, at_rest), grain), np.arange(len(slips))
        if not (good := at_rest).size:
            return
        work.spend(base, good.size, grain, share=every)
        judged = judge(x, needs)
    except LinkageError:  # all are in pieces, or have a spring that cannot be
        return
    x.forget()
    for k in good.tolist():
        yield _one(slips[k], judged, k)


def _left_at_rest(
    x: Examined, good: NDArray[np.intp], count: int, asked: Asked
) -> NDArray[np.intp]:
    """Return which of some rows the rules at rest leave, where more is asked of them."""
    if not good.size or not in_steps(x.layout, asked.needs):
        return good
    at_rest, _ = shares(asked.needs)
    asked.work.spend(x.layout, good.size, x.grain, share=at_rest)
    found = judge(x, asked.needs, rules=AT_REST, refusing=True)
    return good[~np.broadcast_to(_barred(found, asked.bars), count)[good]]


def _barred(judged: Judged, bars: Callable[[str], bool]) -> NDArray[np.bool_]:
    """Tell in which rows a rule is broken that bars them."""
    out = np.zeros(judged.rows, dtype=bool)
    for place, ranks in judged.ranks.items():
        if bars(place[0]):
            out |= ranks == BAD
    return out


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
