"""At which part the sense turns round, from the pedal to the plate.

The chain is walked from the pedal: which way each shaft turns, and which way the
plate opens. Where one turns as in the old layout and the next does not, or the
reverse, what lies between has turned the sense round: one of the two arms of a rod,
told by whether the rod pulls or pushes, or the throttle itself.

A layout that is the mirror image of another turns nothing round: the walk is made
for each way in which a whole layout can stand, and another than the plain one is
taken where it has fewer turns and more arms that stand as they did.

Not here: the senses themselves (`comparison.senses`), the words (`report.compare`).
"""

from __future__ import annotations

import math
from dataclasses import field
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.comparison.senses import (
    MIRRORS,
    REFLECTS,
    opens_at,
    other_way,
    pull,
    turn_of,
)
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from linkage.model import Layout
    from linkage.rules.examine import Examined

#: Turn of an arm under which it stands where it stood. [rad]
SAME_ANGLE: Final = math.radians(1)
#: Sine of the angle between two arms under which a lever has no hand.
SIDE: Final = math.sin(math.radians(10))


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A place in the chain at which the sense turns round against the old layout.

    Parameters
    ----------
    parts : tuple of Ref
        What lies there: one arm, the pedal or the throttle; several where what lies
        between cannot be told apart, as a shaft lies in another direction or is new.
    shaft : str
        The shaft of the arm; empty where there are several parts.
    hand : bool
        Whether the angle between the two arms of a crank has changed its sense, so
        that it is of the other hand.
    moved : bool
        Whether it is the arm's other angle that does it; False where a pivot was moved,
        so that the rod goes past the shaft on the other side of it.
    """

    parts: tuple[Ref, ...]
    shaft: str = ""
    hand: bool = False
    moved: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """All places at which the sense turns round, and how the new layout stands.

    Parameters
    ----------
    turns : tuple of Turn
        From the pedal outward; none where nothing turned round. Of an even number
        the last turns back what the first turned round.
    mirror : str
        A key of `senses.MIRRORS`: how the whole new layout stands to the old one.
    branches : mapping of str to tuple of Turn
        By each further throttle: what turns the sense round on the way to it and not on
        the way to the main one; left out where nothing does.
    """

    turns: tuple[Turn, ...]
    mirror: str = ""
    branches: Mapping[str, tuple[Turn, ...]] = field(default_factory=dict)

    @property
    def first(self) -> Turn | None:
        """Where the sense first turns round; None where it nowhere does."""
        return self.turns[0] if self.turns else None


def turned(old: Examined, new: Examined) -> Turned:
    """Find where the sense turns round on the way to the main throttle, and to others.

    Parameters
    ----------
    old, new : Examined
        One layout each, parts that are one by one name.
    """
    main = new.layout.main.name
    if main not in old.layout.throttles:
        return Turned(turns=())
    best, stands = tuple(_turns(old, new, "", main)), ""
    for mirror in MIRRORS:
        turns = tuple(_turns(old, new, mirror, main))
        fewer = len(turns) < len(best)
        if fewer and _stand(old, new, mirror) < _stand(old, new, stands):
            best, stands = turns, mirror
    told = {part for turn in best for part in turn.parts}
    branches: dict[str, tuple[Turn, ...]] = {}
    for name in new.layout.throttles:
        if name != main and name in old.layout.throttles:
            turns = tuple(_turns(old, new, stands, name))
            own = tuple(t for t in turns if not told & set(t.parts))
            branches |= {name: own} if own else {}
    return Turned(turns=best, mirror=stands, branches=branches)


def _stand(old: Examined, new: Examined, mirror: str) -> int:
    """Return how many arms do not stand as in the mirror image of the old layout."""
    both = [
        (name, arm)
        for name, shaft in new.layout.shafts.items()
        if name in old.layout.shafts
        for arm in shaft.arms
        if arm in old.layout.shafts[name].arms
    ]
    return sum(arm_moved(old.layout, new.layout, *hole, mirror) for hole in both)


def _turns(old: Examined, new: Examined, mirror: str, throttle: str) -> Iterator[Turn]:
    last = False
    between: list[Ref] = []
    for parts, changed in _walk(old, new, mirror, throttle):
        between += parts
        if changed is None:
            continue
        if changed != last:
            where = _where(old, new, tuple(between), before=last)
            yield _turn(old.layout, new.layout, where, mirror)
        last, between = changed, []


def _walk(
    old: Examined, new: Examined, mirror: str, throttle: str
) -> Iterator[tuple[tuple[Ref, ...], bool | None]]:
    """Yield what leads to each shaft, and whether that turns the other way."""
    layout = new.layout
    ends = [x.layout.throttles[throttle].shaft for x in (old, new)]
    path = old.layout.path_to(ends[0])
    was = {
        old.layout.pedal.shaft,
        *(hole.shaft for link in path for hole in link.holes),
    }

    def shaft(name: str) -> bool | None:
        if name not in was:
            return None
        slides = layout.shafts[name].slides
        ways = turn_of(old, name), turn_of(new, name)
        return other_way(*ways, mirror, slides=slides)

    yield (Ref("pedal", layout.pedal.shaft),), shaft(layout.pedal.shaft)
    for link in layout.path_to(ends[1]):
        arms = tuple(Ref("arm", h.shaft, h.arm) for h in link.holes)
        yield arms, shaft(link.driven.shaft)
    opened, opens = (opens_at(x, throttle) for x in (old, new))
    yield (Ref("throttle", throttle),), opened != opens


def _where(
    old: Examined, new: Examined, parts: tuple[Ref, ...], *, before: bool
) -> tuple[Ref, ...]:
    """Return which of the two arms of one rod turns the sense round.

    The driving one where the rod pulls instead of pushing, though its shaft turns as
    it did; else the driven one. Both, where that cannot be told. A slide goes whither its
    rod's other end does, from whichever side that comes: so it is the other one's arm.
    """
    rod = next(
        (
            link.rod.name
            for link in new.layout.links
            if parts == tuple(Ref("arm", h.shaft, h.arm) for h in link.holes)
        ),
        None,
    )
    if rod is None or rod not in old.layout.rods:
        return parts
    driver, driven = (new.layout.shafts[ref.name].slides for ref in parts)
    if driver is not driven:
        return parts[:1] if driven else parts[1:]
    changed = pull(old, rod) != pull(new, rod)
    return parts[:1] if changed != before else parts[1:]


def _turn(old: Layout, new: Layout, parts: tuple[Ref, ...], mirror: str) -> Turn:
    if len(parts) > 1 or parts[0].kind != "arm":
        return Turn(parts=parts)
    name, arm = parts[0].name, parts[0].part
    moved = arm_moved(old, new, name, arm, mirror) and _by_arm(
        old, new, Hole(shaft=name, arm=arm), mirror
    )
    return Turn(
        parts=parts, shaft=name, hand=_other_hand(old, new, name, mirror), moved=moved
    )


def _by_arm(old: Layout, new: Layout, hole: Hole, mirror: str) -> bool:
    """Tell whether an arm that points as it did would have its rod on the other side.

    True where the arm is new, or its shaft lies in another direction.
    """
    name, arm = hole.shaft, hole.arm
    if name not in old.shafts or arm not in old.shafts[name].arms:
        return True
    rod = next(r for r in new.rods.values() if hole in {r.start, r.end})
    far = rod.end if rod.start == hole else rod.start
    shaft = new.shafts[name]
    n, centre = np.array(shaft.axis.n, float), np.array(shaft.centre(arm), float)
    to = np.array(new.shafts[far.shaft].pin(far.arm), float)
    sides = []
    for way in (
        reflected(direction(old, name, arm), mirror),
        direction(new, name, arm),
    ):
        pin = centre + shaft.arms[arm].length * way
        sides.append(float(np.dot(np.cross(way, to - pin), n)))
    return sides[0] * sides[1] <= 0


def direction(layout: Layout, shaft: str, arm: str) -> np.ndarray:
    """Return in which direction an arm points at rest, in vehicle axes, of length 1."""
    axis, angle = layout.shafts[shaft].axis, layout.shafts[shaft].arms[arm].angle
    u, v = np.array(axis.u, float), np.array(axis.v, float)
    return np.asarray(u * math.cos(angle) + v * math.sin(angle))


def reflected(way: np.ndarray, mirror: str) -> np.ndarray:
    """Return a direction as it is in the mirror image; half a turn is two mirrors."""
    return np.asarray(way * np.array(REFLECTS[mirror]))


def arm_moved(old: Layout, new: Layout, shaft: str, arm: str, mirror: str) -> bool:
    """Tell whether an arm points elsewhere than it did; True where it is new.

    A pin of a slide points nowhere: where it stands is told otherwise.
    """
    if shaft not in old.shafts or arm not in old.shafts[shaft].arms:
        return True
    if new.shafts[shaft].slides:
        return False
    one = reflected(direction(old, shaft, arm), mirror)
    cosine = float(np.dot(one, direction(new, shaft, arm)))
    return cosine < math.cos(SAME_ANGLE)


def crank_arms(layout: Layout, shaft: str) -> tuple[Hole, Hole] | None:
    """Return the arm by which a shaft is driven and that by which it drives on.

    None at both ends of the chain to the main throttle, and off it.
    """
    path = layout.path_to(layout.main.shaft)
    into = [link.driven for link in path if link.driven.shaft == shaft]
    out = [link.driver for link in path if link.driver.shaft == shaft]
    return (into[0], out[0]) if into and out else None


def _other_hand(old: Layout, new: Layout, shaft: str, mirror: str) -> bool:
    """Tell whether the angle from a crank's one arm to its other changed its sense."""
    arms = crank_arms(new, shaft)
    if arms is None or shaft not in old.shafts or new.shafts[shaft].slides:
        return False
    if any(h.arm not in old.shafts[shaft].arms for h in arms):
        return False
    axis = np.array(new.shafts[shaft].axis.n, float)
    sides = []
    for layout, how in ((old, mirror), (new, "")):
        one, two = (reflected(direction(layout, shaft, h.arm), how) for h in arms)
        sides.append(float(np.dot(np.cross(one, two), axis)))
    return abs(sides[0]) > SIDE and abs(sides[1]) > SIDE and sides[0] * sides[1] < 0
