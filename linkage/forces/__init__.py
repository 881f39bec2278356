"""Forces: statics through the travel, failures, time to idle, stamped foot."""

from linkage.forces.failures import INTACT, Failure, failed, failures
from linkage.forces.hanging import Hanging
from linkage.forces.lines import Lines, force_lines
from linkage.forces.lines_part import LinesPart
from linkage.forces.masses import GRAVITY
from linkage.forces.returns import Return, pad_forces, returns
from linkage.forces.sense import RodSense, SpringSense, rod_senses, spring_senses
from linkage.forces.sources import Sources, sources
from linkage.forces.stamp import Stamp, Taken, stamped
from linkage.forces.statics import Statics, statics
from linkage.forces.time import Fall, cold_factor, falls, return_limit, way_back

__all__ = [
    "GRAVITY",
    "INTACT",
    "Failure",
    "Fall",
    "Hanging",
    "Lines",
    "LinesPart",
    "Return",
    "RodSense",
    "Sources",
    "SpringSense",
    "Stamp",
    "Statics",
    "Taken",
    "cold_factor",
    "failed",
    "failures",
    "falls",
    "force_lines",
    "pad_forces",
    "return_limit",
    "returns",
    "rod_senses",
    "sources",
    "spring_senses",
    "stamped",
    "statics",
    "way_back",
]
