"""The limits against which a linkage is judged; every one can be changed.

Not here: the judging (`rules`).
"""

from __future__ import annotations

import math
from dataclasses import fields
from typing import Final

from linkage.records import dataclass


@dataclass(frozen=True, slots=True)
class LimitRow:
    """Default, kind and source of one limit.

    Parameters
    ----------
    default : float
        In SI. [SI]
    kind : str
        Key of `linkage.quantities.SHOWN`.
    meaning : str
        What it bounds.
    source : str
        Where the default comes from.
    """

    default: float
    kind: str
    meaning: str
    source: str


_PRACTICE: Final = "common practice, no source"
_RETURN: Final = "49 CFR 571.124"
_PAD: Final = "Ergonomics 14(2), 1971, 279-292"

LIMIT_ROWS: Final[dict[str, LimitRow]] = {
    "full_throttle": LimitRow(
        0.98,
        "fraction",
        "least share of the swing with the pedal on its stop",
        _PRACTICE,
    ),
    "idle_gap": LimitRow(
        math.radians(0.3),
        "angle",
        "most the plate may stand off its idle stop with the pedal up",
        _PRACTICE,
    ),
    "left_over_travel": LimitRow(
        0.008, "length", "most pad travel left after the carburettor stop", _PRACTICE
    ),
    "lost_travel": LimitRow(
        0.005, "length", "most pad travel before the plate moves", _PRACTICE
    ),
    "arm_rod_look": LimitRow(
        math.radians(45), "angle", "arm-rod angle below which to look", _PRACTICE
    ),
    "arm_rod_strong": LimitRow(
        math.radians(40),
        "angle",
        "arm-rod angle below which to look hard",
        "textbooks ask 40 to 50 deg at least (Norton; Shigley and Uicker, from memory)",
    ),
    "arm_rod_refuse": LimitRow(
        math.radians(30), "angle", "arm-rod angle below which not to fit", _PRACTICE
    ),
    "dead_centre": LimitRow(
        math.radians(15),
        "angle",
        "least turn left from a stop to a dead centre",
        _PRACTICE,
    ),
    "spring_line": LimitRow(
        0.008, "length", "least distance of a spring's line from its spindle", _PRACTICE
    ),
    "tip_in": LimitRow(
        math.radians(1.6) / 1e-3,
        "angle per travel",
        "most throttle a pad millimetre may give in the first tenth",
        _PRACTICE,
    ),
    "throttle_spread": LimitRow(
        math.radians(2),
        "angle",
        "most two throttles may differ anywhere in the travel",
        _PRACTICE,
    ),
    "closing_ratio": LimitRow(
        2.0, "ratio", "least closing torque over friction, all springs on", _PRACTICE
    ),
    "closing_ratio_one_off": LimitRow(
        1.2,
        "ratio",
        "least closing torque over friction with any one part failed",
        _PRACTICE,
    ),
    "closing_least": LimitRow(
        0.25,
        "torque",
        "least closing torque at the spindle, all springs on",
        _PRACTICE,
    ),
    "closing_look": LimitRow(
        0.3,
        "torque",
        "closing torque at the spindle below which to look, all springs on",
        _PRACTICE,
    ),
    "closing_least_one_off": LimitRow(
        0.1,
        "torque",
        "least closing torque at the spindle with any one part failed",
        _PRACTICE,
    ),
    "dirt_factor": LimitRow(
        2.0,
        "ratio",
        "how many times the friction is taken with any one part failed, for cold and dirt",
        _PRACTICE,
    ),
    "pin_apart": LimitRow(
        0.005,
        "length",
        "holes of one shaft nearer than this are on one pin",
        _PRACTICE,
    ),
    "anchor_apart": LimitRow(
        0.010,
        "length",
        "anchors of springs nearer than this are one anchor",
        _PRACTICE,
    ),
    "spring_stretch": LimitRow(
        2.0,
        "ratio",
        "most that a spring of unknown greatest length may be stretched: length over free "
        "length, or extension over the greatest that was measured",
        _PRACTICE,
    ),
    "return_light": LimitRow(
        1.0,
        "time",
        "longest time to idle, up to 4536 kg",
        _RETURN + " S5.3, from memory",
    ),
    "return_heavy": LimitRow(
        2.0,
        "time",
        "longest time to idle, over 4536 kg",
        _RETURN + " S5.3, from memory",
    ),
    "return_cold": LimitRow(
        3.0, "time", "longest time to idle from -18 to -40 °C", _RETURN + " S5.3"
    ),
    "pad_force_light": LimitRow(
        10.0, "force", "pad force at rest below which the foot has no feel", _PRACTICE
    ),
    "pad_force_look": LimitRow(
        45.0,
        "force",
        "pad force above which it is heavy",
        _PAD + " finds 18-36 N pleasant; the bound is common practice",
    ),
    "pad_force_refuse": LimitRow(
        60.0, "force", "pad force above which it is bad", _PRACTICE
    ),
    "stamp_load": LimitRow(500.0, "force", "a stamped foot on the pad", _PRACTICE),
    "euler_share": LimitRow(
        0.5, "fraction", "most of Euler's limit a rod may be pushed with", _PRACTICE
    ),
    "engine_rock_look": LimitRow(
        math.radians(3),
        "angle",
        "throttle the rocking engine may open before a look",
        _PRACTICE,
    ),
    "engine_rock_refuse": LimitRow(
        math.radians(6),
        "angle",
        "throttle the rocking engine may open at most",
        _PRACTICE,
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The limits in force, in SI; the fields are the keys of `LIMIT_ROWS`."""

    full_throttle: float = LIMIT_ROWS["full_throttle"].default
    idle_gap: float = LIMIT_ROWS["idle_gap"].default
    left_over_travel: float = LIMIT_ROWS["left_over_travel"].default
    lost_travel: float = LIMIT_ROWS["lost_travel"].default
    arm_rod_look: float = LIMIT_ROWS["arm_rod_look"].default
    arm_rod_strong: float = LIMIT_ROWS["arm_rod_strong"].default
    arm_rod_refuse: float = LIMIT_ROWS["arm_rod_refuse"].default
    dead_centre: float = LIMIT_ROWS["dead_centre"].default
    spring_line: float = LIMIT_ROWS["spring_line"].default
    tip_in: float = LIMIT_ROWS["tip_in"].default
    throttle_spread: float = LIMIT_ROWS["throttle_spread"].default
    closing_ratio: float = LIMIT_ROWS["closing_ratio"].default
    closing_ratio_one_off: float = LIMIT_ROWS["closing_ratio_one_off"].default
    closing_least: float = LIMIT_ROWS["closing_least"].default
    closing_look: float = LIMIT_ROWS["closing_look"].default
    closing_least_one_off: float = LIMIT_ROWS["closing_least_one_off"].default
    dirt_factor: float = LIMIT_ROWS["dirt_factor"].default
    pin_apart: float = LIMIT_ROWS["pin_apart"].default
    anchor_apart: float = LIMIT_ROWS["anchor_apart"].default
    spring_stretch: float = LIMIT_ROWS["spring_stretch"].default
    return_light: float = LIMIT_ROWS["return_light"].default
    return_heavy: float = LIMIT_ROWS["return_heavy"].default
    return_cold: float = LIMIT_ROWS["return_cold"].default
    pad_force_light: float = LIMIT_ROWS["pad_force_light"].default
    pad_force_look: float = LIMIT_ROWS["pad_force_look"].default
    pad_force_refuse: float = LIMIT_ROWS["pad_force_refuse"].default
    stamp_load: float = LIMIT_ROWS["stamp_load"].default
    euler_share: float = LIMIT_ROWS["euler_share"].default
    engine_rock_look: float = LIMIT_ROWS["engine_rock_look"].default
    engine_rock_refuse: float = LIMIT_ROWS["engine_rock_refuse"].default

    def changed(self) -> dict[str, tuple[float, float]]:
        """Return the limits that differ from their default, as (value, default).

        >>> Limits(stamp_load=600.0).changed()
        {'stamp_load': (600.0, 500.0)}
        """
        return {
            f.name: (getattr(self, f.name), LIMIT_ROWS[f.name].default)
            for f in fields(self)
            if getattr(self, f.name) != LIMIT_ROWS[f.name].default
        }
