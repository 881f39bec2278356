"""Steps in words: what to do, with the numbers, and how many new parts it takes.

Not here: which steps (`search.cures`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TypeAlias

from linkage.model import turning
from linkage.quantities import say, say_point
from linkage.search.said_of_cables import (
    CABLES,
    clocked,
    hole_of,
    lost,
    other_way,
    renewed,
    sized,
    slid,
    worn,
)
from linkage.spoken import listed, say_hole, say_rod

#: Kind of a step that is two, one after the other.
BOTH: Final = "both"

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from linkage.model import Spring
    from linkage.search.family import Step


def _strength(step: Step) -> str:
    return f"fit spring `{step.about.name}` of {step.more['size']()}"


def _own(hole: str, size: tuple[float, float, float]) -> str:
    """Say what arm is made for a spring alone."""
    length, angle, offset = size
    return (
        f"arm `{hole}`, made {say_hole(length)} long at {say(angle, 'angle')}, "
        f"{say(offset, 'length')} along its shaft"
    )


def _added(step: Step) -> str:
    s = step.more
    hole = f"{s['shaft']}.{s['arm']}"
    arm = f"`{hole}`" if s["own"] is None else _own(hole, s["own"])
    on = " on the engine" if s["on"] == "engine" else ""
    return (
        f"add spring `{step.about.name}` from {arm} to {say_point(s['anchor'])}{on}, "
        f"{say(s['rate'], 'rate')}, {say(s['free'], 'length')} free, "
        f"{say(s['tension'], 'force')} of initial tension, that may be stretched to "
        f"{say(s['greatest'], 'length')}"
    )


def _own_arm(step: Step) -> str:
    s = step.more
    return (
        f"hook spring `{step.about.name}` to {_own(s['arm'], s['size'])}, with its anchor "
        f"at {say_point(s['anchor'])}"
    )


def _carried(step: Step) -> str:
    what = [
        f"anchor spring `{name}` on the {on} instead of the {_OTHER[on]}"
        for name, on in step.more["springs"].items()
    ]
    return listed(what)


_OTHER: Final = {"engine": "body", "body": "engine"}


def _freed(step: Step) -> str:
    parts = []
    for name, (friction, drag) in step.more["shafts"].items():
        left = [] if friction is None else [f"friction {friction:.2f}"]
        left += [] if drag is None else [f"drag {say(drag, 'torque')}"]
        parts.append(f"`{name}` ({listed(left)} at most)")
    return "free, bush or grease the bearing of " + ", ".join(parts)


def _guide(step: Step) -> str:
    ends = [
        f"its {('first', 'second')[end]} end at {say_point(at)}"
        for end, at in step.more["ends"].items()
    ]
    return (
        f"hold slide `{step.about.name}` in a guide {say(step.new, 'length')} long instead "
        f"of {say(step.old, 'length')}, {listed(ends)}"
    )


def _slot(step: Step) -> str:
    end = "inner" if step.more["pulls"] else "outer"
    return (
        f"make the slot of rod `{step.about.name}` {say_hole(step.new)} long instead of "
        f"{say_hole(step.old)}, longer at its {end} end"
    )


def _turns(step: Step) -> str:
    """Say by how many turns of its thread a rod is made longer or shorter."""
    s = step.more
    count, size = abs(s["turns"]), say(s["turn"], "length")
    if s["rod"] == "cable":
        way = "let out" if s["turns"] > 0 else "take up"
        return (
            f"{way} the adjuster of cable `{step.about.name}` by "
            f"{say(abs(step.new - step.old), 'length')}"
        )
    other = "longer" if s["turns"] > 0 else "shorter"
    turns = "one turn" if count == 1 else f"{count} turns"
    return (
        f"set rod `{step.about.name}` {turns} {other}, {say_rod(step.new)} instead of "
        f"{say_rod(step.old)} (a thread of {size} a turn)"
    )


def _light(step: Step) -> str:
    s = step.more
    return (
        f"fit a light torsion spring `{step.about.name}` on `{s['shaft']}` that shuts it, "
        f"turning it {turning(s['way'])} seen from {s['seen_from']}: "
        f"{say(s['preload'], 'torque')} at rest, {say(s['rate'], 'torsion rate')}"
    )


def _from_to(what: str, kind: str) -> Callable[[Step], str]:
    def words(step: Step) -> str:
        old, new = say(step.old, kind), say(step.new, kind)
        return what.format(hole=hole_of(step), name=step.about.name, old=old, new=new)

    return words


#: A kind of step: how it reads, and how many new parts one of them takes.
Kind: TypeAlias = "tuple[Callable[[Step], str], Callable[[Step], int]]"


def _takes(count: int) -> Callable[[Step], int]:
    return lambda _: count


#: What is at hand is turned, slid, moved or set.
_NONE: Final = _takes(0)
#: One arm, rod, spring, steady or strap is made or bought.
_ONE: Final = _takes(1)

#: Every kind of step. An arm of another length is a new one or a new hole in it.
KINDS: Final[dict[str, Kind]] = {
    "arm length": (sized, _ONE),
    "arm angle": (clocked, _NONE),
    "arm side": (
        _from_to(
            "put arm {hole} on the other side of its shaft, at {new} instead of {old}",
            "angle",
        ),
        _NONE,
    ),
    "arm offset": (slid, _NONE),
    "rod joints": (
        lambda s: (
            f"put a {s.new} joint on both ends of rod `{s.about.name}`, "
            f"which leans {say(s.more['allows'], 'angle')}"
        ),
        _takes(2),
    ),
    "rod cut": (
        lambda s: (
            f"set {s.more['rod']} `{s.about.name}` to fit the lever on its idle stop"
        ),
        _NONE,
    ),
    "rod play": (worn, renewed),
    "rod turns": (_turns, _NONE),
    "spring light": (_light, _ONE),
    "rod bar": (
        lambda s: (
            f"make rod `{s.about.name}` of {say_hole(s.new, 0)} solid "
            f"{s.more['material']} bar"
        ),
        _ONE,
    ),
    "slot longer": (_slot, _ONE),
    "rod lost": (lost, _NONE),
    "rod way": (other_way, _ONE),
    "over-travel load": (
        _from_to(
            "put the over-travel spring of rod `{name}` in with {new} of load instead of "
            "{old}",
            "force",
        ),
        _ONE,
    ),
    "over-travel way": (
        _from_to(
            "give rod `{name}` an over-travel spring that gives {new} instead of {old}",
            "length",
        ),
        _ONE,
    ),
    "free play": (
        _from_to("take up the pedal's free play from {old} to {new}", "length"),
        _NONE,
    ),
    "free play left": (
        _from_to("leave {new} of free play at the pad instead of {old}", "length"),
        _NONE,
    ),
    "stop back": (
        _from_to("set stop `{name}` back from {old} to {new}", "angle"),
        _NONE,
    ),
    "pedal stop": (
        lambda s: (
            f"fit a pedal stop that takes the foot at {say(s.new, 'length')} of pad travel"
        ),
        lambda s: int(s.old is None),
    ),
    "stop later": (lambda _: "let the pedal down further", _NONE),
    "bracket": (
        lambda s: (
            f"bracket {listed([f'`{n}`' for n in s.more['shafts']])} to the body "
            "instead of the engine"
        ),
        lambda s: len(s.more["shafts"]),
    ),
    "guide longer": (_guide, _ONE),
    "steady": (
        _from_to(
            "fit an engine steady that holds the roll to {new} instead of {old}",
            "angle",
        ),
        _ONE,
    ),
    "catch": (
        _from_to(
            "fit a chain or strap that catches the engine after {new} instead of {old}",
            "length",
        ),
        _ONE,
    ),
    "spring strength": (_strength, _ONE),
    "spring longer": (
        lambda s: (
            f"fit a longer spring for `{s.about.name}`: {say(s.new, 'length')} free "
            f"instead of {say(s.old, 'length')}{s.more['also']()}"
        ),
        _ONE,
    ),
    "spring shorter": (
        lambda s: (
            f"fit a shorter spring for `{s.about.name}`: {say(s.new, 'length')} free "
            f"instead of {say(s.old, 'length')}, {s.more['size']()}, that may be "
            f"stretched to {say(s.more['greatest'], 'length')}"
        ),
        _ONE,
    ),
    "spring anchor": (
        lambda s: (
            f"move the anchor of spring `{s.about.name}` by "
            f"{say(s.more['way'], 'length', 0)} to {say_point(s.new)}"
        ),
        _NONE,
    ),
    # A bracket for each.
    "spring carried": (_carried, lambda s: len(s.more["springs"])),
    "spring hand": (
        lambda s: (
            f"fit spring `{s.about.name}` of the other hand, so that it turns "
            f"{s.more['shaft']} {turning(s.new)} seen from {s.more['seen_from']}"
        ),
        _ONE,
    ),
    "spring added": (_added, lambda s: 1 + (s.more["own"] is not None)),
    "spring own arm": (_own_arm, _ONE),
    "spring hooked": (
        lambda s: f"hook spring `{s.about.name}` to `{s.new}` instead of `{s.old}`",
        _NONE,
    ),
    # It may want a bush.
    "bearing": (_freed, lambda s: len(s.more["shafts"])),
    **CABLES,
    "several": (
        lambda s: listed([said(one) for one in s.more["steps"]]),
        lambda s: sum(map(new_parts, s.more["steps"])),
    ),
    BOTH: (
        lambda s: "; then ".join(said(one) for one in s.more["steps"]),
        lambda s: sum(map(new_parts, s.more["steps"])),
    ),
}


def said(step: Step) -> str:
    """Return a step in words."""
    return KINDS[step.kind][0](step)


def new_parts(step: Step) -> int:
    """Return how many parts have to be made or bought for a step."""
    return KINDS[step.kind][1](step)


#: Kinds of steps by which another spring is bought in place of one.
BOUGHT: Final = frozenset(
    {"spring strength", "spring longer", "spring shorter", "spring hand"}
)


def parts_of(steps: Sequence[Step]) -> int:
    """Return how many parts have to be made or bought for steps, a spring once."""
    springs = {s.about for s in steps if s.kind in BOUGHT}
    return len(springs) + sum(new_parts(s) for s in steps if s.kind not in BOUGHT)


def spring_said(spring: Spring) -> str:
    """Return what spring is bought, all its numbers at once."""
    known = spring.known
    told = [
        f"{say(value, kind)}{after}"
        for value, kind, after in (
            (known.rate, "rate" if spring.anchor else "torsion rate", ""),
            (known.free_length, "length", " free"),
            (known.initial_tension, "force", " of initial tension"),
            (known.preload, "torque", " at rest"),
        )
        if value is not None
    ]
    if known.greatest_length is not None:
        told.append(f"that may be stretched to {say(known.greatest_length, 'length')}")
    return f"fit another spring for `{spring.name}`: {', '.join(told)}"
