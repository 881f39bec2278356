"""Springs that pull the closing way again after a cure.

A spring that shut the throttle before the swap shuts it again when hook and
anchor stand to each other as they stood, seen in a mirror where the shaft now
turns the other way. Its length and torque are then what they were. The anchor
stays where it is and the hook's arm is turned on its shaft; where a rod is
joined to that arm too, the anchor moves instead.

Not here: choosing springs (`sizing`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from linkage.model import Hole, Layout, Spring
from linkage.swap.moves import at_radial, radial
from linkage.swap.reverses import closes_throughout, way_of

if TYPE_CHECKING:
    from linkage.rules.examine import Examined


def sense_of(x: Examined, shaft: str) -> float:
    """Return the opening sense of a shaft: of its throttle, or the way it turns."""
    throttle = x.layout.throttle_on(shaft)
    return way_of(x, shaft) if throttle is None else throttle.opens


def rehooked(old: Examined, new: Examined) -> Layout:
    """Return a layout with every spring hooked to close as it did before.

    Parameters
    ----------
    old : Examined
        Before the swap.
    new : Examined
        A cure whose springs are as the swap left them.

    Returns
    -------
    Layout
        The cure with its springs hooked anew.
    """
    layout = new.layout
    joined = {h for link in layout.links for h in link.holes}
    for name, spring in layout.springs.items():
        if name not in old.layout.springs or spring.shaft not in old.layout.shafts:
            continue
        limit = min(layout.limits.spring_line, closes_throughout(old, name))
        if closes_throughout(new, name) >= limit - 1e-9:
            continue
        if spring.anchor is None or not spring.arm:
            layout = _other_hand(layout, new, spring)
        else:
            hole = Hole(shaft=spring.shaft, arm=spring.arm)
            layout = _hooked(old, new, layout, spring, fixed=hole in joined)
            joined.add(hole)  # a second spring on this arm moves its anchor
    return layout


def _other_hand(layout: Layout, new: Examined, spring: Spring) -> Layout:
    opens = sense_of(new, spring.shaft)
    known = replace(spring.known, shuts=(-1 if opens > 0 else 1) if opens else None)
    return layout.with_spring(replace(spring, known=known))


def _hooked(
    old: Examined, new: Examined, layout: Layout, spring: Spring, *, fixed: bool
) -> Layout:
    was = old.layout.springs[spring.name]
    before, after = old.layout.shafts[was.shaft], layout.shafts[spring.shaft]
    assert was.anchor is not None  # noqa: S101  (a swap takes no anchor away)
    assert spring.anchor is not None  # noqa: S101
    apart = radial(before, was.anchor)[1] - before.arms[was.arm].angle
    if sense_of(old, was.shaft) * sense_of(new, spring.shaft) < 0:
        apart = -apart
    arm = after.arms[spring.arm]
    if fixed:
        anchor = at_radial(after, spring.anchor, arm.angle + apart)
        changed = replace(spring, anchor=anchor)
        return layout.with_spring(changed)
    angle = math.remainder(radial(after, spring.anchor)[1] - apart, 2 * math.pi)
    angle = math.radians(round(math.degrees(angle)))
    hole = Hole(shaft=spring.shaft, arm=spring.arm)
    return layout.with_arm(hole, angle=angle)
