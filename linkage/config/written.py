"""Text, names and numbers as they are written in TOML.

Not here: whole tables (`writer`).
"""

import json
import re
from decimal import Decimal

from linkage.quantities import SHOWN
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
        In the shown unit; where no decimal number of it gives this float, in SI.

    >>> number_of(0.0501, "length")
    '50.1 mm'
    """
    unit = shown_word(kind)
    exact = Decimal(repr(value)) / Decimal(repr(SHOWN[kind].factor))
    shown = from_si(value, kind, unit)
    for digits in (6, 9, 12, 15, 16, 17):
        for candidate in (shown, exact):
            small = 0 < abs(value) < 1e-4 * SHOWN[kind].factor
            form = f".{digits - 1}e" if small else f".{digits}g"
            text = _plain(format(candidate, form))
            if parse(f"{text} {unit}".strip(), kind).value == value:
                return f"{text} {unit}".strip()
    word = next(w for w, row in UNITS[kind].items() if row.pint == SI[kind])
    return f"{_plain(repr(value))} {word}"


def _plain(number: str) -> str:
    """Return a number of ``.g`` format in the grammar of a layout file."""
    head, mark, power = number.lower().partition("e")
    if "." in head:
        head = head.rstrip("0").rstrip(".")
    if head in {"-0", "-"}:
        head = "0"
    return f"{head}e{int(power)}" if mark else head
