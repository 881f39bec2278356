"""A coarse look at many candidates: which of them can do at all.

A few positions over the pedal's travel tell for most candidates that they jam,
turn the wrong way, fall far short or come near to dead centre. What is seen at
one position is so in the whole travel too, so that nothing good is left out; what
is kept is judged by every rule.

Not here: the rules (`rules`), blocks of candidates (`search.engine`).
"""

from __future__ import annotations

from enum import IntEnum
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from linkage.model.columns import spread
from linkage.model.rows import rows_of
from linkage.motion import assemble
from linkage.motion.chain import Chain
from linkage.rules.rule import BAD

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.rules.engine import Place

    FloatArray = NDArray[np.float64]
    BoolArray = NDArray[np.bool_]

#: Positions over the pedal's travel, and between the two where the full stop is met.
POSITIONS: Final = 25
CLOSER: Final = 9
#: Share of the swing that is given to a coarse look, and from which on the full stop
#: may be met before a jam that is seen beyond it. [1]
HAND: Final = 0.003
NEARLY: Final = 0.85
#: Rules that ask for a look where nothing worse is wrong.
LOOKS: Final = frozenset({"arm-rod-angle look", "full-then-idle look"})


class _Seen(NamedTuple):
    """Some positions of every row, shape (rows, n); nan where a rod does not reach."""

    travel: FloatArray
    #: Opening of the main throttle as a share of its swing.
    share: FloatArray
    #: Least sine of any arm-rod angle.
    sine: FloatArray

    @property
    def end(self) -> NDArray[np.intp]:
        """Index of the first position beyond the full stop or a jam; n where none is."""
        over = ~(self.share < 1)
        return np.where(over.any(axis=1), over.argmax(axis=1), over.shape[1])

    def before(self, values: FloatArray, none: float) -> FloatArray:
        """Return values, but for those at and beyond the end."""
        beyond = np.arange(values.shape[1]) >= self.end[:, None]
        return np.where(beyond, none, values)


def _seen(chain: Chain, layout: Layout, travel: FloatArray) -> _Seen:
    main = layout.main
    solved = chain.solve(travel)
    share = solved.turn(main.shaft) * (main.opens / main.swing)
    sine = np.full(travel.shape, np.inf)
    for loop in chain.loops:
        for lever in solved.levers(loop.link.rod.name):
            sine = np.minimum(sine, np.abs(lever))
    return _Seen(travel, np.broadcast_to(share, travel.shape), sine)


def faults(layout: Layout) -> Iterator[tuple[str, BoolArray]]:
    """Yield the code of a rule and the rows that are sure to break it.

    Parameters
    ----------
    layout : Layout
        One or many; the pedal is taken to the floor, as its stop is set last.
    """
    rows = rows_of(layout)
    assembly = assemble(layout)
    chain = Chain.of(assembly)
    floor = np.broadcast_to(layout.pedal.travel, (rows, 1))
    with np.errstate(invalid="ignore"):
        wide = _seen(chain, layout, spread(np.zeros((rows, 1)), floor, POSITIONS))
        last = np.minimum(wide.end, POSITIONS - 1)[:, None]
        low, high = (np.take_along_axis(wide.travel, last - k, axis=1) for k in (1, 0))
        near = _seen(chain, layout, spread(low, high, CLOSER))
        yield "assembly", np.broadcast_to(~np.ravel(assembly.ok), rows)
        yield from _faults(wide, near, layout)


def _faults(
    wide: _Seen, near: _Seen, layout: Layout
) -> Iterator[tuple[str, BoolArray]]:
    limits = layout.limits
    yield "opening-sense", ~(wide.share[:, 1] > wide.share[:, 0])
    reached = np.maximum(*(s.before(s.share, -1.0).max(axis=1) for s in (wide, near)))
    full = (near.share >= 1).any(axis=1)
    jammed = (wide.end < POSITIONS) & ~full
    # Near a jam the plate hurries: from far enough open the stop may come first.
    yield "reach", jammed & ~(reached > NEARLY)
    short = ~full & ~(jammed & (reached > NEARLY))
    yield "full-throttle", short & ~(reached >= np.ravel(limits.full_throttle) - HAND)
    yield "full-then-idle look", short
    least = np.minimum(*(s.before(s.sine, 1.0).min(axis=1) for s in (wide, near)))
    yield "arm-rod-angle", least < np.ravel(np.sin(limits.arm_rod_refuse))
    yield "arm-rod-angle look", least < np.ravel(np.sin(limits.arm_rod_look))


class Hope(IntEnum):
    """What may be hoped of a candidate."""

    #: That it mends and nothing is worse.
    CLEAN = 0
    #: That it mends, and asks for a look at arms that come nearer to their rods.
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
        self.now = dict(faults(layout))

    def hopes(
        self,
        before: Mapping[Place, int],
        targets: Sequence[Place],
        allowed: frozenset[str],
    ) -> NDArray[np.int_]:
        """Tell what may be hoped of each row.

        Parameters
        ----------
        before : mapping of Place to int
            Ranks of the layout as it is: what it breaks already may stay broken,
            but for the targets.
        targets : sequence of Place
            Findings of which one at least is to be mended.
        allowed : frozenset of str
            Codes of faults that a first step of several may bring with it.

        Returns
        -------
        ndarray of int, shape (rows,)
            Of `Hope`.
        """
        was = {place[0] for place, rank in before.items() if rank == BAD}
        was |= {f"{place[0]} look" for place, rank in before.items() if rank}
        able = np.zeros(self.rows, dtype=bool)
        for code in {place[0] for place in targets}:
            able |= ~self.now[code] if code in self.now else True
        hope = np.where(able, Hope.CLEAN, Hope.NONE)
        for code, bad in self.now.items():
            if code not in was:
                mild = Hope.FIRST if code in allowed else Hope.NONE
                least = Hope.FAIR if code in LOOKS else mild
                hope = np.where(bad, np.maximum(hope, least), hope)
        return hope
