"""A cam's profile that was sought, in words and as plain data.

Not here: finding it (`search.cam_profile`), the curve that goes with it (`report.rim`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from linkage.model import turning
from linkage.quantities import say
from linkage.report.lines import wrapped
from linkage.report.tables import table
from linkage.spoken import unit_word

if TYPE_CHECKING:
    from linkage.search.cam_profile import Profile


def bounded_by(found: Profile) -> str:
    """Return what keeps a profile from what was asked for, in words."""
    if found.why is None:
        return ""
    return f"for what is asked, {found.why.words(float(found.cam.roller))}"


def profile_words(found: Profile) -> str:
    """Return how the cam does it: its turn, its push, its sharpest place, how exactly."""
    return (
        f"With the pedal up the cam is {say(found.gaps[1], 'length', 2)} clear of its roller "
        f"(it was {say(found.gaps[0], 'length', 2)}), and turns {say(found.turns, 'angle')} "
        f"from where it meets it to full throttle. Its push leans "
        f"{say(found.leans, 'angle')} at most, and it is nowhere sharper than a radius of "
        f"{say(found.sharpest, 'length')}, its roller {say(found.cam.roller, 'length')}. "
        f"Through its points the throttle is within {say(_no_less(found.off), 'angle', 2)} "
        "of the curve that was sought."
    )


def _no_less(angle: float) -> float:
    """Return an angle to a hundredth of a degree, never less than it is. [rad]."""
    return math.radians(math.ceil(100 * math.degrees(angle)) / 100)


def profile_lines(found: Profile) -> list[str]:
    """Return the profile point by point."""
    arm, cam = found.arm, found.cam
    head = (
        f"Profile of {cam.called} on `{found.hole}`, from its arm on, {turning(cam.goes)} for "
        f"the viewer of `{found.hole.shaft}`; the arm stands at {say(arm.angle, 'angle')} at "
        f"rest and is as long as the first radius:"
    )
    points = [[say(turn, "angle"), _radius(radius)] for turn, radius in cam.points]
    return [
        *wrapped(head, "  ", first=""),
        *table(["turn", f"radius {unit_word('length')}"], points),
    ]


def _radius(radius: float) -> str:
    return say(radius, "length", 3).split(" ")[0]


def profile_data(found: Profile) -> dict[str, Any]:
    """Return what is told of a cam alone as plain data."""
    arm, cam = found.arm, found.cam
    return {
        "cam": str(found.hole),
        "gap_before_mm": 1e3 * found.gaps[0],
        "gap_mm": 1e3 * found.gaps[1],
        "cam_turn_deg": math.degrees(found.turns),
        "pressure_angle_deg": math.degrees(found.leans),
        "sharpest_mm": 1e3 * found.sharpest,
        "roller_mm": 2e3 * float(cam.roller),
        "off_deg": math.degrees(found.off),
        "arm_angle_deg": math.degrees(arm.angle),
        "arm_length_mm": 1e3 * arm.length,
        "round": turning(cam.goes),
        "profile": [[math.degrees(turn), 1e3 * radius] for turn, radius in cam.points],
        "bounded_by": bounded_by(found) or None,
    }
