"""Sizes that are usual: from where to where, and beyond which a person is asked.

They are no limits: nothing is refused, and no verdict hangs on them. A size that is
outside asks "is that right?", and is looked at first where a slip is suspected.
Every range is common practice, no source.

Not here: which sizes of a layout are outside (`slips.questions`), limits
(`model.limit_rows`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.quantities import say_round
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model.columns import Number, Truth


@dataclass(frozen=True, slots=True)
class UsualRow:
    """The usual range of one size.

    Parameters
    ----------
    what : str
        What it is of, in the plural, as in "arms are usually ...".
    kind : str
        Key of `linkage.quantities.SHOWN`.
    low, high : float
        Usual from and to, both included. [SI]
    why : str
        What is wrong where it is outside.
    """

    what: str
    kind: str
    low: float
    high: float
    why: str

    def outside(self, value: Number) -> Truth:
        """Tell whether a size, float or column, is outside; nan is not."""
        hair = 1e-9 * self.high
        return (value < self.low - hair) | (value > self.high + hair)

    @property
    def range(self) -> str:
        """From where to where, in the unit that sentences speak in.

        >>> USUAL["arm"].range, USUAL["play"].range
        ('15 mm to 250 mm', 'up to 5 mm')
        """
        high = _say(self.high, self.kind)
        return f"{_say(self.low, self.kind)} to {high}" if self.low else f"up to {high}"


def _say(value: float, kind: str) -> str:
    """Return a bound with four digits at most."""
    text = say_round(value, kind)
    return (
        text if len(text.split(" ")[0]) <= 5 else say_round(_rounded(value, kind), kind)
    )


def _rounded(value: float, kind: str) -> float:
    """Return a bound to two digits of the spoken unit."""
    from linkage.quantities import spoken_unit  # noqa: PLC0415

    factor = spoken_unit(kind).factor
    return float(f"{value / factor:.2g}") * factor


#: Usual sizes by a short name. Common practice, no source, all of them.
USUAL: Final[dict[str, UsualRow]] = {
    "arm": UsualRow(
        "arms",
        "length",
        15e-3,
        250e-3,
        "under it a hole meets the hub; over it a lever bends and finds no room",
    ),
    "pad travel": UsualRow(
        "pad travels",
        "length",
        30e-3,
        120e-3,
        "under it a pedal is touchy; over it the foot leaves the floor",
    ),
    "pedal turn": UsualRow(
        "turns of a pedal",
        "angle",
        math.radians(8),
        math.radians(60),
        "an ankle turns about so far: pad travel and pad radius do not go together",
    ),
    "rod": UsualRow(
        "rods",
        "length",
        30e-3,
        1.5,
        "under it two joints find no room; over it a rod sags, and bows when pushed",
    ),
    "slot": UsualRow(
        "slots in a rod",
        "length",
        5e-3,
        60e-3,
        "it is the free way of the pin, from end to end, not the pin with it",
    ),
    "lost": UsualRow(
        "ways that a rod loses at rest",
        "length",
        0.0,
        60e-3,
        "it is the way of the pin to the end that drives, with the pedal up",
    ),
    "slack": UsualRow(
        "slacks of a cable",
        "length",
        0.0,
        12e-3,
        "it is the wire that hangs loose with the pedal up, which its adjuster takes up",
    ),
    "wire length": UsualRow(
        "wires of a cable",
        "length",
        100e-3,
        6.0,
        "it is measured from nipple to nipple, the sheath being less",
    ),
    "wire": UsualRow(
        "diameters of a wire",
        "length",
        0.8e-3,
        6e-3,
        "it is the wire alone, without its sheath",
    ),
    "backlash": UsualRow(
        "plays of a push-pull cable",
        "length",
        0.0,
        8e-3,
        "one with more is worn out: measure again, or give it in the file's unit",
    ),
    "over-travel": UsualRow(
        "ways of an over-travel spring",
        "length",
        3e-3,
        30e-3,
        "it is how far the rod can give, not the length of its spring",
    ),
    "over-travel load": UsualRow(
        "loads of an over-travel spring",
        "force",
        15.0,
        250.0,
        "it is the pull at which the rod begins to give, in the file's unit",
    ),
    "swing": UsualRow(
        "swings of a plate",
        "angle",
        math.radians(60),
        math.radians(95),
        "a plate goes from nearly shut to in line with its bore",
    ),
    "closed angle": UsualRow(
        "angles of a shut plate",
        "angle",
        0.0,
        math.radians(20),
        "it is counted from square to the bore",
    ),
    "bore": UsualRow(
        "bores", "length", 18e-3, 65e-3, "it is a diameter, in the file's unit"
    ),
    "spindle": UsualRow(
        "spindles", "length", 5e-3, 14e-3, "it is a diameter, in the file's unit"
    ),
    "bearing": UsualRow(
        "bearings", "length", 4e-3, 40e-3, "it is a diameter, in the file's unit"
    ),
    "rod diameter": UsualRow(
        "diameters of a rod",
        "length",
        3e-3,
        20e-3,
        "under it a rod bows; over it joints of its thread find no room",
    ),
    "offset": UsualRow(
        "offsets of an arm",
        "length",
        0.0,
        1.5,
        "no shaft of a vehicle is longer than its bulkhead is wide",
    ),
    "place": UsualRow(
        "places from the datum",
        "length",
        0.0,
        4.0,
        "further off a datum is of no use to a tape",
    ),
    "play": UsualRow(
        "plays of a rod's two joints",
        "length",
        0.0,
        5e-3,
        "joints with more are worn out: measure again, or give it in the file's unit",
    ),
    "bush": UsualRow(
        "plays of a shaft's bush",
        "length",
        0.0,
        3e-3,
        "a bush with more is worn out: measure again, or give it in the file's unit",
    ),
    "free play": UsualRow(
        "free plays of a pedal", "length", 0.0, 15e-3, "measure it at the pad"
    ),
    "free length": UsualRow(
        "free lengths of a spring",
        "length",
        15e-3,
        300e-3,
        "it is the length without load, between the insides of the hooks",
    ),
    "spring rate": UsualRow(
        "rates of a spring",
        "rate",
        0.03e3,
        10e3,
        "it is force a length, not force alone",
    ),
    "roll": UsualRow(
        "rolls of an engine",
        "angle",
        0.0,
        math.radians(8),
        "further an engine on sound mounts does not go: measure to one side of rest",
    ),
    "lift": UsualRow(
        "lifts of an engine",
        "length",
        0.0,
        75e-3,
        "a mount that lets go gives a gap, which the engine then rises by",
    ),
}
