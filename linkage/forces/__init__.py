"""Forces: statics through the travel, failures, time to idle, stamped foot."""

from linkage.forces.lines import GRAVITY, Lines, force_lines
from linkage.forces.statics import Statics, hanging_together, statics

__all__ = [
    "GRAVITY",
    "Lines",
    "Statics",
    "force_lines",
    "hanging_together",
    "statics",
]
