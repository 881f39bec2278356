"""What to read on a vehicle, and what its file predicts for each.

Not here: readings that were made (`model.readings`), the words (`report.proof_blank`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.measured import refuse_unsure
from linkage.model.readings import Reading, to_read
from linkage.model.refs import Ref
from linkage.proof.predicted import Predicted
from linkage.proof.said import said_of
from linkage.proof.unknowns import unknowns
from linkage.quantities import spoken_unit
from linkage.records import dataclass
from linkage.rules.examine import COARSE, examine

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout

#: Steps to which pad travels are rounded at which something is to be read, in the unit
#: that is spoken.
STEPS: Final = {"mm": 5.0, "cm": 0.5, "m": 0.005, "in": 0.25, "ft": 0.02}
#: Shares of the working travel at which a throttle is to be read.
SHARES: Final = (0.0, 0.25, 0.5, 0.75)


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """One thing to read.

    Parameters
    ----------
    reading : Reading
        What, and at which pad travel; its value is what is predicted.
    sure : float
        Nine of ten vehicles lie within so much of it. [as read]
    rubs : float
        Of a pull: friction that is reckoned with; nan of others. [N]
    """

    reading: Reading
    sure: float
    rubs: float


def blanks(layout: Layout) -> tuple[Blank, ...]:
    """Return what to read on a vehicle, with what is predicted.

    Parameters
    ----------
    layout : Layout
        As measured; one with a pedal.

    Returns
    -------
    tuple of Blank
        Pad travel at full, throttles, levers between them, rods, and pulls.

    Raises
    ------
    AssemblyError
        If the parts cannot be put together.
    UsageError
        If it is not known what measuring errors do to it.
    """
    refuse_unsure(layout, "prove")
    x = examine(layout, COARSE)
    full = bool(x.working.is_stopped_by("full stop", layout.main.name))
    asked = list(_asked(layout, float(x.working.end), full=full))
    predicted = Predicted(layout, unknowns(layout), asked)
    said, sure = said_of(predicted)
    rubs = predicted.rubs(np.zeros(len(predicted.some)))
    return tuple(
        Blank(reading=_valued(r, float(v)), sure=float(s), rubs=float(f))
        for r, v, s, f in zip(asked, said, sure, rubs, strict=True)
        if np.isfinite(v)
    )


def _valued(r: Reading, value: float) -> Reading:
    return replace(r, value=value, pad=value if r.what == "full" else r.pad)


def _asked(layout: Layout, end: float, *, full: bool) -> Iterator[Reading]:
    if full:
        yield to_read("full", Ref("throttle", layout.main.name), end, end)
    unit = spoken_unit("length")
    step = STEPS[unit.unit]
    places = (share * end / unit.factor for share in SHARES)
    pads = [*dict.fromkeys(round(p / step) * step * unit.factor for p in places)]
    for name, throttle in layout.throttles.items():
        for pad in pads:
            # So that it is held against its idle stop at rest, and else against none.
            near = float(throttle.swing) / 2 if pad else 0.0
            yield to_read("throttle", Ref("throttle", name), near, pad)
    yield from _between(layout, max(pads))
    for name, rod in layout.rods.items():
        if rod.kind == "rod":
            yield to_read("rod", Ref("rod", name), 1.0)
    yield from _pulls(layout, max(pads))


def _between(layout: Layout, far: float) -> Iterator[Reading]:
    """Yield the levers between pedal and throttles, with the pedal up and far down."""
    spindles = {t.shaft for t in layout.throttles.values()}
    for hole in (link.driven for link in layout.links):
        if hole.shaft not in spindles:
            angle = float(layout.shafts[hole.shaft].arms[hole.arm].angle)
            for pad in (0.0, far):
                yield to_read("lever", Ref("arm", hole.shaft, hole.arm), angle, pad)


def _pulls(layout: Layout, far: float) -> Iterator[Reading]:
    if not layout.springs:
        return
    for throttle in layout.throttles.values():
        hole = layout.path_to(throttle.shaft)[-1].driven
        for pad in (0.0, far):
            yield to_read("pull", Ref("arm", hole.shaft, hole.arm), 1.0, pad)
