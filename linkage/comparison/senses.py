"""Which way the same part of two layouts turns, pulls or acts: two senses side by side.

A sense is told for the new layout's viewer, so that the same turn has one word even
where the old one was measured from the other side. Whether a shaft really turns the
other way is told in the vehicle, whatever its viewer.

Not here: at which part the sense turns round (`comparison.turned`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.comparison.slack import waits
from linkage.model.refs import Ref
from linkage.records import dataclass
from linkage.rules.pedal_springs import SPRING_PEDAL
from linkage.rules.senses import opens
from linkage.swap.reverses import lets_go, pulls, way_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from linkage.model import Layout, Shaft, Vector
    from linkage.rules.examine import Examined

#: Cosine between two shafts under which the one does not lie as the other does.
ALONG: Final = 0.7

#: By name: what becomes of the turn about x, y and z where a whole layout is the
#: mirror image of another, or stands the other way round. A turn is an axial vector.
MIRRORS: Final[Mapping[str, tuple[int, int, int]]] = {
    "": (1, 1, 1),
    "left for right": (-1, 1, -1),
    "front for back": (1, -1, -1),
    "half a turn": (-1, -1, 1),
}
#: The same of a direction, as of the way of a slide: a polar vector.
REFLECTS: Final[Mapping[str, tuple[int, int, int]]] = {
    "": (1, 1, 1),
    "left for right": (1, -1, 1),
    "front for back": (-1, 1, 1),
    "half a turn": (-1, -1, 1),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One sense of a part in both layouts.

    Parameters
    ----------
    about : Ref
        The part, by its name in the new layout.
    old, new : int
        Shaft: 1 anticlockwise, -1 clockwise, 0 still, with the pedal going down; of a
        slide 1 along its axis, -1 back.
        Rod: 1 pulls, -1 pushes. Throttle: 1 anticlockwise, -1 clockwise opens it.
        Spring: 1 against the pedal, -1 with it, 0 neither or not known.
    turned : bool, optional
        Whether it really is the other way round; None where that cannot be told, as
        the shaft lies in another direction or is still.
    seen : tuple of 2 str
        From where the old and the new sense are seen; empty for rods and springs.
    measured : str
        From where the old file measures, where that is the other side.
    shuts : tuple of 2 int
        Of a spring: 1 where it shuts its plate, -1 where it opens it, 0 on no plate.
    along : tuple of 2 tuple of 3 float
        Of a slide: its axis in the old layout and in the new one, the same way round
        where it lies as it did; empty of all else.
    """

    about: Ref
    old: int
    new: int
    turned: bool | None
    seen: tuple[str, str] = ("", "")
    measured: str = ""
    shuts: tuple[int, int] = (0, 0)
    along: tuple[Vector, ...] = ()


def across_from(one: Shaft, two: Shaft) -> int:
    """Return 1 where two shafts are seen from one side, -1 from opposite ones, 0 else."""
    cosine = float(np.dot(np.array(one.axis.n, float), np.array(two.axis.n, float)))
    return int(np.sign(cosine)) if abs(cosine) > ALONG else 0


def turn_of(x: Examined, shaft: str) -> np.ndarray:
    """Return the turn of a shaft, or the way of a slide, as pressing begins.

    A unit vector, or nought.
    """
    n = np.array(x.layout.shafts[shaft].axis.n, float)
    return n * float(way_of(x, shaft))


def other_way(
    old: np.ndarray, new: np.ndarray, mirror: str = "", *, slides: bool = False
) -> bool | None:
    """Tell whether two turns, or ways of slides, are opposite.

    None where they are neither so nor alike.
    """
    signs = REFLECTS if slides else MIRRORS
    cosine = float(np.dot(old * np.array(signs[mirror]), new))
    return None if abs(cosine) < ALONG else cosine < 0


