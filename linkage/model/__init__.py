"""Layout: shafts, arms, rods and all that hangs on them, as data in SI."""

from linkage.model.axes import NAMED, Axis, Vector, axis_from_vector, turning
from linkage.model.limits import LIMIT_ROWS, Limits
from linkage.model.model import Layout, Link, parallel
from linkage.model.parts import (
    JOINT_TILT,
    Arm,
    Engine,
    Hole,
    Joint,
    Pedal,
    Rod,
    Shaft,
    Spring,
    Stop,
    Throttle,
)

__all__ = [
    "JOINT_TILT",
    "LIMIT_ROWS",
    "NAMED",
    "Arm",
    "Axis",
    "Engine",
    "Hole",
    "Joint",
    "Layout",
    "Limits",
    "Link",
    "Pedal",
    "Rod",
    "Shaft",
    "Spring",
    "Stop",
    "Throttle",
    "Vector",
    "axis_from_vector",
    "parallel",
    "turning",
]
