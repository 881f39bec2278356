"""Write what pint says of our units as a module: ``python -m linkage.units.write``.

Run it after a change of `table`. What it writes, `units.factors`, travels with the
package, so that nobody waits for pint; a test holds the file against pint.

Not here: using the factors (`units.convert`).
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import pint

from linkage.units.convert import SI, shown_word
from linkage.units.table import KINDS, UNITS, words

#: Where the module stands.
PLACE: Final = Path(__file__).with_name("factors.py")

_HEAD: Final = '''"""Factors and offsets of units, as pint has them.

Written by ``python -m linkage.units.write`` from `units.table`: never edit it. pint
takes its constants from CODATA and NIST.
"""

from __future__ import annotations

from typing import Final

#: By kind and word: (factor, offset) with SI = factor * number + offset.
FACTORS: Final[dict[str, dict[str, tuple[float, float]]]] = {
'''


def registry() -> pint.UnitRegistry[Any]:
    """Return pint computing in fractions, so that no factor is rounded twice."""
    return pint.UnitRegistry(non_int_type=Fraction)


def ask(asked: pint.UnitRegistry[Any], kind: str, word: str) -> tuple[float, float]:
    """Return factor and offset of a unit as pint has them."""
    quantity, name, inside = asked.Quantity, UNITS[kind][word].pint, SI[kind]
    offset = 0.0
    if kind == "temperature":
        offset = float(quantity(Fraction(0), name).to(inside).magnitude)
        name, inside = f"delta_{name}", f"delta_{inside}"
    return float(quantity(Fraction(1), name).to(inside).magnitude), offset


def module_text() -> str:
    """Ask pint for every unit that is neither SI nor shown; return the module."""
    asked = registry()
    lines = []
    for kind in KINDS:
        known = {
            word: ask(asked, kind, word)
            for word in words(kind)
            if word != shown_word(kind) and UNITS[kind][word].pint != SI[kind]
        }
        if known:
            rows = [f'        "{word}": {line!r},' for word, line in known.items()]
            lines += [f'    "{kind}": {{', *rows, "    },"]
    return _HEAD + "\n".join([*lines, "}", ""])


if __name__ == "__main__":
    PLACE.write_text(module_text(), encoding="utf-8")
