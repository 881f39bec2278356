"""Layout: shafts, arms, rods and all that hangs on them, as data in SI."""

from linkage.model.axes import NAMED, Axis, Vector, axis_from_vector, turning
from linkage.model.cable import Cable, SheathEnd
from linkage.model.cam import Cam
from linkage.model.ends import Hand, Pedal, Stop, Throttle
from linkage.model.heat import Heat
from linkage.model.limits import LIMIT_ROWS, Limits
from linkage.model.model import Layout, parallel
from linkage.model.obstacle import Obstacle
from linkage.model.parts import Arm, Engine, Hole, Shaft, Vehicle
from linkage.model.rod import JOINT_TILT, WIRE_TILT, Joint, OneWay, Rod
from linkage.model.rows import row, rows_of, same_make_up, stack, take
from linkage.model.slide import Slide
from linkage.model.spring import Known, Spring
from linkage.model.tree import Link

__all__ = [
    "JOINT_TILT",
    "LIMIT_ROWS",
    "NAMED",
    "WIRE_TILT",
    "Arm",
    "Axis",
    "Cable",
    "Cam",
    "Engine",
    "Hand",
    "Heat",
    "Hole",
    "Joint",
    "Known",
    "Layout",
    "Limits",
    "Link",
    "Obstacle",
    "OneWay",
    "Pedal",
    "Rod",
    "Shaft",
    "SheathEnd",
    "Slide",
    "Spring",
    "Stop",
    "Throttle",
    "Vector",
    "Vehicle",
    "axis_from_vector",
    "parallel",
    "row",
    "rows_of",
    "same_make_up",
    "stack",
    "take",
    "turning",
]