def shaft_ways(old: Examined, new: Examined, mirror: str) -> Iterator[Way]:
    """Yield the senses of the shafts that both have, in driving order."""
    idle = {
        link.driven.shaft
        for x in (old, new)
        for link in x.layout.links
        if link.own is not None  # the pedal does not move it
    }
    for name in driven_order(new.layout):
        if name not in old.layout.shafts or name in idle:
            continue
        one, two = old.layout.shafts[name], new.layout.shafts[name]
        facing = across_from(one, two)
        ways = turn_of(old, name), turn_of(new, name)
        yield Way(
            about=Ref("shaft", name),
            old=int(way_of(old, name)) * (facing or 1),
            new=int(way_of(new, name)),
            turned=other_way(*ways, mirror, slides=two.slides),
            seen=_seen(one, two, facing),
            measured=one.axis.seen_from if facing < 0 and not two.slides else "",
            along=(two.axis.n if facing else one.axis.n, two.axis.n)
            if two.slides
            else (),
        )


def _seen(one: Shaft, two: Shaft, facing: int) -> tuple[str, str]:
    new = two.axis.seen_from
    return (new if facing else one.axis.seen_from), new


def throttle_ways(old: Examined, new: Examined, mirror: str) -> Iterator[Way]:
    """Yield which way each throttle opens."""
    for name, two in new.layout.throttles.items():
        one = old.layout.throttles.get(name)
        if one is None:
            continue
        shafts = old.layout.shafts[one.shaft], new.layout.shafts[two.shaft]
        facing = across_from(*shafts)
        n = [np.array(s.axis.n, float) for s in shafts]
        yield Way(
            about=Ref("throttle", name),
            old=one.opens * (facing or 1),
            new=two.opens,
            turned=other_way(n[0] * one.opens, n[1] * two.opens, mirror),
            seen=_seen(*shafts, facing),
            measured=shafts[0].axis.seen_from if facing < 0 else "",
        )


def pull(x: Examined, rod: str) -> int:
    """Return 1 where a rod pulls as pressing begins, -1 where it pushes.

    0 where it would have to and cannot.
    """
    return 0 if lets_go(x, rod) else 1 if pulls(x, rod) else -1


def rod_ways(old: Examined, new: Examined) -> Iterator[Way]:
    """Yield pull or push of the rods that both have, in driving order."""
    for link in new.layout.links:
        name = link.rod.name
        if name in old.layout.rods and not (waits(old, name) or waits(new, name)):
            one, two = pull(old, name), pull(new, name)
            yield Way(about=Ref("rod", name), old=one, new=two, turned=one != two)


def spring_ways(old: Examined, new: Examined) -> Iterator[Way]:
    """Yield how each spring that both have works, against the pedal or with it."""
    before, after = _springs(old), _springs(new)
    for name, (two, shuts) in after.items():
        if name in before:
            one, shut = before[name]
            turned = one != two or shut != shuts
            ways = {"shuts": (shut, shuts), "turned": turned}
            yield Way(about=Ref("spring", name), old=one, new=two, **ways)  # type: ignore[arg-type]


def _springs(x: Examined) -> dict[str, tuple[int, int]]:
    out = {}
    for o in SPRING_PEDAL.judge(x):
        f = o.row(0).facts
        sense = float(f["sense"])
        way = 1 if f["against"] else -1 if f["along"] else 0
        plate = x.layout.throttle_on(f["shaft"])
        known = plate is not None and not math.isnan(sense)
        shuts = int(-np.sign(sense * plate.opens)) if known and plate else 0
        out[o.about.name] = (way, shuts)
    return out


def opens_at(x: Examined, throttle: str) -> bool:
    """Tell whether pressing opens a throttle at first, as if every rod drove."""
    return bool(float(opens(x, throttle)) > 0)


def moved_at(x: Examined, throttle: str) -> bool:
    """Tell whether pressing opens a throttle, and no rod on the way lets go."""
    way = x.layout.path_to(x.layout.throttles[throttle].shaft)
    return opens_at(x, throttle) and not any(lets_go(x, k.rod.name) for k in way)


def driven_order(layout: Layout) -> list[str]:
    """Return the shafts from the pedal outward."""
    return [layout.pedal.shaft, *(link.driven.shaft for link in layout.links)]
