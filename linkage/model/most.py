"""How much a layout may hold, and how far its pedal may turn.

Not here: what a file may hold (`config.bounds`), limits of good practice (`limits`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.errors import LayoutError
from linkage.model.columns import is_column
from linkage.model.names import refuse_name

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model.columns import Number, Truth

#: Most parts of one kind, and arms of one shaft.
MOST_PARTS: Final = 64
#: Furthest that the pedal may turn from rest to the floor. [rad]
MOST_TURN: Final = math.pi


def refuse_many(named: Mapping[str, Mapping[str, object]]) -> None:
    """Refuse more parts than any vehicle has, and names that cannot be shown.

    Parameters
    ----------
    named : mapping of str to mapping
        Parts by name, by the table of the file that holds them.

    Raises
    ------
    LayoutError
        If there are more than `MOST_PARTS` of one, or a name is none.
    """
    for table, parts in named.items():
        _few(parts, (table,))
        for name, part in parts.items():
            arms = getattr(part, "arms", None)
            if arms is not None:
                _few(arms, (table, name, "arms"))


def _few(parts: Mapping[str, object], key: tuple[str, ...]) -> None:
    if len(parts) > MOST_PARTS:
        msg = f"`{key[-1]}` has {len(parts)} parts, more than {MOST_PARTS}"
        hint = "one layout is one linkage of one vehicle; take out what is not on it"
        raise LayoutError(msg, hint=hint, key=key)
    for name in parts:
        refuse_name(name, (*key, name))


def half_a_turn(
    travel: Number, radius: Number, *, hand: bool = False, governed: bool = False
) -> Truth:
    """Return whether an input turns no more than half way round; of one, refuse more.

    Parameters
    ----------
    travel, radius : float or column
        Of the pad, or of the end of the hand lever or a governor's arm. [m]
    hand, governed : bool
        Whether it is the hand lever, or a governor's arm.

    Returns
    -------
    bool or column
        True of one layout; by rows where there are many.

    Raises
    ------
    LayoutError
        If one layout's turns further.
    """
    less = travel <= MOST_TURN * radius
    if is_column(less) or less:
        return less
    if hand:
        msg = "the hand lever's travel takes it more than half a turn round its pivot"
        hint = (
            "travel is along the arc of its end, usually 60 to 150 mm; its arm is from "
            "the pivot to where the hand holds it"
        )
        raise LayoutError(msg, hint=hint, key=("hand", "travel"))
    if governed:
        msg = (
            "the governor's travel takes its arm more than half a turn round its shaft"
        )
        hint = "travel is along the arc of the arm's hole, from rest to its end"
        raise LayoutError(msg, hint=hint, key=("governor", "travel"))
    msg = "the pad's travel takes the pedal more than half a turn round its pivot"
    hint = (
        "travel is along the pad's arc, usually 60 to 100 mm; its arm is from the pivot "
        "to the middle of the pad, usually 150 to 250 mm"
    )
    raise LayoutError(msg, hint=hint, key=("pedal", "travel"))
