"""From where rods drive that lose motion, in the old linkage and in the new one.

Not here: from where one rod drives (`rules.slack`), pull and push (`comparison.senses`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.connect import LostMotion
from linkage.model.refs import Ref
from linkage.records import dataclass
from linkage.rules import slack

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

#: Pad travel up to which a rod drives at once. [m]
AT_ONCE: Final = 1e-6


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
        if name not in old.layout.rods or waits(old, name) or waits(new, name):
            continue
        if link.rod.loose or old.layout.rods[name].loose:
            one, two = drives_from(old, name), drives_from(new, name)
            yield Drives(about=Ref("rod", name), old=one, new=two)


def waits(x: Examined, rod: str) -> bool:
    """Tell whether a rod leads to a hand lever, which the pedal does not drive."""
    return x.assembly.loop(rod).link.own is not None


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
    loop = x.assembly.loop(rod)
    if not isinstance(loop, LostMotion):
        return 0.0
    place = float(slack.drives_from(x, loop))
    return None if math.isnan(place) else place if place > AT_ONCE else 0.0
