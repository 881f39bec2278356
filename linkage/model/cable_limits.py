"""Every limit of cables and drums as a row: default, bounds, meaning and source.

Not here: the other limits (`model.limit_rows`), the judging (`rules.cables`,
`rules.sheaths`, `rules.drums`).
"""

from __future__ import annotations

import math
from typing import Final

from linkage.model.limit_row import LESS, MORE, PRACTICE, LimitRow

CABLE_ROWS: Final[dict[str, LimitRow]] = {
    "nipple_clear": LimitRow(
        0.010,
        "length",
        "least way from the nipple of a cable to the end of its sheath",
        PRACTICE,
        (0.002, 0.100),
        LESS,
    ),
    "cable_slack_least": LimitRow(
        0.5e-3,
        "length",
        "least slack of a cable with the pedal up",
        "1 to 2 mm is usual; common practice, no source",
        (0.05e-3, 0.005),
        LESS,
    ),
    "cable_slack_most": LimitRow(
        0.003,
        "length",
        "most slack of a cable with the pedal up",
        "1 to 2 mm is usual; common practice, no source",
        (0.25e-3, 0.030),
        MORE,
    ),
    "sheath_radius_look": LimitRow(
        0.075,
        "length",
        "radius of a sheath below which to look",
        PRACTICE,
        (0.010, 0.500),
        LESS,
    ),
    "sheath_radius_refuse": LimitRow(
        0.050,
        "length",
        "radius of a sheath below which not to fit",
        PRACTICE,
        (0.010, 0.500),
        LESS,
    ),
    "sheath_loss_look": LimitRow(
        1.5,
        "ratio",
        "pull at one end of a cable over that at the other above which to look",
        PRACTICE,
        (1.05, 5.0),
        MORE,
    ),
    "sheath_loss_refuse": LimitRow(
        2.0,
        "ratio",
        "pull at one end of a cable over that at the other above which not to fit",
        PRACTICE,
        (1.05, 5.0),
        MORE,
    ),
    "drum_wrap": LimitRow(
        math.radians(10),
        "angle",
        "least turn of a drum on which the wire lies, and least that it leaves bare",
        PRACTICE,
        (math.radians(2), math.radians(90)),
        LESS,
    ),
    "wire_factor": LimitRow(
        2.0,
        "ratio",
        "load at which a wire breaks over what a stamped foot pulls it with, at least",
        PRACTICE,
        (1.1, 20.0),
        LESS,
    ),
}
