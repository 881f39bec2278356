"""Every limit of the check as a row: default, bounds, meaning and source.

Not here: those of cables (`model.cable_limits`) and of gaps (`model.gap_limits`), the
limits in force (`model.limits`), the judging (`rules`).
"""

from __future__ import annotations

import math
from typing import Final

from linkage.model.cable_limits import CABLE_ROWS
from linkage.model.cam_limits import CAM_ROWS
from linkage.model.gap_limits import GAP_ROWS
from linkage.model.limit_row import LESS, MORE, PRACTICE, LimitRow

__all__ = ["LESS", "LIMIT_ROWS", "MORE", "LimitRow"]

_PRACTICE: Final = PRACTICE
_RETURN: Final = "49 CFR 571.124"
_PAD: Final = "Ergonomics 14(2), 1971, 279-292"

LIMIT_ROWS: Final[dict[str, LimitRow]] = {
    "full_throttle": LimitRow(
        0.98,
        "fraction",
        "least share of the swing with the pedal on its stop",
        _PRACTICE,
        (0.5, 1.0),
        LESS,
    ),
    "full_throttle_worst": LimitRow(
        0.85,
        "fraction",
        "least share of the swing with every measuring error the unkind way",
        _PRACTICE,
        (0.5, 1.0),
        LESS,
    ),
    "idle_gap": LimitRow(
        math.radians(0.3),
        "angle",
        "most the plate may stand off its idle stop with the pedal up",
        _PRACTICE,
        (math.radians(0.05), math.radians(2)),
        MORE,
    ),
    "idle_clearance": LimitRow(
        0.1e-3,
        "length",
        "least way that the pin in a slot, or a lever in heat, has with the pedal up before "
        "a plate opens",
        "0.1 to 0.5 mm at the lever; common practice, no source",
        (0.01e-3, 5e-3),
        LESS,
    ),
    "left_over_travel": LimitRow(
        0.008,
        "length",
        "most pad travel left after the carburettor stop",
        _PRACTICE,
        (0.5e-3, 0.040),
        MORE,
    ),
    "lost_travel": LimitRow(
        0.005,
        "length",
        "most pad travel before the plate moves",
        _PRACTICE,
        (0.1e-3, 0.030),
        MORE,
    ),
    "arm_rod_look": LimitRow(
        math.radians(45),
        "angle",
        "arm-rod angle below which to look",
        _PRACTICE,
        (math.radians(15), math.radians(75)),
        LESS,
    ),
    "arm_rod_strong": LimitRow(
        math.radians(40),
        "angle",
        "arm-rod angle below which to look hard",
        "textbooks ask 40 to 50 deg at least (Norton; Shigley and Uicker, from memory)",
        (math.radians(15), math.radians(75)),
        LESS,
    ),
    "arm_rod_refuse": LimitRow(
        math.radians(30),
        "angle",
        "arm-rod angle below which not to fit",
        _PRACTICE,
        (math.radians(15), math.radians(75)),
        LESS,
    ),
    "dead_centre": LimitRow(
        math.radians(15),
        "angle",
        "least turn left from a stop to a dead centre",
        _PRACTICE,
        (math.radians(5), math.radians(60)),
        LESS,
    ),
    "spring_line": LimitRow(
        0.008,
        "length",
        "least distance of a spring's line from its spindle",
        _PRACTICE,
        (0.002, 0.100),
        LESS,
    ),
    "tip_in": LimitRow(
        math.radians(1.6) / 1e-3,
        "angle per travel",
        "most throttle a pad millimetre may give in the first tenth",
        _PRACTICE,
        (math.radians(0.1) / 1e-3, math.radians(5) / 1e-3),
        MORE,
    ),
    "throttle_spread": LimitRow(
        math.radians(2),
        "angle",
        "most two throttles may differ anywhere in the travel",
        _PRACTICE,
        (math.radians(0.1), math.radians(90)),
        MORE,
    ),
    "closing_ratio": LimitRow(
        2.0,
        "ratio",
        "least closing torque over friction, all springs on",
        _PRACTICE,
        (1.0, 50.0),
        LESS,
    ),
    "closing_ratio_one_off": LimitRow(
        1.2,
        "ratio",
        "least closing torque over friction with any one part failed",
        _PRACTICE,
        (1.0, 50.0),
        LESS,
    ),
    "closing_least": LimitRow(
        0.25,
        "torque",
        "least closing torque at the spindle, all springs on",
        _PRACTICE,
        (0.02, 5.0),
        LESS,
    ),
    "closing_look": LimitRow(
        0.3,
        "torque",
        "closing torque at the spindle below which to look, all springs on",
        _PRACTICE,
        (0.02, 5.0),
        LESS,
    ),
    "closing_least_one_off": LimitRow(
        0.1,
        "torque",
        "least closing torque at the spindle with any one part failed",
        _PRACTICE,
        (0.02, 5.0),
        LESS,
    ),
    "dirt_factor": LimitRow(
        2.0,
        "ratio",
        "how many times the friction is taken with any one part failed, for cold and dirt",
        _PRACTICE,
        (1.0, 10.0),
        LESS,
    ),
    "pin_apart": LimitRow(
        0.005,
        "length",
        "holes of one shaft nearer than this are on one pin",
        _PRACTICE,
        (0.001, 0.100),
        LESS,
    ),
    "anchor_apart": LimitRow(
        0.010,
        "length",
        "anchors of springs nearer than this are one anchor",
        _PRACTICE,
        (0.001, 0.500),
        LESS,
    ),
    "spring_stretch": LimitRow(
        2.0,
        "ratio",
        "most that a spring of unknown greatest length may be stretched: length over free "
        "length, or extension over the greatest that was measured",
        _PRACTICE,
        (1.0, 4.0),
        MORE,
    ),
    "return_light": LimitRow(
        1.0,
        "time",
        "longest time to idle, up to 4536 kg",
        _RETURN + " S5.3, from memory",
        (0.05, 3.0),
        MORE,
    ),
    "return_heavy": LimitRow(
        2.0,
        "time",
        "longest time to idle, over 4536 kg",
        _RETURN + " S5.3, from memory",
        (0.05, 3.0),
        MORE,
    ),
    "return_cold": LimitRow(
        3.0,
        "time",
        "longest time to idle from -18 to -40 °C",
        _RETURN + " S5.3",
        (0.05, 3.0),
        MORE,
    ),
    "pad_force_light": LimitRow(
        10.0,
        "force",
        "pad force at rest below which the foot has no feel",
        _PRACTICE,
        (1.0, 150.0),
        LESS,
    ),
    "pad_force_look": LimitRow(
        45.0,
        "force",
        "pad force above which it is heavy",
        _PAD + " finds 18-36 N pleasant; the bound is common practice",
        (1.0, 150.0),
        MORE,
    ),
    "pad_force_refuse": LimitRow(
        60.0, "force", "pad force above which it is bad", _PRACTICE, (1.0, 150.0), MORE
    ),
    "stamp_load": LimitRow(
        500.0, "force", "a stamped foot on the pad", _PRACTICE, (200.0, 5000.0), LESS
    ),
    "hand_load": LimitRow(
        250.0, "force", "a hard pull on a hand lever", _PRACTICE, (100.0, 2000.0), LESS
    ),
    "euler_share": LimitRow(
        0.5,
        "fraction",
        "most of Euler's limit a rod may be pushed with",
        _PRACTICE,
        (0.05, 0.8),
        MORE,
    ),
    "over_travel_ratio": LimitRow(
        1.5,
        "ratio",
        "load of an over-travel spring over what its rod carries, at least",
        _PRACTICE,
        (1.1, 10.0),
        LESS,
    ),
    **CABLE_ROWS,
    "guide_share_look": LimitRow(
        0.25,
        "fraction",
        "share of a rod's force along a slide that its guide may take before a look",
        _PRACTICE,
        (0.02, 0.8),
        MORE,
    ),
    "guide_share_refuse": LimitRow(
        0.5,
        "fraction",
        "the same at most: doubled in the cold it would jam",
        _PRACTICE,
        (0.02, 0.8),
        MORE,
    ),
    "guide_room": LimitRow(
        0.005,
        "length",
        "least room between a pin of a slide and the end of its guide",
        _PRACTICE,
        (0.5e-3, 0.050),
        LESS,
    ),
    **CAM_ROWS,
    "engine_rock_look": LimitRow(
        math.radians(3),
        "angle",
        "throttle the rocking engine may open before a look",
        _PRACTICE,
        (math.radians(0.1), math.radians(12)),
        MORE,
    ),
    "engine_rock_refuse": LimitRow(
        math.radians(6),
        "angle",
        "throttle the rocking engine may open at most",
        _PRACTICE,
        (math.radians(0.1), math.radians(12)),
        MORE,
    ),
    **GAP_ROWS,
}
