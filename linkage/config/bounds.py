"""What a layout file may hold at most, and what is refused before it is read.

Reading takes time and memory that grow with what a file holds, some of it with the
square: a dotted key of 40 kB alone takes a reader of TOML more than a gigabyte. So
each is bounded far beyond any layout that a person writes, and what no reader of
TOML should be given is found here, in one walk over the words of the file.

Not here: bounds that a layout in Python has too (`model.most`), reading (`toml`).
"""

import re
from collections.abc import Iterator
from typing import Final

from linkage.errors import LayoutError, Place
from linkage.model.most import MOST_PARTS
from linkage.outside.files import GREATEST_SIZE
from linkage.records import dataclass

#: Most parts of a key with dots, and most brackets inside one another.
MOST_DEPTH: Final = 8
#: Longest bare word or number.
MOST_WORD: Final = 100
#: Longest text in quotes that is read as a value.
MOST_TEXT: Final = 300


@dataclass(frozen=True, slots=True)
class Bound:
    """One bound of a layout file, as the pages tell it.

    Parameters
    ----------
    what : str
        What is bounded.
    most : str
        How much there may be.
    why : str
        Why no layout needs more, or what more would do.
    """

    what: str
    most: str
    why: str


BOUNDS: Final = (
    Bound(
        "a file, and a list of springs at hand",
        f"{GREATEST_SIZE // 1000} kB",
        "a vehicle takes 2 to 8 kB, comments and all; this much of the worst that TOML "
        "allows is read in half a second",
    ),
    Bound(
        "parts of a key with dots, `shafts.NAME.arms.NAME.length`",
        str(MOST_DEPTH),
        "the deepest key of a layout has 6; time and memory of a reader of TOML grow "
        "with the square",
    ),
    Bound(
        "brackets inside one another",
        str(MOST_DEPTH),
        "the deepest value of a layout has 5; readers of TOML call themselves at each",
    ),
    Bound(
        "signs of a bare word or number",
        str(MOST_WORD),
        "names have 80 and numbers 20 digits at most",
    ),
    Bound(
        "signs of a text, the title too",
        str(MOST_TEXT),
        "it is one line; hole and name have 161 at most",
    ),
    Bound(
        "shafts, rods, throttles, springs, stops, arms of one shaft",
        f"{MOST_PARTS} each",
        "a vehicle has a tenth; the time of a check grows with the square of the shafts",
    ),
    Bound(
        "values of a list",
        "3 of a point, 2 of `loads`, `joints` and `bearings`",
        "no list is longer but those of the shafts which engine and manifold carry",
    ),
    Bound(
        "digits before and after a point",
        "20 each, and less than 1e12",
        "no ruler has ten",
    ),
    Bound(
        "travel of the pad over its radius",
        "half a turn",
        "a pedal turns by 20° to 60°; a radius that was read wrong would be swept "
        "for thousands of turns",
    ),
    Bound(
        "sizes in a layout of Python, and in a file",
        "finite",
        "what is not a number is never judged to fit",
    ),
)

_BARE: Final = r"[A-Za-z0-9_+-]++"
#: The words of TOML, as far as depth goes. Possessive, so that each is tried once.
_WORDS: Final = re.compile(
    r'(?P<long>"""(?:[^"\\]++|\\.|"{1,2}(?!"))*+"{3,5}'
    r"|'''(?:[^']++|'{1,2}(?!'))*+'{3,5})"
    r'|(?P<text>"(?:[^"\\\n]++|\\[^\n])*+"' + r"|'[^'\n]*+')"
    rf"|(?P<bare>{_BARE})"
    r"|(?P<note>#[^\n]*+)|(?P<blank>[ \t\r]++)|(?P<dot>\.)"
    r"|(?P<opens>[\[{])|(?P<shuts>[\]}])|(?P<other>[^\"'])|(?P<unended>.++)",
    re.DOTALL,
)


def refuse_unbounded(text: str, name: str) -> None:
    """Refuse text that no reader of TOML should be given.

    Parameters
    ----------
    text : str
        A whole file.
    name : str
        What to call it in an error.

    Raises
    ------
    LayoutError
        If it is too long, or a key, a word or brackets in it are; with its line.

    >>> refuse_unbounded("a.b.c.d.e.f.g.h.i = 1", "car.toml")
    Traceback (most recent call last):
        ...
    linkage.errors.LayoutError: a key of more than 8 parts
    take dots out; a name with dots stands in quotes: rods."a.b"
    """
    if len(text) > GREATEST_SIZE:
        msg = f"the text is too long for a layout: {len(text) // 1000} kB"
        hint = f"at most {GREATEST_SIZE // 1000} kB are read; is it the right file?"
        error = LayoutError(msg, hint=hint)
        error.place = Place(name)
        raise error
    for word in _deep(text):
        raise _placed(*word, text, name)


def _deep(text: str) -> Iterator[tuple[LayoutError, int]]:
    """Yield the first word past a bound, as an error, with its place in the text.

    The walk ends where a text in quotes does not: no reader of TOML gets past it.
    """
    depth = parts = 0
    dotted = False
    for word in _WORDS.finditer(text):
        kind = word.lastgroup
        if kind in {"bare", "text"}:
            parts = parts + 1 if dotted else 1
            if kind == "bare" and word.end() - word.start() > MOST_WORD:
                msg = f"a word or number of {word.end() - word.start()} signs"
                hint = "a number has 20 digits at most, a name 80 signs"
                yield LayoutError(msg, hint=hint), word.start()
            if parts > MOST_DEPTH:
                msg = f"a key of more than {MOST_DEPTH} parts"
                hint = 'take dots out; a name with dots stands in quotes: rods."a.b"'
                yield LayoutError(msg, hint=hint), word.start()
        elif kind == "opens":
            depth += 1
            if depth > MOST_DEPTH:
                msg = f"brackets are nested more than {MOST_DEPTH} deep"
                hint = "look for a bracket that is not shut; a point is [x, y, z]"
                yield LayoutError(msg, hint=hint), word.start()
        elif kind == "shuts":
            depth = max(depth - 1, 0)
        dotted = kind == "dot" or (dotted and kind == "blank")


def _placed(error: LayoutError, at: int, text: str, name: str) -> LayoutError:
    """Return an error with the line of a place in the text."""
    line = text.count("\n", 0, at) + 1
    error.place = Place(name, "", line, text.split("\n")[line - 1])
    return error
