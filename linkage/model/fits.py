"""Classes of hole and pin by ISO 286: how much play a new joint or bush may have.

Limits of size of ISO 286-2, in micrometres: H7 as read in the table, all others from
memory, each held in the tests against the formulas of ISO 286-1 (from memory too).

Not here: what play does (`rules.play`), play that was measured (`model.rod`).
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from linkage.errors import LayoutError, did_you_mean
from linkage.model.frozen import FrozenDict
from linkage.records import short

if TYPE_CHECKING:
    from collections.abc import Mapping

#: Up to and including which diameter each column counts, the first from 3 mm on. [m]
STEPS: Final = (6e-3, 10e-3, 18e-3)
#: The least diameter, which itself is not counted. [m]
LEAST: Final = 3e-3
#: Upper limit of holes, whose lower one is nothing. [µm]
HOLES: Final[Mapping[str, tuple[int, ...]]] = FrozenDict(
    {
        "H7": (12, 15, 18),
        "H8": (18, 22, 27),
        "H9": (30, 36, 43),
        "H11": (75, 90, 110),
    }
)
#: Lower limit of pins and shafts: the thinnest. [µm]
PINS: Final[Mapping[str, tuple[int, ...]]] = FrozenDict(
    {
        "d9": (-60, -76, -93),
        "e8": (-38, -47, -59),
        "f7": (-22, -28, -34),
        "g6": (-12, -14, -17),
        "h6": (-8, -9, -11),
        "h7": (-12, -15, -18),
        "h9": (-30, -36, -43),
        "h11": (-75, -90, -110),
    }
)
_HINT: Final = "write the hole and the pin, such as H9/h11: holes {}; pins {}".format(
    ", ".join(HOLES), ", ".join(PINS)
)


def read_fit(text: object) -> str:
    """Return a fit as it is written, the hole before the pin.

    Parameters
    ----------
    text : object
        From a file.

    Raises
    ------
    LayoutError
        If it is none, or of a class that is not known here.

    >>> read_fit("H9 / h11")
    'H9/h11'
    """
    found = (
        re.fullmatch(r"\s*(\w+)\s*/\s*(\w+)\s*", text)
        if isinstance(text, str)
        else None
    )
    if found is None:
        msg = f"`{short(str(text))}` is no fit of a hole and a pin"
        raise LayoutError(msg, hint=_HINT)
    for word, known, what in zip(
        found.groups(), (HOLES, PINS), ("holes", "pins"), strict=True
    ):
        if word not in known:
            msg = f"unknown class of {what} `{short(word)}`"
            raise LayoutError(msg, hint=did_you_mean(word, known))
    return "/".join(found.groups())


def most_play(fit: str, diameter: float) -> float:
    """Return the play of the widest hole with the thinnest pin of a fit.

    Parameters
    ----------
    fit : str
        From `read_fit`.
    diameter : float
        Of the pin. [m]

    Returns
    -------
    float
        From side to side. [m]

    Raises
    ------
    LayoutError
        If the diameter is not within 3 to 18 mm.

    >>> round(1e6 * most_play("H7/f7", 8e-3))
    43
    """
    column = next((i for i, step in enumerate(STEPS) if diameter <= step + 1e-9), None)
    if column is None or diameter <= LEAST + 1e-9:
        msg = f"no fit is known here of a pin {1e3 * diameter:g} mm thick"
        hint = "fits are known from over 3 mm to 18 mm; give `play` instead"
        raise LayoutError(msg, hint=hint)
    hole, pin = fit.split("/")
    return 1e-6 * (HOLES[hole][column] - PINS[pin][column])
