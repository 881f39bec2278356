"""Motion: from a layout to every position of its travel."""

from linkage.motion.assembly import Assembly, Loop, assemble
from linkage.motion.dead_centre import DeadCentre, dead_centres
from linkage.motion.sweep import (
    Motion,
    RodLine,
    Speeds,
    places,
    rod_line,
    speeds,
    sweep,
)
from linkage.motion.working import Jam, Working, crossing, working_travel

__all__ = [
    "Assembly",
    "DeadCentre",
    "Jam",
    "Loop",
    "Motion",
    "RodLine",
    "Speeds",
    "Working",
    "assemble",
    "crossing",
    "dead_centres",
    "places",
    "rod_line",
    "speeds",
    "sweep",
    "working_travel",
]
