"""What this program gives for published cams: the lift of a roller in a guide.

A cam of three arcs, from its base circle over a flank to the nose, turns clockwise seen
from above under a roller on an arm so long that it runs as good as straight.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.motion import assemble, sweep
from tests.cammed import cam_layout, cam_of

if TYPE_CHECKING:
    from collections.abc import Callable

#: Of the roller's arm. [mm]
LONG = 1e6
#: Of the base circle before the flank begins. [deg]
BEFORE = 20.0


def _lift(case: dict[str, Any], turn: float) -> float:
    """Return the lift when the cam has turned so far from where the flank begins. [mm]."""
    arcs = [
        (case["base"], BEFORE),
        (case["flank"], case["flank_deg"]),
        (case["nose"], 120),
    ]
    cam = cam_of(case["base"], roller=2 * case["roller"], arcs=arcs, goes=1)
    # At rest the roller stands on the base circle, straight over the shaft.
    layout = cam_layout(
        cam,
        at=90 - BEFORE / 2,
        away=(-LONG, case["base"] + case["roller"]),
        reach=LONG,
        angle=0.0,
        travel=170.0,
        presses=-1,
    )
    pad = turn + math.radians(BEFORE / 2)
    motion = sweep(assemble(layout), np.array([pad]))
    return float(motion.turns["spindle"][0]) * LONG


def _top(case: dict[str, Any]) -> float:
    """Return the turn from where the flank begins to the middle line of the nose. [rad]."""
    on = math.radians(case["flank_deg"])
    back, out = case["flank"] - case["base"], case["flank"] - case["nose"]
    return math.atan2(out * math.sin(on), out * math.cos(on) - back)


def flank(case: dict[str, Any]) -> dict[str, float]:
    return {"lift [mm]": _lift(case, math.radians(case["past_deg"]))}


def nose(case: dict[str, Any]) -> dict[str, float]:
    return {"lift [mm]": _lift(case, _top(case) - math.radians(case["before_deg"]))}


#: By kind of case.
KINDS: dict[str, Callable[[dict[str, Any]], dict[str, float]]] = {
    "circular-arc cam, flank": flank,
    "circular-arc cam, nose": nose,
}
