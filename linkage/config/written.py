"""Text, names and numbers as they are written in TOML.

Not here: whole tables (`writer`).
"""

import json
import re
from decimal import Decimal
from typing import Final

from linkage.quantities import SHOWN, spoken_unit
from linkage.units import UNITS, from_si, parse
from linkage.units.convert import SI, shown_word


def text_of(value: str) -> str:
    """Return text in quotes, as TOML wants it."""
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def key_of(name: str) -> str:
    """Return a name as a key: bare where TOML allows it.

    >>> key_of("cross shaft")
    '"cross shaft"'
    """
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else text_of(name)


#: Words of the table of units, where people are spoken to in other ones.
_WRITTEN: Final = {"°/in": "deg/in", "lbf·in/°": "lbf·in/deg"}


def written_word(kind: str) -> str:
    """Return the word of the unit in which a file is written: that which is spoken.

    >>> written_word("length")
    'mm'
    """
    row = spoken_unit(kind)
    return shown_word(kind) if row is SHOWN[kind] else _WRITTEN.get(row.unit, row.unit)


def number_of(value: float, kind: str) -> str:
    """Return the shortest text of a value that reads back to the very same float.

    Parameters
    ----------
    value : float
        In SI. [SI]
    kind : str
        Key of `linkage.quantities.SHOWN`.

    Returns
    -------
    str
        In the unit that is spoken; where no decimal number of it gives this float, in
        the shown one, and where none of that does, in SI.

    >>> number_of(0.0501, "length")
    '50.1 mm'
    """
    spoken = spoken_unit(kind)
    for unit, factor in dict.fromkeys(
        ((written_word(kind), spoken.factor), (shown_word(kind), SHOWN[kind].factor))
    ):
        text = _exact(value, kind, unit, factor)
        if text:
            return text
    word = next(w for w, row in UNITS[kind].items() if row.pint == SI[kind])
    return f"{_plain(repr(value))} {word}"


def _exact(value: float, kind: str, unit: str, factor: float) -> str:
    """Return the shortest text in a unit that reads back; empty where there is none."""
    exact = Decimal(repr(value)) / Decimal(repr(factor))
    near = from_si(value, kind, unit)
    for digits in (6, 9, 12, 15, 16, 17):
        for candidate in (near, exact):
            small = 0 < abs(value) < 1e-4 * factor
            form = f".{digits - 1}e" if small else f".{digits}g"
            text = f"{_plain(format(candidate, form))} {unit}".strip()
            if parse(text, kind).value == value:
                return text
    return ""


def _plain(number: str) -> str:
    """Return a number of ``.g`` format in the grammar of a layout file."""
    head, mark, power = number.lower().partition("e")
    if "." in head:
        head = head.rstrip("0").rstrip(".")
    if head in {"-0", "-"}:
        head = "0"
    return f"{head}e{int(power)}" if mark else head
