"""Words of a comparison, or of a swap, said of governed engines.

Inside, what a governor does counts as opening: where of pedals something is said to
open, a governor shuts it, and the other way round.

Not here: the words of pedals (`report.compare_words`, `report.reverses`).
"""

from __future__ import annotations

import re
from typing import Final

#: What is said of a pedal, and what of a governor; all at once, the first that fits.
_WORDS: Final = (
    (r"\bPressing opened\b", "The governor shut"),
    (r"\bPressing shut\b", "The governor opened"),
    (r"\bPressing did not move\b", "The governor did not move"),
    (r"\bPressing SHUTS\b", "The governor OPENS"),
    (r"\bPressing opens\b", "The governor shuts"),
    (r"\bnow it SHUTS it\b", "now it OPENS it"),
    (r"\bnow it opens it\b", "now it shuts it"),
    (r"\bpressing NOW shuts\b", "the governor NOW opens"),
    (r"\bpressing NOW opens\b", "the governor NOW shuts"),
    (r"\bbefore it opened it\b", "before it shut it"),
    (r"\bbefore it shut it\b", "before it opened it"),
    (r"\bpressing opens\b", "the governor shuts"),
    (r"\bpressing shuts\b", "the governor opens"),
    (r"\bpressing does not move\b", "the governor does not move"),
    (r"\bpedal down\b", "engine faster"),
    (r"\bthe closing way\b", "the opening way"),
    (r"\bthe opening way\b", "the closing way"),
    (r"\bat idle\b", "at rest"),
    (r"\bof the car\b", "of the engine"),
    (r"\bPedal going down\b", "Engine running faster"),
    (r"\bagainst it, shuts\b", "against it, opens"),
    (r"\bWITH it, OPENS\b", "with it, shuts"),
    (r"\bagainst it, OPENS\b", "against it, SHUTS"),
    (r"\bWITH it, shuts\b", "WITH it, OPENS"),
    (r"\bWITH it\b", "with it"),
    (r"\bopen; plate opens to\b", "shut; plate shuts to"),
    (r"\bstill does not open\b", "still does not shut"),
    (r"\bopens from pad\b", "shuts from arm travel"),
    (r"\bdrives from pad\b", "drives from arm travel"),
    (r"\bopens (?=clockwise|anticlockwise|again|\d)", "shuts "),
    (r"\bopened (?=clockwise|anticlockwise)", "shut "),
    (r"\bopens the other way\b", "turns the other way"),
    (r"\bopens (?=.* as before, but)", "shuts "),
    (r"\bopens$", "shuts"),
    (r"^shuts(?=;)", "opens"),
    (r"\bpressing turns it\b", "the governor turns it"),
    (r"\bof pad\b", "of arm travel"),
    (r"\bpad (?=at|force)", "arm "),
    (r"\bpedal\b", "governor"),
)
_ALL: Final = re.compile("|".join(f"({said})" for said, _ in _WORDS))


def of_governors(text: str, *, governed: bool) -> str:
    """Return what a comparison or a swap says, of governed engines in their words.

    Names, which stand in backticks, stay.

    >>> of_governors("Pressing opens `pad`, as before.", governed=True)
    'The governor shuts `pad`, as before.'
    """
    if not governed:
        return text

    def piece(found: re.Match[str]) -> str:
        if "`" in found[0]:
            return found[0]
        return _ALL.sub(lambda m: _WORDS[(m.lastindex or 1) - 1][1], found[0])

    return re.sub(r"`[^`]*`?|[^`]+", piece, text)
