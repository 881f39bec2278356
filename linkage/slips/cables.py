"""Slips at cables and drums: which way the wire lies round, a diameter for a radius.

Not here: slips of one number or place of any kind (`slips.sizes`, `slips.turned`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from linkage.model.axes import turning
from linkage.model.refs import Ref
from linkage.slips.kinds import Hypothesis
from linkage.slips.sizes import changed
from linkage.slips.turned import opposite
from linkage.slips.written import written

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout


def cable_slips(layout: Layout) -> Iterator[Hypothesis]:
    """Yield the slips of drums, quadrants and snails."""
    for name, shaft in layout.shafts.items():
        for arm in shaft.arms.values():
            if arm.wound:
                yield _wound(layout, Ref("arm", name, arm.name))
    for number in written(layout):
        ref = number.about
        if number.size != "arm" or not layout.shafts[ref.name].arms[ref.part].wound:
            continue
        new = number.value / 2
        if number.usual(new):
            word = layout.shafts[ref.name].arms[ref.part].called
            clause = f"{number.what} is the diameter of that {word}"
            yield changed(number, new, "diameter", clause, 0.5)


def _wound(layout: Layout, ref: Ref) -> Hypothesis:
    """Return a drum round which the wire lies the other way."""
    shaft = layout.shafts[ref.name]
    arm = shaft.arms[ref.part]
    other: Any = -arm.wound
    seen = shaft.axis.seen_from
    return Hypothesis(
        kind="wound",
        about=ref,
        key=("shafts", ref.name, "arms", ref.part, "wound"),
        clause=f"`wound` of `{ref}` was seen from {opposite(shaft.axis)}",
        then=f"the wire lies {turning(other)} from its nipple on seen from {seen}",
        old=turning(arm.wound),
        new=turning(other),
        unit="",
        sets={("shafts", ref.name, "arms", ref.part): replace(arm, wound=other)},
        change=0.0,
    )
