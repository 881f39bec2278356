"""Every limit of gaps as a row: default, bounds, meaning and source.

Not here: the other limits (`model.limit_rows`), the judging (`rules.gaps`).
"""

from __future__ import annotations

from typing import Final

from linkage.model.limit_row import LESS, PRACTICE, LimitRow

GAP_ROWS: Final[dict[str, LimitRow]] = {
    "gap_fixed": LimitRow(
        0.005,
        "length",
        "least gap of a part to what stands still beside it",
        "5 mm or 3/16 in is usual; common practice, no source",
        (0.5e-3, 0.100),
        LESS,
    ),
    "gap_moving": LimitRow(
        0.005,
        "length",
        "least gap of a part to what moves beside it",
        "5 mm or 3/16 in is usual; common practice, no source",
        (0.5e-3, 0.100),
        LESS,
    ),
    "gap_own_look": LimitRow(
        0.005,
        "length",
        "gap between two parts of the linkage, not joined to each other, below which to look",
        "5 mm or 3/16 in is usual; common practice, no source",
        (0.5e-3, 0.100),
        LESS,
    ),
    "gap_own_refuse": LimitRow(
        0.002,
        "length",
        "least gap between two parts of the linkage that are not joined to each other",
        PRACTICE,
        (0.5e-3, 0.100),
        LESS,
    ),
    "gap_across": LimitRow(
        0.012,
        "length",
        "least gap of what the engine holds to what the body holds, engine at rest",
        "12 to 25 mm is usual, as the engine rocks; common practice, no source",
        (0.001, 0.200),
        LESS,
    ),
    "gap_exhaust": LimitRow(
        0.050,
        "length",
        "least gap of a part to the exhaust, for the heat",
        PRACTICE,
        (0.005, 0.500),
        LESS,
    ),
}
