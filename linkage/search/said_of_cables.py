"""Steps at arms, drums, rods and cables in words: each thing by its own name.

A rod is cut and has joints; a cable is set by its adjuster, and its sheath is led and
held. An arm has a length, a drum a radius.

Not here: other steps (`search.said`), what rods are cut to (`search.said_of_rods`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model import turning
from linkage.quantities import say, say_point
from linkage.spoken import listed, say_hole

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.search.family import Step
    from linkage.search.said import Kind


def hole_of(step: Step) -> str:
    """Return the arm that a step is about, in words."""
    return f"`{step.about.name}.{step.about.part}`"


def sized(step: Step) -> str:
    """Say how long an arm is made, or what radius a drum has."""
    word, new, old = step.more["arm"], say_hole(step.new), say_hole(step.old)
    if word == "arm":
        return f"make arm {hole_of(step)} {new} instead of {old}"
    if word == "drum":
        return f"make drum {hole_of(step)} of {new} radius instead of {old}"
    return (
        f"make snail {hole_of(step)} of {new} radius at its nipple instead of {old}, its "
        "whole rim in proportion"
    )


def clocked(step: Step) -> str:
    """Say to what angle an arm is turned, or the nipple of a drum."""
    word, new, old = step.more["arm"], say(step.new, "angle"), say(step.old, "angle")
    nipple = "" if word == "arm" else ", its nipple"
    return f"turn {word} {hole_of(step)} on its shaft{nipple} from {old} to {new}"


def slid(step: Step) -> str:
    """Say how far an arm or a drum is slid along its shaft."""
    new, old = say(step.new, "length"), say(step.old, "length")
    return (
        f"slide {step.more['arm']} {hole_of(step)} along its shaft from {old} to {new}"
    )


def worn(step: Step) -> str:
    """Say which joints are new, or which push-pull cables, or bushes."""
    rods: list[str] = []
    cables: list[str] = []
    for name, (kind, play) in step.more["rods"].items():
        some = cables if kind == "cable" else rods
        some.append(f"{kind} `{name}` ({say(play, 'length')} of play now)")
    fresh_rod, fresh_cable, fresh_bush = (say(play, "length") for play in step.new)
    bushes = [
        f"`{name}` ({say(play, 'length')} of play now)"
        for name, play in step.more["bushes"].items()
    ]
    out = []
    if rods:
        each = " a rod" * (len(rods) > 1)
        out.append(f"put new joints on {listed(rods)}, {fresh_rod} of play{each}")
    if cables:
        each = " each" * (len(cables) > 1)
        out.append(f"renew {listed(cables)}, {fresh_cable} of play{each}")
    if bushes:
        each = " each" * (len(bushes) > 1)
        out.append(f"put a new bush in {listed(bushes)}, {fresh_bush} of play{each}")
    return "; ".join(out)


def renewed(step: Step) -> int:
    """Count them: a joint at either end of a rod, a cable whole, a bush each."""
    rods = sum(2 if kind == "rod" else 1 for kind, _ in step.more["rods"].values())
    return rods + len(step.more["bushes"])


def lost(step: Step) -> str:
    """Say how much a rod is set to lose at rest, or how much wire hangs loose."""
    was = say(step.old, "length")
    new = say(step.new, "length")
    if step.more["rod"] == "cable":
        left = f"{new} of wire hangs loose" if step.new else "its wire is just taut"
        before = f"{was} hung loose" if step.old else "it was just taut"
        return f"set cable `{step.about.name}` so that {left} at rest, where {before}"
    rod = f"rod `{step.about.name}`"
    if not step.new:
        return f"set {rod} so that it drives at once, where it lost {was} at rest"
    if not step.old:
        return f"set {rod} so that it loses {new} at rest before it drives"
    return f"set {rod} so that it loses {new} at rest instead of {was}"


#: What a one-way rod is made of.
_CAN: Final = {
    "pull": "a chain, a wire or an open hook instead of a rod in a cup",
    "push": "a rod in a cup instead of a chain, a wire or an open hook",
}


def other_way(step: Step) -> str:
    """Say what a one-way rod is made to do, or that a cable is to push too."""
    if step.more["rod"] == "cable":
        return f"fit a push-pull cable for `{step.about.name}`, which pushes too"
    return f"make rod `{step.about.name}` one that can {step.new}: {_CAN[step.new]}"


def _gone_on(step: Step) -> str:
    """Say how far the profile of a cam goes on."""
    turn, radius = step.new
    return (
        f"make cam `{step.about.name}` anew with a profile that goes on to "
        f"{say(turn, 'angle')} round it, {say_hole(radius)} from its shaft there, instead of "
        f"{say(step.old[0], 'angle')}"
    )


def _wound(step: Step) -> str:
    s = step.more
    text = (
        f"fit drum {hole_of(step)} turned over, so that the wire lies round it "
        f"{turning(step.new)} from its nipple on, seen from {s['seen_from']}, with the "
        f"nipple at {say(s['angle'], 'angle', 0)}"
    )
    return text + _led(s["sheath"])


def _led(moved: tuple[str, object] | None) -> str:
    """Say that the end of a sheath goes to the other side of a spindle."""
    if moved is None:
        return ""
    cable, point = moved
    return (
        f", and lead the wire of cable `{cable}` to the other side of it: the end of its "
        f"sheath at {say_point(point)}"  # type: ignore[arg-type]
    )


def _end(step: Step) -> str:
    return (
        f"move the end of the sheath of cable `{step.about.name}` at "
        f"`{step.more['hole']}` by {say(step.more['way'], 'length', 0)} to "
        f"{say_point(step.new)}"
    )


def _held(step: Step) -> str:
    other = {"engine": "body", "body": "engine"}
    parts = [
        f"the sheath of cable `{cable}` at `{hole}` on the {on} instead of the {other[on]}"
        for cable, hole, on in step.more["ends"]
    ]
    return f"hold the end of {listed(parts)}"


def _lined(step: Step) -> str:
    cables = listed([f"`{n}`" for n in step.more["cables"]])
    word = "cables" if len(step.more["cables"]) > 1 else "cable"
    return (
        f"fit a lined sheath, clean and oiled, to {word} {cables}: friction "
        f"{step.new:.2f} at most instead of {step.old:.2f}"
    )


def _straighter(step: Step) -> str:
    new, old = say(step.new, "angle", 0), say(step.old, "angle", 0)
    return (
        f"lead the sheath of cable `{step.about.name}` in fewer and larger bends: {new} "
        f"of them all together instead of {old}"
    )


def _point(step: Step) -> str:
    return (
        f"lead the sheath of cable `{step.about.name}` through {say_point(step.new)} "
        f"instead of {say_point(step.old)}"
    )


def _buy(what: str, kind: str, decimals: int | None = None) -> Callable[[Step], str]:
    """Return the words of a cable of other make."""

    def words(step: Step) -> str:
        new = say(step.new, kind, decimals)
        old = f" instead of {say(step.old, kind, decimals)}" if step.old else ""
        return f"fit cable `{step.about.name}` {what.format(new=new)}{old}"

    return words


def _none(_: Step) -> int:
    return 0


def _one(_: Step) -> int:
    return 1


#: Every kind of step at cables and drums alone.
CABLES: Final[dict[str, Kind]] = {
    "cam longer": (_gone_on, _one),
    "drum wound": (_wound, _none),
    "sheath end": (_end, _none),
    # A bracket for each.
    "sheath held": (_held, lambda s: len(s.more["ends"])),
    "sheath lined": (_lined, lambda s: len(s.more["cables"])),
    "sheath bends": (_straighter, _none),
    "sheath point": (_point, _none),
    "cable push": (_buy("that may be pushed with {new}", "force", 0), _one),
    "cable stroke": (_buy("of {new} stroke", "length"), _one),
    "cable wire": (_buy("of {new} wire", "length"), _one),
}
