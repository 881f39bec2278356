"""The usual slips of measuring and meaning, the likeliest first.

The order is common practice, no source: what is easily mistaken at one look comes
before what takes a wrong way of measuring, and before what is wrong of a whole shaft.

Not here: what each would change in a layout (`slips.sizes`, `slips.turned`,
`slips.wholes`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model.paths import Path
    from linkage.model.refs import Ref


@dataclass(frozen=True, slots=True)
class Kind:
    """One usual slip.

    Parameters
    ----------
    order : int
        Its place among all, the likeliest 0.
    meaning : str
        What was done, in words.
    why : str
        Why it stands there in the order.
    """

    order: int
    meaning: str
    why: str


_KINDS: Final = (
    (
        "wound",
        "`wound` of a drum for the other viewer",
        "one word, and clockwise turns round with the viewer",
    ),
    (
        "viewer",
        "an angle seen from the other side: of the other sign, or 180° less it",
        "nothing in the number shows from where it was seen",
    ),
    (
        "opens",
        "`opens` for the other viewer",
        "one word, and clockwise turns round with the viewer",
    ),
    (
        "sign",
        "the sign of y: a pivot, an anchor or an offset on the other side",
        "a rule shows no sign; y counts to the left, an offset toward the viewer",
    ),
    (
        "unit",
        "measured in inches or centimetres and typed in the file's unit, or the like",
        "a tape has two scales; the size is then ten or 25.4 times off",
    ),
    (
        "digits",
        "two digits of a value swapped, as 47 for 74",
        "a slip of the pen, as likely in any number",
    ),
    (
        "diameter",
        "the diameter of a drum given as its radius",
        "callipers show a diameter, and `length` asks for the radius",
    ),
    (
        "level",
        "an angle read from upright and not from level",
        "an angle gauge shows either, by how it is held",
    ),
    (
        "exchanged",
        "y and z of a place exchanged",
        "they stand side by side",
    ),
    (
        "presses",
        "`presses`, `pulls` of a hand lever or `turns` of a governor, for the other viewer",
        "as `opens`, but few files need the word",
    ),
    (
        "ends",
        "a rod measured over its ends and not centre to centre",
        "its ends are what a rule finds; it is half a ball too long at either",
    ),
    (
        "slot end",
        "a rod with a slot measured to the other end of it, or so what it loses",
        "which end drives is seen only when the pedal is pressed",
    ),
    (
        "slot ends",
        "a slot measured over its ends, the pin with it",
        "its ends are what a rule finds; it is a pin too long",
    ),
    (
        "slot length",
        "the length of a slot given as that of its rod",
        "both are lengths of one part",
    ),
    (
        "edge",
        "a radius measured to an edge and not a centre: off by half a hole or half a shaft",
        "a few millimetres, which seldom make all the difference",
    ),
    (
        "unit written",
        "the reverse: measured in the file's unit and typed with another",
        "the unit then stands beside the number, where it is seen",
    ),
    (
        "shaft viewer",
        "every arm of a shaft seen from the other side, and `opens` with them",
        "takes a whole table written for the wrong viewer",
    ),
    (
        "axis",
        "a shaft along the vehicle given as across, or the like",
        "takes a whole table of another direction",
    ),
)
#: Slips by name, the likeliest first.
KINDS: Final[dict[str, Kind]] = {
    name: Kind(order, meaning, why) for order, (name, meaning, why) in enumerate(_KINDS)
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hypothesis:
    """One slip that may have been made.

    Parameters
    ----------
    kind : str
        A key of `KINDS`.
    about : Ref
        The part.
    key : tuple of str
        Where it stands in the file.
    clause : str
        What may have been done, after "if".
    then : str
        What it then is.
    old, new : object
        As it is and as it would be: a number in SI, a place or a word.
    unit : str
        Kind of the two, a key of `quantities.SHOWN`; empty of a word.
    sets : mapping of path to object
        What would stand in the layout, floats or axes.
    change : float
        How much it would change, as a share of what is usual; the least comes first.
    turned : tuple of str
        Throttles that would open the other way; ``pedal`` where pressing would turn
        the other way.
    """

    kind: str
    about: Ref
    key: tuple[str, ...]
    clause: str
    then: str
    old: object
    new: object
    unit: str
    sets: Mapping[Path, object]
    change: float
    turned: tuple[str, ...] = ()
