"""The rule about sheaths that a moved engine pulls straight.

Not here: how sharp they are bent (`rules.sheaths`), what else the moved engine does
(`rules.rock`, `rules.moved`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect.line import as_vector
from linkage.model.columns import some
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.bent import size
from linkage.rules.cables import cables
from linkage.rules.rule import BAD, JAM, SHUT, Outcome, Rule, Short, fixed, ranked
from linkage.rules.states import movement, seen, states

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Cable, Layout
    from linkage.rules.examine import Examined


def spans(cable: Cable) -> bool:
    """Tell whether a sheath goes from the body to the engine."""
    one, two = cable.ends
    return one.on != two.on


def unknown_length(layout: Layout, cable: Cable) -> bool:
    """Tell whether nothing tells how far a moved engine may pull a sheath."""
    moves = some(layout.engine.roll > 0) or some(layout.engine.lift > 0)
    given = cable.through or cable.sheath_length is not None
    return bool(moves and spans(cable) and not given)


def _pulled(x: Examined) -> Iterator[Outcome]:
    moved = states(x)
    if moved is None:
        return
    for _, cable in cables(x):
        if not spans(cable) or unknown_length(x.layout, cable):
            continue
        there: Any = moved.assembly.layout.rods[cable.name]
        one, two = (as_vector(end.point, 2) for end in there.ends)
        length = np.broadcast_to(np.ravel(cable.sheathed), moved.rows)
        spare = length - moved.over(size(two - one)[..., 0])
        row = spare.argmin(axis=0)
        value = moved.number(spare.min(axis=0))
        at = row * moved.rows + np.arange(moved.rows)
        yield Outcome(
            about=Ref("rod", cable.name),
            rank=ranked(value > 0, BAD),
            value=value,
            limit=0.0,
            kind="length",
            at=math.nan,
            facts={
                "length": cable.sheathed,
                "roll": moved.number(moved.over(moved.roll).ravel()[at]),
                "lift": moved.number(moved.over(moved.lift).ravel()[at]),
                "seen": seen(x),
            },
        )


def _pulled_words(o: Outcome) -> str:
    f = o.facts
    where = movement(f["roll"], f["lift"], f["seen"])
    length = say(f["length"], "length")
    if not o.rank:
        return (
            f"the sheath of {o.called}, {length} long, keeps {say(o.value, 'length')} to spare "
            f"with the engine {where}"
        )
    return (
        f"with the engine {where} the ends of the sheath of {o.called} are "
        f"{say(-o.value, 'length')} further apart than its {length}: pulled straight, it "
        "pulls its wire and opens the throttle, or tears out"
    )


def _pulled_short(o: Outcome) -> Short:
    f = o.facts
    where = movement(f["roll"], f["lift"], f["seen"])
    if not o.rank:
        spare = f"{say(o.value, 'length')} to spare"
        return f"no moved engine pulls the sheath of {o.called} straight", spare
    return (
        f"the moved engine pulls the sheath of {o.called} straight",
        f"{say(-o.value, 'length')} too short, {where}",
    )


def _pulled_advice(o: Outcome) -> str:
    if not o.rank:
        return ""
    more = math.ceil(-o.value * 1e2 + 1) / 1e2  # to the next centimetre, and one over
    return (
        f"fit {o.called} with a sheath {say(more, 'length', 0)} longer, in a loose bow"
    )


PULLED: Final = Rule(
    name="sheaths with the engine moved",
    short=_pulled_short,
    code="sheath-pulled",
    needs="rock",
    judge=_pulled,
    words=_pulled_words,
    place=fixed("engine moved"),
    meaning="Whether a sheath from the body to the engine is long enough for the engine "
    "moved: rolled either way, risen and sunk. Its length is the one given, or the way "
    "through its points. Pulled straight it pulls its wire and opens the throttle.",
    silenced_by=(SHUT, JAM),
    advice=_pulled_advice,
    task=_pulled_advice,
)
