"""Words about two parts that come near to each other.

Not here: the rules (`rules.gaps`, `rules.own_gaps`, `rules.gaps_moved`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.quantities import say
from linkage.rules.rule import at_pad

if TYPE_CHECKING:
    from linkage.model.refs import Ref
    from linkage.rules.rule import Outcome

#: Why so much is asked, by the limit that sets it.
_WHY: Final = {
    "fixed": "",
    "moving": ", as it moves",
    "exhaust": ", for the heat",
    "across": ", as the engine rocks",
    "file": " by the file",
}


def named(o: Outcome, ref: Ref, what: str) -> str:
    """Return a part in words, with its name.

    Parameters
    ----------
    o : Outcome
        Whose part it is.
    ref : Ref
        The part.
    what : str
        Which of it, as in `gaps.Part`, or the kind of an obstacle.
    """
    if ref.kind == "arm":
        return f"{what} `{ref}`"
    if ref.kind == "obstacle":
        return f"exhaust `{ref.name}`" if what == "exhaust" else f"`{ref.name}`"
    if what in {"wire", "sheath"}:
        return f"the {what} of {o.rod(ref.name)}"
    return f"{ref.kind} `{ref.name}`"


def part(o: Outcome) -> str:
    """Return the part of the linkage in words."""
    return named(o, o.about, o.facts["what"])


def obstacle(o: Outcome) -> str:
    """Return what it comes near to in words: an obstacle, or another part."""
    return named(o, o.part[0], o.facts["kind"])


def both(o: Outcome) -> str:
    """Return both as the place of a finding."""
    one, two = o.about, o.part[0]
    return f"{o.part_name(one)} and {o.part_name(two)}"


def touches(o: Outcome) -> bool:
    """Tell whether there is no gap at all."""
    return not o.value > 0


def asked(o: Outcome) -> str:
    """Return what is asked and why, in words."""
    return f"{say(o.limit, 'length')} is asked{_WHY[o.facts['why']]}"


def asked_short(o: Outcome) -> str:
    """Return what is asked, in words."""
    return f"{say(o.limit, 'length')} is asked"


def at_pad_or_rest(o: Outcome) -> str:
    """Return where it happens in words."""
    if not o.at > 0:
        return "with the pedal up"
    begins = "from pad {} on" if touches(o) else "at pad {}"
    return begins.format(say(o.at, "length"))


def nearest(o: Outcome) -> str:
    """Return where it happens as the place of a finding."""
    return at_pad(o) if o.at > 0 else "pedal up"


def further(o: Outcome) -> str:
    """Return what to do where no change of the linkage is found."""
    if not o.rank or not math.isfinite(o.value):
        return ""
    more = say(max(math.ceil((o.limit - o.value) * 1e3 - 1e-9), 1) / 1e3, "length", 0)
    shield = ", or put a shield between" if o.facts.get("why") == "exhaust" else ""
    return f"move {obstacle(o)} or {part(o)} {more} further apart{shield}"
