"""Text as the tables of TOML, within bounds, or an error with its line.

Not here: what may be in it (`bounds`), which tables a layout has (`models`).
"""

import re
import tomllib
from typing import Any

from linkage.config.bounds import refuse_unbounded
from linkage.config.unread import unread_hint
from linkage.errors import LayoutError, Place


def tables(text: str, name: str) -> dict[str, Any]:
    r"""Read text as TOML.

    Parameters
    ----------
    text : str
        A whole file, line ends as ``\n``.
    name : str
        What to call it in an error.

    Raises
    ------
    LayoutError
        If it is not TOML, or too long or too deep; with its place.

    >>> tables("a.b = 1", "car.toml")
    {'a': {'b': 1}}
    """
    refuse_unbounded(text, name)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        message = str(fault)
    found = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)", message)
    reason = message[: found.start()] if found else message
    line = None
    if found:
        line = int(found.group(1)) if found.group(1) else len(text.rstrip().split("\n"))
    shown = text.split("\n")[line - 1] if line else ""
    msg = f"this is not TOML: {reason[:1].lower()}{reason[1:]}"
    error = LayoutError(msg, hint=unread_hint(reason, shown))
    error.place = Place(name, "", line, shown)
    raise error
