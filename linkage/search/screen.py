"""A coarse look at many candidates: which of them can do at all.

A few positions over the pedal's travel tell for most candidates that they jam,
turn the wrong way, fall far short or come near to dead centre. What is seen at
one position is so in the whole travel too, so that nothing good is left out; what
is kept is judged by every rule.

Not here: the rules (`rules`), blocks of candidates (`search.engine`).
"""

from __future__ import annotations

from enum import IntEnum
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import spread
from linkage.model.rows import rows_of
from linkage.motion import assemble, frame, sweep
from linkage.rules.rule import BAD

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.motion import Motion
    from linkage.rules.engine import Place

    FloatArray = NDArray[np.float64]
    BoolArray = NDArray[np.bool_]

#: Positions over the pedal's travel.
POSITIONS: Final = 25
#: Share of the swing that is given to a coarse look, and from which on the full stop
#: may be met before a jam that is seen beyond it. [1]
HAND: Final = 0.005
NEARLY: Final = 0.6
#: Rules that ask for a look where nothing worse is wrong.
LOOKS: Final = frozenset({"arm-rod-angle look", "full-then-idle look"})


def _rows(values: object, rows: int) -> BoolArray:
    return np.broadcast_to(np.asarray(values), (rows, 1))[:, 0].astype(bool)


def faults(layout: Layout, rows: int) -> Iterator[tuple[str, BoolArray]]:
    """Yield the code of a rule and the rows that are sure to break it.

    Parameters
    ----------
    layout : Layout
        One or many; the pedal is taken to the floor, as its stop is set last.
    rows : int
        How many.
    """
    assembly = assemble(layout)
    motion = sweep(assembly, spread(0.0, layout.pedal.travel, POSITIONS))
    yield "assembly", ~_rows(assembly.ok, rows)
    with np.errstate(invalid="ignore"):
        yield from _faults(motion, layout, rows)


def _faults(
    motion: Motion, layout: Layout, rows: int
) -> Iterator[tuple[str, BoolArray]]:
    main = layout.main
    share = np.broadcast_to(motion.opening(main.name) / main.swing, (rows, POSITIONS))
    known = np.nan_to_num(share, nan=-np.inf)
    first = known[:, :1]
    yield "opening-sense", ~(known[:, 1] > first[:, 0])
    # What counts is the way to the full stop; beyond it nothing moves.
    before = np.logical_and.accumulate(known < 1 + HAND, axis=1)
    reached = known.max(axis=1)
    asked = np.ravel(layout.limits.full_throttle) - HAND
    short = ~(reached >= asked)
    yield "full-throttle", short & ~(np.isnan(share).any(axis=1) & (reached > NEARLY))
    # Near a jam the plate hurries: from far enough open the stop may come first.
    yield "reach", np.any(before & ~np.isfinite(share), axis=1) & ~(reached > NEARLY)
    yield "full-then-idle look", ~(reached >= 1) & ~np.isnan(share).any(axis=1)
    near, close = (np.zeros(rows, dtype=bool) for _ in range(2))
    table, limits = frame(motion), layout.limits
    for link in layout.links:
        line = table.rod(link.rod.name)
        for side in (line.driver_side, line.driven_side):
            least = np.min(np.where(before, np.abs(side), 1.0), axis=1)
            near |= least < np.ravel(np.sin(limits.arm_rod_refuse))
            close |= least < np.ravel(np.sin(limits.arm_rod_look))
    yield "arm-rod-angle", near
    yield "arm-rod-angle look", close


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


def hopes(
    layout: Layout,
    before: Mapping[Place, int],
    targets: Sequence[Place],
    allowed: frozenset[str],
) -> NDArray[np.int_]:
    """Tell what may be hoped of each row.

    Parameters
    ----------
    layout : Layout
        Candidates as rows.
    before : mapping of Place to int
        Ranks of the layout as it is: what it breaks already may stay broken, but
        for the targets.
    targets : sequence of Place
        Findings to be mended.
    allowed : frozenset of str
        Codes of faults that a first step of several may bring with it.

    Returns
    -------
    ndarray of int, shape (rows,)
        Of `Hope`.
    """
    rows = rows_of(layout)
    was = {place[0] for place, rank in before.items() if rank == BAD}
    was |= {f"{place[0]} look" for place, rank in before.items() if rank}
    now = dict(faults(layout, rows))
    able = np.zeros(rows, dtype=bool)
    for code in {place[0] for place in targets}:
        able |= ~now[code] if code in now else True
    hope = np.where(able, Hope.CLEAN, Hope.NONE)
    for code, bad in now.items():
        if code not in was:
            mild = Hope.FIRST if code in allowed else Hope.NONE
            least = Hope.FAIR if code in LOOKS else mild
            hope = np.where(bad, np.maximum(hope, least), hope)
    return hope
