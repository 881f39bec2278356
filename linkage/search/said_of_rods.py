"""What rods are cut to, and how cables are set, in words.

Not here: other steps (`search.said`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.quantities import say
from linkage.spoken import listed, say_rod

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Rod

#: Way that the thread of an adjuster has; common practice, no source. [m]
THREAD: Final = 15e-3
#: Differences of free wire under this are none. [m]
SAME: Final = 5e-5


def between(rod: Rod, *, pulls: bool) -> str:
    """Return between what a rod's length is measured, in words.

    Parameters
    ----------
    rod : Rod
        The rod.
    pulls : bool
        Whether it drives by pulling, so that its pin is then at the outer end of its
        slot.
    """
    if not rod.slot:
        return "between joint centres"
    joint = rod.start if rod.slot_at == "end" else rod.end
    end = "outer" if pulls else "inner"
    return f"from the joint at `{joint}` to the pin at the {end} end of its slot"


def cut_said(rods: Mapping[str, Rod], lengths: Mapping[str, float]) -> str:
    """Return what rods have to be cut to, in words; empty where none has.

    Parameters
    ----------
    rods : mapping of str to Rod
        Of the layout, cables among them.
    lengths : mapping of str to float
        Centre to centre, of a cable its free wire. [m]
    """
    cut = [
        f"rod `{n}` to {say_rod(length)}"
        for n, length in lengths.items()
        if rods[n].kind == "rod"
    ]
    out = f" and cut {listed(cut)}" if cut else ""
    wires = [
        f"cable `{n}` to {say(length, 'length')} of free wire"
        for n, length in lengths.items()
        if rods[n].kind == "cable"
    ]
    return out + (f" and set {listed(wires)}" if wires else "")


def cut_step(
    rod: Rod, length: float, was: float, *, pulls: bool, set_anew: bool
) -> str:
    """Return to what length a rod is cut, or set by its threads, in words.

    Parameters
    ----------
    rod : Rod
        As it is to be.
    length, was : float
        What it is cut to and what it was; of a cable the wire that its sheath leaves
        free. [m]
    pulls : bool
        Whether it drives by pulling.
    set_anew : bool
        Whether it is to lose another motion at rest, of which a step tells.
    """
    if rod.kind == "cable":
        return _adjusted(rod, length - was)
    word = "set" if set_anew else "cut"
    return f"{word} rod `{rod.name}` to {say_rod(length)} {between(rod, pulls=pulls)}"


def _adjusted(cable: Rod, by: float) -> str:
    """Say how a cable is set, by how much more free wire, nan where not known. [m]."""
    so = f"so that {hangs(cable)}"
    name, size = f"cable `{cable.name}`", say(abs(by), "length")
    if abs(by) > THREAD:
        other = "more" if by > 0 else "less"
        return (
            f"set {name}, by its adjuster and the length of its wire or sheath, {so}: "
            f"{size} {other} of free wire"
        )
    if abs(by) > SAME:
        word = "let out" if by > 0 else "take up"
        return f"{word} the adjuster of {name} by {size}, {so}"
    return f"set the adjuster of {name} {so}"


def hangs(cable: Rod) -> str:
    """Return how a cable that is set right is at rest, in words."""
    if not cable.loose:
        return "its lever stands where it was measured"
    if cable.lost > 0:
        return f"{say(cable.lost, 'length')} of wire hangs loose at rest"
    return "its wire is just taut at rest"
