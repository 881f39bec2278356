"""What was read on the vehicle that is wrong by itself, whatever the file says.

Not here: whether it agrees with the file (`proof.proved`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout
    from linkage.model.readings import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Danger:
    """A reading that nobody should drive with.

    Parameters
    ----------
    kind : {"open", "friction"}
        A throttle that does not rest on its idle stop with the pedal up; a spring that
        shuts with too little over the friction.
    reading : Reading
        What was read.
    value : float
        How far it stands open [rad], or how many times the friction shuts it.
    limit : float
        What is asked: within its error, or so many times.
    """

    kind: Literal["open", "friction"]
    reading: Reading
    value: float
    limit: float


def dangers(layout: Layout, readings: tuple[Reading, ...]) -> Iterator[Danger]:
    """Yield what was read that must be mended before anybody drives.

    Parameters
    ----------
    layout : Layout
        Whose limits count.
    readings : tuple of Reading
        What was read.
    """
    for r in readings:
        if r.what == "throttle" and not r.pad and r.value > r.error:
            yield Danger(kind="open", reading=r, value=r.value, limit=r.error)
        asked = float(layout.limits.closing_ratio)
        if r.what == "pull" and r.value < asked * r.rubs:
            times = r.value / r.rubs
            yield Danger(kind="friction", reading=r, value=times, limit=asked)
