"""Signs that a terminal cannot show, in other signs that every one has.

Not here: printing (`cli`).
"""

from __future__ import annotations

import codecs
import sys
import unicodedata
from typing import Final, TextIO

#: Under this name text streams know how to do without a sign.
NAME: Final = "linkage.signs"
#: Signs of our own words, and what stands for them.
OTHERWISE: Final[dict[str, str]] = {
    "°": " deg",
    "±": "+/-",
    "·": ".",
    "²": "2",
    "³": "3",
    "µ": "u",
    "×": "x",
    "→": "->",
    "←": "<-",
    "≥": ">=",
    "≤": "<=",
    "−": "-",
    "–": "-",
    "—": "-",
    "…": "...",
    "′": "'",
    "″": '"',
    "’": "'",
    "“": '"',
    "”": '"',
    "é": "e",
    "Δ": "d",
    "τ": "tau",
    "φ": "phi",
    "θ": "theta",
    "\N{NO-BREAK SPACE}": " ",
    "\N{REPLACEMENT CHARACTER}": "?",
}


def plain(text: str) -> str:
    """Return text in signs that every terminal has.

    >>> plain("76.0° ± 0.5°"), plain("N·m"), plain("Käfig")
    ('76.0 deg +/- 0.5 deg', 'N.m', 'Kafig')
    """
    return "".join(map(_plain, text))


def _plain(sign: str) -> str:
    if sign.isascii():
        return sign
    if sign in OTHERWISE:
        return OTHERWISE[sign]
    bare = unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode()
    return bare or "?"


def _instead(error: UnicodeError) -> tuple[str, int]:
    """Return what stands for signs that a stream cannot encode."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain(error.object[error.start : error.end]), error.end


def show_everywhere(*streams: TextIO | None) -> None:
    """Let streams show another sign where they have not the right one.

    Parameters
    ----------
    streams : file
        Standard output and error where none is given. One that cannot be set, as
        in a test, is left as it is.
    """
    codecs.register_error(NAME, _instead)
    for stream in streams or (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=NAME)


def shows(text: str, stream: TextIO | None = None) -> bool:
    """Tell whether a stream shows text as it is.

    Parameters
    ----------
    text : str
        To be printed.
    stream : file, optional
        Standard output where not given.
    """
    encoding = getattr(stream or sys.stdout, "encoding", None) or "ascii"
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True
