"""Whether every part that a layout names is there.

Not here: the layout (`model`), names by themselves (`names`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.errors import LayoutError, did_you_mean
from linkage.model.cable import Cable
from linkage.model.inputs import refuse_shared
from linkage.model.on_slides import refuse_on_slides
from linkage.model.parts import Hole

if TYPE_CHECKING:
    from linkage.model.model import Layout
    from linkage.model.rod import Rod


def known_hole(layout: Layout, hole: Hole, key: tuple[str, ...]) -> None:
    """Refuse a hole that there is not."""
    if hole.shaft not in layout.shafts:
        msg = f"there is no shaft `{hole.shaft}`"
        raise LayoutError(msg, hint=did_you_mean(hole.shaft, layout.shafts), key=key)
    shaft = layout.shafts[hole.shaft]
    arms = shaft.arms
    if hole.arm not in arms:
        part = "pin" if shaft.slides else "arm"
        msg = f"{shaft.called} has no {part} `{hole.arm}`"
        raise LayoutError(msg, hint=did_you_mean(hole.arm, arms), key=key)


def _known_shaft(layout: Layout, shaft: str, key: tuple[str, ...]) -> None:
    if shaft not in layout.shafts:
        msg = f"there is no shaft `{shaft}`"
        raise LayoutError(msg, hint=did_you_mean(shaft, layout.shafts), key=key)


def _wound_by_wire(layout: Layout, rod: Rod) -> None:
    """Refuse a rod on the rim of a drum, and a cable there that is to push."""
    for hole, end in ((rod.start, "from"), (rod.end, "to")):
        arm = layout.shafts[hole.shaft].arms[hole.arm]
        if not arm.wound:
            continue
        if isinstance(rod, Cable):
            if rod.only:
                continue
            msg = f"{rod.called} pulls and pushes, and lies on drum `{hole}`"
            hint = (
                "a wire on a drum only pulls: leave `works` out, or give a push-pull "
                "cable a lever to end on"
            )
            raise LayoutError(msg, hint=hint, key=(*rod.key, "works"))
        msg = f"{rod.called} ends on drum `{hole}`, which a wire lies on"
        hint = (
            f"give the {rod.kind} an arm of its own; a wire in a sheath is a cable: "
            "[cables.NAME]; one without a sheath is not solved on a drum"
        )
        raise LayoutError(msg, hint=hint, key=(*rod.key, end))


def names_known(layout: Layout) -> None:  # noqa: C901 - one loop for each table
    """Refuse a layout in which a part names one that there is not.

    Raises
    ------
    LayoutError
        With the key of the first.
    """
    pedal = layout.pedal
    drives, arm = ("governor", "arm") if layout.governed else ("pedal", "pad")
    _known_shaft(layout, pedal.shaft, (drives, "shaft"))
    known_hole(layout, Hole(shaft=pedal.shaft, arm=pedal.pad), (drives, arm))
    if (hand := layout.hand) is not None:
        _known_shaft(layout, hand.shaft, ("hand", "shaft"))
        refuse_shared(hand, pedal, layout.throttles)
        known_hole(layout, Hole(shaft=hand.shaft, arm=hand.lever), ("hand", "lever"))
    for rod in layout.rods.values():
        known_hole(layout, rod.start, (*rod.key, "from"))
        known_hole(layout, rod.end, (*rod.key, "to"))
        _wound_by_wire(layout, rod)
    for name, throttle in layout.throttles.items():
        key = (name,) if name == "throttle" else ("throttles", name)
        _known_shaft(layout, throttle.shaft, (*key, "shaft"))
    for name, stop in layout.stops.items():
        _known_shaft(layout, stop.shaft, ("stops", name, "shaft"))
    for name, spring in layout.springs.items():
        if spring.arm:
            hole = Hole(shaft=spring.shaft, arm=spring.arm)
            known_hole(layout, hole, ("springs", name, "hook"))
        else:
            _known_shaft(layout, spring.shaft, ("springs", name, "shaft"))
    for shaft in layout.engine.carries:
        _known_shaft(layout, shaft, ("engine", "carries"))
    for shaft in (layout.heat.carries or ()) if layout.heat else ():
        _known_shaft(layout, shaft, ("heat", "carries"))
    refuse_on_slides(layout)
    if not any(t.kind == "plate" for t in layout.throttles.values()):
        msg = "there is no throttle plate"
        raise LayoutError(
            msg, hint="add a [throttle] table that names its shaft", key=("throttle",)
        )
