"""Cases by seed and number: the same always give the same file and command line."""

from __future__ import annotations

import re
from random import Random
from typing import Final

from tests.fuzz.commands import LONG, PICTURES, READ, WHOLE, words
from tests.fuzz.mutate import mutated
from tests.fuzz.run import Case
from tests.fuzz.seeds import layouts

#: Of 1000 cases so many read, assemble and move; are judged whole; search; draw; have
#: words at random behind the command. The rest of time goes to the first, as most
#: files are refused when they are read, whatever was to be done with them.
SHARES: Final = (930, 30, 10, 5, 25)
#: The same by hand, where there is more time.
DEEP: Final = (100, 500, 120, 80, 200)
#: A command line ends where a word has this.
_NONE: Final = re.compile("\0.*", re.DOTALL)


def case(seed: int, number: int, *, deep: bool = False) -> Case:
    """Return one case; a deep one is more often a layout, and judged whole."""
    rng = Random(f"{seed}:{number}")
    known = layouts()
    name = rng.choice([*known])
    other = known[rng.choice([*known])].encode()
    (kind,) = rng.choices((READ, WHOLE, LONG, PICTURES, None), DEEP if deep else SHARES)
    sound = kind is None and rng.random() < 0.7
    text = known[name]
    layout = text.encode() if sound else mutated(rng, text, deep=deep)
    line = words(rng) if kind is None else rng.choice(kind)
    line = tuple(_NONE.sub("", word) for word in line)
    return Case(f"{seed}:{number}", line, layout, other)
