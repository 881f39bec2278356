"""Every limit of cams as a row: default, bounds, meaning and source.

Not here: the other limits (`model.limit_rows`), the judging (`rules.cams`).
"""

from __future__ import annotations

import math
from typing import Final

from linkage.model.limit_row import LESS, MORE, PRACTICE, LimitRow

CAM_ROWS: Final[dict[str, LimitRow]] = {
    "cam_pressure_look": LimitRow(
        math.radians(30),
        "angle",
        "pressure angle of a cam above which to look",
        "30 degrees is usual of textbooks; common practice, no source",
        (math.radians(10), math.radians(60)),
        MORE,
    ),
    "cam_pressure_refuse": LimitRow(
        math.radians(45),
        "angle",
        "pressure angle of a cam above which not to fit",
        "45 degrees is usual of rollers on an arm; common practice, no source",
        (math.radians(10), math.radians(70)),
        MORE,
    ),
    "cam_left": LimitRow(
        math.radians(3),
        "angle",
        "least turn of the normal from a roller to either end of its cam's profile",
        PRACTICE,
        (math.radians(0.5), math.radians(45)),
        LESS,
    ),
}
