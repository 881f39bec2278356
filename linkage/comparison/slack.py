"""From where rods drive that lose motion, in the old linkage and in the new one.

Not here: pull and push (`comparison.senses`), what they lose at rest (`search.at_rest`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.refs import Ref
from linkage.motion import frame, sweep
from linkage.records import dataclass
from linkage.swap.reverses import lets_go

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

#: Positions at which a rod is looked at, and again between two of them.
SAMPLES: Final = 201


@dataclass(frozen=True, slots=True, kw_only=True)
class Drives:
    """From where a rod drives.

    Parameters
    ----------
    about : Ref
        The rod.
    old, new : float, optional
        Pad travel from which it drives; 0 where it does at once, None where it never
        does up to the pedal's end. [m]
    """

    about: Ref
    old: float | None
    new: float | None


def slack_ways(old: Examined, new: Examined) -> Iterator[Drives]:
    """Yield from where each rod drives that loses motion in either, in driving order."""
    for link in new.layout.links:
        name = link.rod.name
        if name not in old.layout.rods:
            continue
        if link.rod.loose or old.layout.rods[name].loose:
            one, two = drives_from(old, name), drives_from(new, name)
            yield Drives(about=Ref("rod", name), old=one, new=two)


def drives_from(x: Examined, rod: str) -> float | None:
    """Return the pad travel from which a rod drives.

    Parameters
    ----------
    x : Examined
        One layout.
    rod : str
        The rod.

    Returns
    -------
    float or None
        0 where it drives at once; None where it never does up to the pedal's end. [m]
    """
    if lets_go(x, rod):
        return None
    low, high = 0.0, float(x.working.end)
    for _ in range(2):
        travel = np.linspace(low, high, SAMPLES)
        slack = frame(sweep(x.assembly, travel)).slack.get(rod)
        if slack is None or not slack[0]:
            return low
        if slack.all():
            return None
        at = int(np.argmin(slack))
        low, high = float(travel[at - 1]), float(travel[at])
    return high
