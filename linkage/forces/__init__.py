"""Forces: statics through the travel, failures, time to idle, stamped foot."""

from linkage.forces.lines import GRAVITY, Lines, force_lines
from linkage.forces.returns import (
    INTACT,
    Failure,
    Return,
    Sources,
    after,
    failures,
    returns,
    sources,
)
from linkage.forces.sense import RodSense, SpringSense, rod_senses, spring_senses
from linkage.forces.stamp import Stamp, Taken, euler_load, stamped
from linkage.forces.statics import Statics, hanging_together, statics
from linkage.forces.time import Fall, cold_factor, falls, return_limit

__all__ = [
    "GRAVITY",
    "INTACT",
    "Failure",
    "Fall",
    "Lines",
    "Return",
    "RodSense",
    "Sources",
    "SpringSense",
    "Stamp",
    "Statics",
    "Taken",
    "after",
    "cold_factor",
    "euler_load",
    "failures",
    "falls",
    "force_lines",
    "hanging_together",
    "return_limit",
    "returns",
    "rod_senses",
    "sources",
    "spring_senses",
    "stamped",
    "statics",
]
