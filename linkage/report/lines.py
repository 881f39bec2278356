"""Lines of words, no longer than the terminal is wide.

Not here: tables (`report.tables`), signs that a terminal has not (`report.signs`).
"""

from __future__ import annotations

import os
import re
import shutil
import sys
import textwrap
from typing import Final

#: Narrowest and widest that lines get, and their width where there is no terminal.
NARROW: Final = 40
WIDE: Final = 100
USUAL: Final = 80
#: What is not parted at the end of a line: a name, a number and its unit.
_WHOLE: Final = re.compile(
    r"`[^`]*`|(?<=\d) (?=\d+/\d)|(?<=\d) (?=(?:mm|in|N|lbf|kg|s|MPa|times|N/mm|N·m|lbf·in|°/mm)\b)"
)
_HARD: Final = "\N{NO-BREAK SPACE}"


def terminal_width() -> int | None:
    """Return how many signs a line of the terminal takes; None where there is none.

    ``COLUMNS`` says it where it is set.
    """
    try:
        there = "COLUMNS" in os.environ or sys.stdout.isatty()
    except ValueError:  # closed already
        there = False
    return shutil.get_terminal_size((USUAL, 24)).columns if there else None


def line_width() -> int:
    """Return how many signs a line of words takes."""
    return min(max(terminal_width() or USUAL, NARROW), WIDE)


def wrapped(
    text: str, indent: str, *, width: int | None = None, first: str | None = None
) -> list[str]:
    """Return text in lines no longer than ``width``, later ones indented.

    A name in backticks, and a number and its unit, stay in one line.

    Parameters
    ----------
    text : str
        What is told.
    indent : str
        What later lines begin with.
    width : int, optional
        Signs a line; as wide as the terminal where not given.
    first : str, optional
        What the first line begins with.
    """
    lines = textwrap.wrap(
        _WHOLE.sub(lambda m: m[0].replace(" ", _HARD), text),
        line_width() if width is None else width,
        initial_indent=indent if first is None else first,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_HARD, " ") for line in lines]
