"""One line to buy a spring by, or to have it wound by.

Not here: which spring is best (`search.springs`), how it is printed.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.quantities import say, say_point
from linkage.rules.stretch import TRIED as MORE
from linkage.rules.stretch import WHOLE
from linkage.springs.winding import TENSION, Winding, wound_for

if TYPE_CHECKING:
    from linkage.search.spring_rows import SpringRow

#: More length than this with the engine moved is told. [m]
TOLD: Final = 0.5e-3


def _size(row: SpringRow) -> str:
    law = row.law
    assert law is not None  # noqa: S101  (the caller has seen to it)
    pulled = law.kind == "extension"
    parts = [
        f"rate {say(law.rate, 'rate')}",
        f"free length {say(law.free_length, 'length')}"
        + (" inside the hooks" if pulled else ""),
    ]
    if pulled:
        parts.append(f"initial tension {say(law.initial, 'force')}")
    ends = (
        (end, say(length, "length"), say(load, "force"))
        for end, length, load in (
            ("installed", row.first_length, row.first_load),
            ("at full", row.last_length, row.last_load),
        )
    )
    parts += [f"{end} {length} with {load}" for end, length, load in ends]
    return ", ".join(parts)


def _bears(row: SpringRow) -> str:
    if row.spring.kind == "compression":
        least = f"it is pressed to {say(row.shortest, 'length')}"
        solid = math.floor(row.shortest / MORE / WHOLE) * WHOLE
        return f"{least}: solid at {say(solid, 'length')} or less"
    at_rest = max(row.first_length, row.last_length)
    moved = " with the engine moved" if row.longest > at_rest + TOLD else ""
    asked = math.ceil(row.longest * MORE / WHOLE) * WHOLE
    return (
        f"it is pulled to {say(row.longest, 'length')}{moved}: to bear "
        f"{say(asked, 'length')} without staying longer"
    )


def _wire(row: SpringRow) -> str:
    known, kind = row.spring.known, row.spring.kind
    if known.wire is not None and known.coil is not None:
        made = f"wire {say(known.wire, 'length')}, outside diameter {say(known.coil, 'length')}"
        turns = "" if known.turns is None else f", {float(known.turns):.1f} turns"
        of = f", {row.spring.material}" if row.spring.material else ""
        return made + turns + of
    if kind != "extension":
        return "wire and outside diameter as its maker can wind it"
    law = row.law
    assert law is not None  # noqa: S101  (the caller has seen to it)
    load = float(law.initial + law.rate * (row.longest * MORE - law.free_length))
    found = wound_for(law, load)
    if found is None:
        return (
            "no usual wire gives this rate, free length and initial tension and bears the "
            "load: ask a spring maker, or take a longer or softer one"
        )
    return f"for instance {_wound(found, law.initial)}"


def _wound(w: Winding, tension: float) -> str:
    less = (
        f", wound with less initial tension than the usual {say(w.tension, 'force')}"
        if tension < (1 - TENSION) * w.tension
        else ""
    )
    return (
        f"{say(w.wire, 'length', 2)} wire {w.material}, outside diameter "
        f"{say(w.coil, 'length')}, {w.turns:.1f} turns{less}"
    )


def _hooks(row: SpringRow) -> str:
    spring = row.spring
    ends = f"`{spring.shaft}.{spring.arm}` and {say_point(spring.anchor or ())}"
    if spring.kind == "compression":
        return f"ends squared, between {ends}"
    return f"hooks: a full loop at either end, for {ends}"


def _gives(row: SpringRow) -> str:
    one = row.alone
    times = (
        ""
        if math.isinf(one.ratio)
        else f", {say(one.ratio, 'ratio', 1)} times the friction in cold and dirt"
    )
    return (
        f"alone it gives at least {say(one.torque, 'torque')} of closing torque at the "
        f"spindle{times}, and at most {say(one.pad_force, 'force')} at the pad"
    )


def buying_line(row: SpringRow) -> str:
    """Return what to ask for when a spring is bought, and what it gives alone.

    Parameters
    ----------
    row : SpringRow
        The spring; empty words where it cannot be.
    """
    if row.law is None:
        return ""
    what = f"`{row.at_hand}`" if row.at_hand else f"{row.spring.kind} spring"
    parts = (_size(row), _bears(row), _wire(row), _hooks(row), _gives(row))
    return f"{what} for `{row.spring.name}`: {'; '.join(parts)}"
