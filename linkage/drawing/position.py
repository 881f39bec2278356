"""Which position a picture of a layout shows, in words.

Not here: the picture (`layout`), words at its parts (`layout_labels`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.drawing.layout_labels import Sizes

if TYPE_CHECKING:
    from linkage.drawing.curve_labels import LengthUnit
    from linkage.model import Layout
    from linkage.motion import Working


def position_words(
    layout: Layout, working: Working, share: float, length_unit: LengthUnit
) -> str:
    """Return which position a picture shows.

    Parameters
    ----------
    layout : Layout
        What is drawn: a pedal, a hand lever or a governor drives.
    working : Working
        The working travel.
    share : float
        Of it, 0 to 1.
    length_unit : {"mm", "in"}
        Of the pad travel.
    """
    pad = Sizes(unit=length_unit).say(share * working.end)
    if layout.foot is not None:
        at = f"hand lever at {pad}"
        by = "" if working.stopped_by.kind == "floor" else f" by {working.stopped_by}"
        return (
            "hand lever pushed home (idle)"
            if share <= 0
            else f"{at}, stopped{by}"
            if share >= 1
            else at
        )
    if layout.governed:
        at = f"governor's arm at {pad}"
        return "engine stopped" if share <= 0 else f"{at}, shut" if share >= 1 else at
    if share <= 0:
        return "pedal up (idle)"
    if share >= 1:
        return f"pedal down: pad {pad}, stopped by {working.stopped_by}"
    return f"pad {pad}, {100 * share:.0f} % of the working travel"
