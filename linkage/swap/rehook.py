"""Springs that pull the closing way again after a cure.

A spring that shut the throttle before the swap shuts it again when hook and
anchor stand to each other as they stood, seen in a mirror where the shaft now
turns the other way. Its length and torque are then what they were. One that worked
the opening way before is hooked to close, mirrored once more. The anchor stays where
it is and the hook's arm is turned on its shaft; where a rod is joined to that arm
too, or it may not be turned, the anchor moves instead. A fixed spring keeps its hand
and its anchor.

Not here: choosing springs (`search`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal, cast

import numpy as np

from linkage.model import Hole, Layout, Spring
from linkage.model.columns import first, is_column, pick, some
from linkage.model.rows import rows_of, take
from linkage.rules.spring_lines import closing_arm
from linkage.search.fixed import may_turn
from linkage.swap.moves import at_radial, radial
from linkage.swap.reverses import closes_throughout, way_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.columns import Number, Truth
    from linkage.rules.examine import Examined

    Index = NDArray[np.intp]


def sense_of(x: Examined, shaft: str) -> Number:
    """Return the opening sense of a shaft: of its throttle, or the way it turns."""
    throttle = x.layout.throttle_on(shaft)
    return way_of(x, shaft) if throttle is None else throttle.opens


def rehooked(old: Examined, new: Examined) -> list[tuple[Index, Layout]]:
    """Return layouts with every spring hooked to close as it did before.

    Parameters
    ----------
    old : Examined
        Before the swap.
    new : Examined
        Cures whose springs are as the swap left them, one or many as rows.

    Returns
    -------
    list of tuple
        Rows, and the cures with their springs hooked anew. A spring about its
        shaft is of one hand or the other, so that there are as many as there
        are hands.
    """
    layout = new.layout
    joined = {h for link in layout.links for h in link.holes}
    hands: list[tuple[str, Truth]] = []
    for name, spring in layout.springs.items():
        wrong = _wrong(old, new, name)
        if not some(wrong):
            continue
        if spring.anchor is None or not spring.arm:
            if not spring.fixed:
                hands.append((name, wrong))
        else:
            hole = Hole(shaft=spring.shaft, arm=spring.arm)
            stays = hole in joined or not may_turn(layout, hole)
            if stays and spring.fixed:
                continue
            layout = _hooked(old, new, layout, spring, wrong, fixed=stays)
            joined.add(hole)  # a second spring on this arm moves its anchor
    return _handed(old, layout, new, hands)


def _wrong(old: Examined, new: Examined, name: str) -> Truth:
    """Tell where a spring no longer works as it is to: to close, of a governor as it did."""
    limit = new.layout.limits.spring_line
    if _keeps_opening(old, name):
        return np.logical_not(closes_throughout(new, name) < 0)
    if not _opened(old, name):  # as it was, if that was less than is asked
        limit = min(limit, closes_throughout(old, name))
    return np.logical_not(closes_throughout(new, name) >= limit - 1e-9)


def _keeps_opening(old: Examined, name: str) -> bool:
    """Tell whether a spring is to work the opening way, as a governor's light one does.

    Inside, the way in which a governor shuts counts as opening.
    """
    return old.layout.governed and _opened(old, name)


def _opened(old: Examined, name: str) -> bool:
    """Tell whether a spring worked the opening way before the swap, from the start."""
    spring = old.layout.springs[name]
    if spring.anchor is not None and spring.arm:
        return bool(first(closing_arm(old, spring)) < 0)
    return bool(closes_throughout(old, name) < 0)


def _handed(
    old: Examined, layout: Layout, new: Examined, hands: list[tuple[str, Truth]]
) -> list[tuple[Index, Layout]]:
    """Give springs about a shaft the other hand in the rows that need it."""
    count = rows_of(layout)
    groups: list[tuple[Index, Layout]] = [(np.arange(count), layout)]
    for name, wrong in hands:
        spring = layout.springs[name]
        way = 1 if _keeps_opening(old, name) else -1
        opens = np.broadcast_to(np.ravel(sense_of(new, spring.shaft)), count)
        over = np.broadcast_to(np.ravel(wrong), count)
        split = []
        for rows, part in groups:
            for sense in (1, 0, -1):
                here = np.flatnonzero(over[rows] & (np.sign(opens[rows]) == sense))
                shuts = cast("Literal[1, -1] | None", way * sense or None)
                known = replace(spring.known, shuts=shuts)
                split.append(
                    (
                        rows[here],
                        take(part, here).with_spring(replace(spring, known=known)),
                    )
                )
            stays = np.flatnonzero(~over[rows])
            split.append((rows[stays], take(part, stays)))
        groups = [(rows, part) for rows, part in split if rows.size]
    return groups


def _hooked(
    old: Examined,
    new: Examined,
    layout: Layout,
    spring: Spring,
    wrong: Truth,
    *,
    fixed: bool,
) -> Layout:
    was = old.layout.springs[spring.name]
    before, after = old.layout.shafts[was.shaft], layout.shafts[spring.shaft]
    assert was.anchor is not None  # noqa: S101  (a swap takes no anchor away)
    assert spring.anchor is not None  # noqa: S101
    apart = radial(before, was.anchor)[1] - before.arms[was.arm].angle
    senses = sense_of(old, was.shaft) * sense_of(new, spring.shaft)
    if _opened(old, was.name) and not old.layout.governed:
        senses = -senses
    apart = pick(senses < 0, -apart, apart)
    arm = after.arms[spring.arm]
    if fixed:
        anchor = at_radial(after, spring.anchor, arm.angle + apart)
        x, y, z = (
            pick(wrong, a, b) for a, b in zip(anchor, spring.anchor, strict=True)
        )
        return layout.with_spring(replace(spring, anchor=(x, y, z)))
    angle = np.round(np.degrees(radial(after, spring.anchor)[1] - apart))
    angle = np.radians(angle - 360 * np.round(angle / 360))
    hole = Hole(shaft=spring.shaft, arm=spring.arm)
    return layout.with_arm(hole, angle=_plain(pick(wrong, angle, arm.angle)))


def _plain(value: Number) -> Number:
    return value if is_column(value) else float(value)
