"""A coarse look at many candidates: which of them can do at all.

A few positions over the pedal's travel tell for most candidates that they jam,
turn the wrong way, fall far short or come near to dead centre. What is seen at
one position is so in the whole travel too, so that nothing good is left out; what
is kept is judged by every rule.

Not here: the rules (`rules`), blocks of candidates (`search.engine`).
"""

from __future__ import annotations

from collections import Counter
from enum import IntEnum
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from linkage.model.columns import some_rows, spread
from linkage.model.rows import rows_of, take
from linkage.motion import assemble
from linkage.motion.blocks import blocks
from linkage.motion.chain import Chain
from linkage.rules.rule import BAD
from linkage.search.standing import NEVER

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.columns import Number
    from linkage.rules.judged import Place
    from linkage.search.standing import Before

    FloatArray = NDArray[np.float64]
    #: Shafts with a stop, and the turn at which each is met, a float or a column. [rad]
    Stops = Sequence[tuple[str, Number]]
    BoolArray = NDArray[np.bool_]

#: Positions over the pedal's travel, and between the two where the full stop is met.
POSITIONS: Final = 25
CLOSER: Final = 9
#: Entries that putting a row together takes, for the size of blocks.
ROW: Final = 4
#: Share of the swing that is given to a coarse look, and from which on the full stop
#: may be met before a jam that is seen beyond it. [1]
HAND: Final = 0.003
NEARLY: Final = 0.85
#: Share of the swing within which the plate has not moved. [1]
STILL: Final = 1e-9
#: Rules that ask for a look where nothing worse is wrong.
LOOKS: Final = frozenset(
    {
        *("arm-rod-angle look", "full-then-idle look"),
        "governor-arm-rod-angle look",
    }
)
#: What the same is called of a governor; of a rod set at full nothing is asked there.
GOVERNORS: Final[dict[str, str]] = {
    "assembly": "assembly",
    "opening-sense": "governor-sense",
    "reach": "governor-reach",
    "full-throttle": "governor-shuts",
    "arm-rod-angle": "governor-arm-rod-angle",
    "arm-rod-angle look": "governor-arm-rod-angle look",
}


class _Seen(NamedTuple):
    """Some positions of every row, shape (rows, n); nan where a rod does not reach."""

    #: Opening of the main throttle as a share of its swing.
    share: FloatArray
    #: Index of the first position beyond the full stop or a jam; n where none is.
    end: NDArray[np.intp]
    #: The greatest share and the least sine before it.
    reached: FloatArray
    least: FloatArray


def _seen(
    chain: Chain, shaft: str, opens: Number, stops: Stops, travel: FloatArray
) -> _Seen:
    """Solve a chain; ``opens`` is the share of the swing that a radian opens.

    Rows lie next to each other in memory: then NumPy runs over them, many, and not
    over the few positions of each.
    """
    travel = np.asfortranarray(travel)
    solved = chain.solve(travel, levers=True)
    share = np.broadcast_to(solved.turn(shaft) * opens, travel.shape)
    beyond = ~(share < 1)
    for stopped, turn in stops:
        sense = np.where(turn >= 0, 1.0, -1.0)
        beyond = beyond | (sense * (solved.turn(stopped) - turn) >= 0)
    over = np.logical_or.accumulate(beyond, axis=1)
    end = over.shape[1] - np.count_nonzero(over, axis=1)
    sine: FloatArray | None = None
    for loop in chain.loops:
        for lever in solved.levers(loop.link.rod.name):
            here = np.abs(lever)
            sine = here if sine is None else np.minimum(sine, here, out=here)
    sine = np.broadcast_to(np.inf if sine is None else sine, travel.shape)
    reached = np.where(over, -1.0, share).max(axis=1)
    least = np.where(over, 1.0, sine).min(axis=1)
    return _Seen(share, end, reached, least)


def screened(layout: Layout, positions: int = POSITIONS) -> dict[str, BoolArray]:
    """Return by the code of a rule the rows that are sure to break it.

    Parameters
    ----------
    layout : Layout
        One or many; the pedal is taken to the floor, as its stop is set last. Any
        number of rows: they go through in blocks.
    positions : int
        Over the pedal's travel; `CLOSER` come to them where the full stop is met.

    Returns
    -------
    dict of str to ndarray of bool, shape (rows,)
    """
    rows = rows_of(layout)
    out: dict[str, BoolArray] = {}
    for part in blocks(rows, ROW):
        some = take(layout, part)
        assembly = assemble(some)
        chain, count = Chain.of(assembly), part.stop - part.start
        for inner in blocks(count, positions + CLOSER):
            here = slice(part.start + inner.start, part.start + inner.stop)
            for code, broken in _block(chain, some, inner, positions):
                out.setdefault(code, np.empty(rows, dtype=bool))[here] = broken
        out.setdefault("assembly", np.empty(rows, dtype=bool))[part] = ~np.ravel(
            assembly.ok
        )
    return out


