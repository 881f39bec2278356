"""What is not known of a vehicle: its measured numbers, and how well each rod is set.

Not here: how far a number may be off (`model.measured`), what follows from them
(`proof.predicted`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.band.setting import TURN
from linkage.model.measured import Measured, measured
from linkage.model.refs import Ref
from linkage.motion import assemble
from linkage.rules.corners import off_by

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model import Layout, Rod

    FloatArray = NDArray[np.float64]

#: How well a rod is set on the vehicle: half a turn of its thread, common practice, no
#: source. [m]
SET_TO: Final = TURN / 2
#: The word under which it is told with what a rod was set.
THREAD: Final = "thread"


def unknowns(layout: Layout) -> tuple[Measured, ...]:
    """Return what may be off of a vehicle that was made after a layout.

    Parameters
    ----------
    layout : Layout
        One.

    Returns
    -------
    tuple of Measured
        The measured numbers, and then the setting of every rod that is set on the
        vehicle: its path ends in ``length``, and it stands for how much longer the rod
        is than one with which all rests where it was measured.
    """
    some = measured(layout)
    known = {m.path[1] for m in some if m.path[0] == "rods" and m.path[2] == "length"}
    return (
        *some,
        *(
            _setting(rod)
            for name, rod in layout.rods.items()
            if rod.kind == "rod" and name not in known
        ),
    )


def _setting(rod: Rod) -> Measured:
    return Measured(
        path=("rods", rod.name, "length"),
        about=Ref("rod", rod.name),
        what="setting",
        kind="length",
        error=SET_TO,
        by=THREAD,
    )


def is_setting(m: Measured) -> bool:
    """Tell whether it is how a rod is set, and no number of the layout."""
    return m.by == THREAD


def vehicles(layout: Layout, some: tuple[Measured, ...], off: FloatArray) -> Layout:
    """Return the vehicles that a layout is with its unknowns off.

    Parameters
    ----------
    layout : Layout
        As measured; one.
    some : tuple of Measured
        From `unknowns`.
    off : ndarray, shape (rows, unknowns)
        By how much each is off. [SI]

    Returns
    -------
    Layout
        Rows. Each is set as on the vehicle; rods are then as much longer as their
        setting is off.
    """
    count = sum(not is_setting(m) for m in some)
    made = off_by(layout, some[:count], off[:, :count])
    if not off[:, count:].any():
        return made
    cut = assemble(made)
    rods = {}
    for i, m in enumerate(some[count:], start=count):
        if off[:, i].any():
            name = m.path[1]
            length = np.reshape(cut.loop(name).length, (-1, 1)) + off[:, i : i + 1]
            rods[name] = replace(made.rods[name], length=length)
    return replace(made, rods={**made.rods, **rods})
