"""The table of what is taken where a part of a layout gives nothing."""

from __future__ import annotations

from typing import Final, NamedTuple

from linkage.connect import rod
from linkage.forces import common, friction, inertia, joints, masses, stiffness, time
from linkage.quantities import say
from linkage.report.assumed import BEARING_FRICTION, LEVER

_PRACTICE: Final = "common practice, no source"


class Default(NamedTuple):
    """A value that is taken where a part gives none.

    Parameters
    ----------
    what : str
        What it is of.
    value : str
        With its unit.
    key : str
        What to give instead, in the layout file; empty where nothing can be.
    source : str
        Where it comes from.
    """

    what: str
    value: str
    key: str
    source: str = _PRACTICE


def defaults() -> tuple[Default, ...]:
    """Return every value that is taken where a part gives none."""
    near, beyond = (
        say(friction.NEAR_SHUT, "angle", 0),
        say(friction.BEYOND, "fraction", 0),
    )
    return (
        Default("bearing of a shaft", say(friction.BEARING, "length", 0), "`bearing`"),
        Default(
            "where a shaft is carried",
            f"its outermost arms; a bush {say(friction.BUSH, 'length', 0)} long where they "
            "are nearer to each other, at the pivot where all are in one plane",
            "`bearings`",
        ),
        Default(
            "friction in bearings, dry steel on bronze",
            f"{BEARING_FRICTION:g}",
            "`friction`, `[friction] coefficient`",
        ),
        Default("friction when cold", f"{time.COLD_FACTOR:g} times", "`cold_factor`"),
        Default(
            "balls and pins of joints",
            say(joints.BALL, "length", 0),
            "`joint_diameter`",
            "DIN 71802, from memory; which of its sizes is common practice",
        ),
        Default("friction in joints", f"{joints.JOINT_FRICTION:g}", "`joint_friction`"),
        Default("spindle in its bore", say(friction.SPINDLE, "length", 0), "`spindle`"),
        Default(
            "depression behind a shut plate, engine braking",
            f"{friction.DEPRESSION / 1e3:g} kPa on the bore's area, in full within {near} of "
            f"shut, {beyond} of it beyond",
            "`drag` of the spindle, measured",
        ),
        Default(
            "friction of the spindle pressed by it",
            f"{friction.SPINDLE_FRICTION:g}",
            "`friction` of the spindle",
        ),
        Default(
            "friction torque of the spindle where no bore is given",
            say(friction.SPINDLE_TORQUE, "torque", 2),
            "`bore`, or `drag` of the spindle, measured",
        ),
        Default("mass of the pad", say(masses.PAD, "mass", 1), "`mass` of its arm"),
        Default("mass of levers", LEVER, "`mass`"),
        Default(
            "mass of rods",
            f"a bar of {say(rod.THICK, 'length', 0)}, "
            + ", ".join(f"{n} {v:.0f} kg/m³" for n, v in rod.DENSITY.items()),
            "`diameter`, `bore`, `material`, `mass`",
            f"diameter: {_PRACTICE}; densities: EN 1991-1-1, Table A.4, from memory",
        ),
        Default(
            "weight",
            "whole where it opens the plate, "
            f"{say(masses.SHUTTING, 'fraction', 0)} where it shuts it",
            "",
        ),
        Default(
            "inertia of shafts and plates",
            f"a steel bar of {say(inertia.BAR, 'length', 0)} between the outermost arms, a "
            f"brass disc {say(inertia.PLATE, 'length', 0)} thick",
            "`inertia`",
        ),
        Default(
            "arms that are holes of one lever",
            f"directions within {say(common.ONE_LEVER, 'angle', 0)}, in one plane",
            "",
        ),
        Default(
            "how levers bend under a foot, until a late pedal stop is met",
            f"steel flats {say(stiffness.LEVER_HEIGHT, 'length', 0)} high and "
            f"{say(stiffness.LEVER_THICK, 'length', 0)} thick",
            "",
        ),
        Default(
            "how shafts twist then",
            f"steel bars as thick as their bearing, {say(friction.BEARING, 'length', 0)} "
            "where it is not given",
            "`bearing`",
        ),
        Default(
            "how rods stretch then",
            f"steel or aluminium bars of {say(rod.THICK, 'length', 0)}",
            "`diameter`, `bore`, `material`",
        ),
    )