def _block(
    chain: Chain, layout: Layout, part: slice, positions: int
) -> Iterator[tuple[str, BoolArray]]:
    """Look at some rows of an assembled layout."""
    rows, chain = part.stop - part.start, chain.take(part)
    limits, main = layout.limits, layout.main
    gap = limits.idle_gap / main.swing
    bounds = (limits.full_throttle, gap, limits.arm_rod_refuse, limits.arm_rod_look)
    floor, opens, *asked = (
        some_rows(number, part)
        for number in (layout.pedal.travel, main.opens / main.swing, *bounds)
    )
    floor = np.broadcast_to(floor, (rows, 1))
    stops = [(s.shaft, some_rows(s.turn, part)) for s in layout.stops.values()]
    with np.errstate(invalid="ignore"):
        travel = spread(np.zeros((rows, 1)), floor, positions)
        wide = _seen(chain, main.shaft, opens, stops, travel)
        last = np.minimum(wide.end, positions - 1)[:, None]
        low, high = (np.take_along_axis(travel, last - k, axis=1) for k in (1, 0))
        near = _seen(chain, main.shaft, opens, stops, spread(low, high, CLOSER))
        yield from _faults(wide, near, *map(np.ravel, asked))


def _faults(
    wide: _Seen,
    near: _Seen,
    full_at: FloatArray,
    gap: FloatArray,
    refuse: FloatArray,
    look: FloatArray,
) -> Iterator[tuple[str, BoolArray]]:
    # The plate stays where it is until the pedal's free play is taken up.
    off = wide.share - wide.share[:, :1]
    first = (~(np.abs(off) < STILL)).argmax(axis=1)[:, None]
    moved = np.take_along_axis(off, first, axis=1)[:, 0]
    yield "opening-sense", ~(moved > 0)
    reached = np.maximum(wide.reached, near.reached)
    last = np.minimum(near.end, near.share.shape[1] - 1)[:, None]
    at_end = np.take_along_axis(near.share, last, axis=1)[:, 0]
    full, jammed = at_end >= 1, ~np.isfinite(at_end)
    # Near a jam the plate hurries: from far enough open the stop may come first.
    yield "reach", jammed & ~(reached > NEARLY)
    short = ~full & ~(jammed & (reached > NEARLY))
    yield "full-throttle", short & ~(reached >= full_at - HAND)
    # So far from full that a rod set at full holds the plate off its idle stop; a plate
    # that is not full enough has that told, and nothing of its setting.
    enough = reached >= full_at - HAND
    yield "full-then-idle look", short & enough & (1 - HAND - reached > gap)
    least = np.minimum(wide.least, near.least)
    yield "arm-rod-angle", least < np.sin(refuse)
    yield "arm-rod-angle look", least < np.sin(look)


class Hope(IntEnum):
    """What may be hoped of a candidate."""

    #: That it mends and nothing is worse.
    CLEAN = 0
    #: That it mends one of several parts, or asks for a look at arms that come nearer
    #: to their rods.
    FAIR = 1
    #: That it mends, and another step mends what it brings with it.
    FIRST = 2
    #: Nothing.
    NONE = 3


class Screen:
    """A coarse look at candidates.

    Parameters
    ----------
    layout : Layout
        Candidates as rows.
    """

    def __init__(self, layout: Layout) -> None:
        self.rows = rows_of(layout)
        seen = screened(layout)
        self.now = (
            {GOVERNORS[code]: bad for code, bad in seen.items() if code in GOVERNORS}
            if layout.governed
            else seen
        )

    def hopes(
        self,
        before: Before,
        targets: Sequence[Place],
        allowed: frozenset[str],
    ) -> NDArray[np.int_]:
        """Tell what may be hoped of each row.

        Parameters
        ----------
        before : Before
            The layout as it is: what it breaks already may stay broken, but for the
            targets; what could not be judged may be broken, but for what no change
            may bring with it.
        targets : sequence of Place
            Findings of which one at least is to be mended.
        allowed : frozenset of str
            Codes of faults that a first step of several may bring with it.

        Returns
        -------
        ndarray of int, shape (rows,)
            Of `Hope`.
        """
        told = before.told.items()
        was = {place[0] for place, rank in told if rank == BAD}
        was |= {f"{place[0]} look" for place, rank in told if rank}
        bad_parts = Counter(place[0] for place, rank in told if rank == BAD)
        hope = np.full(self.rows, Hope.NONE)
        for code in {place[0] for place in targets}:
            able = ~self.now[code] if code in self.now else np.array([True])
            # Of several parts that break a rule one may be mended and others not.
            else_ = Hope.FAIR if bad_parts[code] > 1 else Hope.NONE
            hope = np.minimum(hope, np.where(able, Hope.CLEAN, else_))
        for code, bad in self.now.items():
            if code not in was:
                mild = Hope.FIRST if code in allowed else Hope.NONE
                fair = code in LOOKS or code in before.failing - NEVER
                least = Hope.FAIR if fair else mild
                hope = np.where(bad, np.maximum(hope, least), hope)
        return hope
