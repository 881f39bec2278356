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
    at, met = Sizes(unit=length_unit).say(share * working.end), working.stopped_by
    if layout.governed:
        between = f"governor's arm at {at}"
        # At its own end the plate may still stand open.
        ends = {"full stop": "shut", "floor": "the end of its travel"}
        end = f"{between}, {ends.get(met.kind, f'stopped by {met}')}"
        rest = "engine stopped"
    elif layout.foot is not None:
        between, by = f"hand lever at {at}", "" if met.kind == "floor" else f" by {met}"
        rest, end = "hand lever pushed home (idle)", f"{between}, stopped{by}"
    else:
        between = f"pad {at}, {100 * share:.0f} % of the working travel"
        rest, end = "pedal up (idle)", f"pedal down: pad {at}, stopped by {met}"
    return rest if share <= 0 else between if share < 1 else end
