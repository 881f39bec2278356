"""The table of what is taken where a part of a layout gives nothing."""

from __future__ import annotations

from typing import Final, NamedTuple

from linkage.connect import bar
from linkage.forces import common, friction, inertia, joints, masses, stiffness, time
from linkage.model import heat
from linkage.quantities import say_round
from linkage.report.assumed import BEARING_FRICTION, flat

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
        say_round(friction.NEAR_SHUT, "angle"),
        say_round(friction.BEYOND, "fraction"),
    )
    return (
        Default(
            "bearing of a shaft",
            f"{say_round(friction.BEARING, 'length')}; of a spindle the `spindle` of its "
            "throttle, where that is given",
            "`bearing`",
        ),
        Default(
            "where a shaft is carried",
            f"its outermost arms; a bush {say_round(friction.BUSH, 'length')} long where they "
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
            say_round(joints.BALL, "length"),
            "`joint_diameter`",
            "DIN 71802, from memory; which of its sizes is common practice",
        ),
        Default("friction in joints", f"{joints.JOINT_FRICTION:g}", "`joint_friction`"),
        Default(
            "spindle in its bore", say_round(friction.SPINDLE, "length"), "`spindle`"
        ),
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
            say_round(friction.SPINDLE_TORQUE, "torque"),
            "`bore`, or `drag` of the spindle, measured",
        ),
        Default("mass of the pad", say_round(masses.PAD, "mass"), "`mass` of its arm"),
        Default("mass of levers", flat(), "`mass`"),
        Default(
            "mass of rods",
            f"a bar of {say_round(bar.THICK, 'length')}, "
            + ", ".join(f"{n} {v:.0f} kg/m³" for n, v in bar.DENSITY.items()),
            "`diameter`, `bore`, `material`, `mass`",
            f"diameter: {_PRACTICE}; densities: EN 1991-1-1, Table A.4, from memory",
        ),
        Default(
            "weight",
            "whole where it opens the plate, "
            f"{say_round(masses.SHUTTING, 'fraction')} where it shuts it",
            "",
        ),
        Default(
            "inertia of shafts and plates",
            f"a steel bar of {say_round(inertia.BAR, 'length')} between the outermost arms, a "
            f"brass disc {say_round(inertia.PLATE, 'length')} thick",
            "`inertia`",
        ),
        Default(
            "arms that are holes of one lever",
            f"directions within {say_round(common.ONE_LEVER, 'angle')}, in one plane",
            "",
        ),
        Default(
            "how levers bend under a foot, until a late pedal stop is met",
            f"steel flats {say_round(stiffness.LEVER_HEIGHT, 'length')} high and "
            f"{say_round(stiffness.LEVER_THICK, 'length')} thick",
            "",
        ),
        Default(
            "how shafts twist then",
            f"steel bars as thick as their bearing, {say_round(friction.BEARING, 'length')} "
            "where it is not given",
            "`bearing`",
        ),
        Default(
            "how rods stretch then",
            f"steel or aluminium bars of {say_round(bar.THICK, 'length')}",
            "`diameter`, `bore`, `material`",
        ),
        Default(
            "temperatures, where `[heat]` is given",
            f"set at {say_round(heat.SET_AT, 'temperature')}, cold start at "
            f"{say_round(heat.COLD, 'temperature')} or that of `[vehicle]`; hot: "
            + ", ".join(
                f"{part} {say_round(degrees, 'temperature')}"
                for part, degrees in heat.HOT.items()
            ),
            "`set_at`, `cold`, `block_hot`, `manifold_hot`, `rods_hot`, `body_hot`",
        ),
    )
