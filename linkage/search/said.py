"""Steps in words: what to do, with the numbers.

Not here: which steps (`search.cures`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.model import turning
from linkage.quantities import say, say_point

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.search.family import Step


def _hole(step: Step) -> str:
    return f"`{step.about.name}.{step.about.part}`"


def _listed(words: list[str]) -> str:
    return " and ".join(words)


def _worn(step: Step) -> str:
    what = _listed(
        [
            f"rod `{n}` ({say(play, 'length')} of play now)"
            for n, play in step.more["rods"].items()
        ]
    )
    return f"put new joints on {what}, {say(step.new, 'length')} together"


def _strength(step: Step) -> str:
    return f"fit a spring of {step.more['size']()} for `{step.about.name}`"


def _added(step: Step) -> str:
    s = step.more
    return (
        f"add spring `{step.about.name}` from `{s['shaft']}.{s['arm']}` to "
        f"{say_point(s['anchor'])}, {say(s['rate'], 'rate')}, {say(s['free'], 'length')} "
        f"free, {say(s['tension'], 'force')} of initial tension"
    )


def _freed(step: Step) -> str:
    parts = []
    for name, (friction, drag) in step.more["shafts"].items():
        left = [] if friction is None else [f"friction {friction:.2f}"]
        left += [] if drag is None else [f"drag {say(drag, 'torque')}"]
        parts.append(f"`{name}` ({_listed(left)} at most)")
    return "free, bush or grease the bearing of " + ", ".join(parts)


def _from_to(what: str, kind: str) -> Callable[[Step], str]:
    def words(step: Step) -> str:
        old, new = say(step.old, kind), say(step.new, kind)
        return what.format(hole=_hole(step), name=step.about.name, old=old, new=new)

    return words


#: How each kind of step reads.
WORDS: Final[dict[str, Callable[[Step], str]]] = {
    "arm length": _from_to("make arm {hole} {new} instead of {old}", "length"),
    "arm angle": _from_to("turn arm {hole} on its shaft from {old} to {new}", "angle"),
    "arm side": _from_to(
        "put arm {hole} on the other side of its shaft, at {new} instead of {old}",
        "angle",
    ),
    "arm offset": _from_to(
        "slide arm {hole} along its shaft from {old} to {new}", "length"
    ),
    "rod joints": lambda s: (
        f"put a {s.new} joint on both ends of rod `{s.about.name}`, "
        f"which leans {say(s.more['allows'], 'angle')}"
    ),
    "rod cut": lambda s: f"set rod `{s.about.name}` to fit the lever on its idle stop",
    "rod play": _worn,
    "rod bar": lambda s: (
        f"make rod `{s.about.name}` of {say(s.new, 'length', 0)} solid {s.more['material']} bar"
    ),
    "free play": _from_to(
        "take up the pedal's free play from {old} to {new}", "length"
    ),
    "stop back": _from_to("set stop `{name}` back from {old} to {new}", "angle"),
    "pedal stop": lambda s: (
        f"fit a pedal stop that takes the foot at {say(s.new, 'length')} of pad travel"
    ),
    "bracket": lambda s: (
        f"bracket {_listed([f'`{n}`' for n in s.more['shafts']])} to the body instead of the engine"
    ),
    "steady": _from_to(
        "fit an engine steady that holds the roll to {new} instead of {old}", "angle"
    ),
    "catch": _from_to(
        "fit a chain or strap that catches the engine after {new} instead of {old}",
        "length",
    ),
    "spring strength": _strength,
    "spring longer": lambda s: (
        f"fit a longer spring for `{s.about.name}`: {say(s.new, 'length')} free instead of "
        f"{say(s.old, 'length')}{s.more['also']()}"
    ),
    "spring anchor": lambda s: (
        f"move the anchor of spring `{s.about.name}` by {say(s.more['way'], 'length', 0)} "
        f"to {say_point(s.new)}"
    ),
    "spring hand": lambda s: (
        f"fit spring `{s.about.name}` of the other hand, so that it turns "
        f"{s.more['shaft']} {turning(s.new)} seen from {s.more['seen_from']}"
    ),
    "spring added": _added,
    "bearing": _freed,
    "several": lambda s: _listed([said(one) for one in s.more["steps"]]),
}


def said(step: Step) -> str:
    """Return a step in words."""
    return WORDS[step.kind](step)


def cut_said(lengths: dict[str, Any]) -> str:
    """Return what rods have to be cut to, in words; empty where none has."""
    parts = [
        f"rod `{name}` to {say(length, 'length')}" for name, length in lengths.items()
    ]
    return f" and cut {_listed(parts)}" if parts else ""
