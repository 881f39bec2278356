"""Motion: from a layout to every position of its travel."""

from linkage.motion.assembly import Assembly, assemble
from linkage.motion.dead_centre import DeadCentre, dead_centres
from linkage.motion.frame import Frame, frame
from linkage.motion.stops import crossing
from linkage.motion.sweep import Motion, sweep, sweep_clear
from linkage.motion.working import Jam, Working, working_travel

__all__ = [
    "Assembly",
    "DeadCentre",
    "Frame",
    "Jam",
    "Motion",
    "Working",
    "assemble",
    "crossing",
    "dead_centres",
    "frame",
    "sweep",
    "sweep_clear",
    "working_travel",
]
