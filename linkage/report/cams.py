"""Cams in the list of rods, in words and as plain data, and what is not known of them.

Not here: rods (`report.findings`), whether a cam is in order (`rules.cams`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from linkage.model import Cam
from linkage.quantities import say
from linkage.report.lost_motion import lost_motion
from linkage.report.tables import mm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.connect import Connector
    from linkage.model import Layout
    from linkage.search import Check


def cam_text(check: Check, loop: Connector) -> str:
    """Return how a cam goes round and what it pushes.

    Parameters
    ----------
    check : Check
        From `search.check`.
    loop : Connector
        The cam as it is put together.
    """
    cam: Any = loop.link.rod
    round_, count = cam.profile[-1].ends - cam.profile[0].begins, len(cam.profile)
    arcs = f"{count} arcs" if count > 1 else "an arc"
    return (
        f"{cam.name}: {arcs} round {say(round_, 'angle')}, from {cam.start} to a roller of "
        f"{say(2 * cam.roller, 'length')} on {cam.end}; {lost_motion(check, cam.name)}"
    )


def cam_data(loop: Connector) -> dict[str, Any]:
    """Return a cam's roller and arcs; nothing of all else."""
    cam = loop.link.rod
    if not isinstance(cam, Cam):
        return {}
    return {
        "roller_mm": mm(2 * float(cam.roller)),
        "arcs": [
            {
                "radius_mm": mm(arc.radius),
                "round_deg": round(math.degrees(arc.ends - arc.begins), 3),
            }
            for arc in cam.profile
        ],
    }


def unjudged_cams(layout: Layout) -> Iterator[str]:
    """Yield what of a layout's cams no rule judges, with their names."""
    names = [f"`{n}`" for n, rod in layout.rods.items() if isinstance(rod, Cam)]
    if names:
        yield (
            f"what roller and cam bear where they touch, their wear, what jams between "
            f"them, and all measuring errors, as the gap is set there: {', '.join(names)}"
        )
