"""Changing values in a file and leaving all else, comments too, as it was.

Not here: writing a whole layout (`writer`).
"""

from collections.abc import Mapping, MutableMapping
from typing import Any

from linkage.errors import LayoutError


def edit(
    text: str, changes: Mapping[tuple[str, ...], str | list[list[str]] | None]
) -> str:
    r"""Return a layout file with some of its values set.

    Parameters
    ----------
    text : str
        The file.
    changes : mapping of key path to text, or lists of it
        New values, such as ``{("rods", "last", "length"): "210 mm"}``. A key that
        is not there is added to its table, which must be there; None takes a
        key away.

    Returns
    -------
    str
        With every comment and blank line where it was.

    Raises
    ------
    LayoutError
        If the table of a key is not in the file.

    >>> edit("[pedal]  # old\ntravel = 75 # mm\n", {("pedal", "travel"): "80 mm"})
    '[pedal]  # old\ntravel = "80 mm" # mm\n'
    """
    import tomlkit

    document = tomlkit.parse(text)
    for key, value in changes.items():
        table: Any = document
        for part in key[:-1]:
            inner = table.get(part) if isinstance(table, MutableMapping) else None
            if not isinstance(inner, MutableMapping):
                msg = f"the file has no table `{'.'.join(key[:-1])}`"
                raise LayoutError(msg, hint="add it first", key=key)
            table = inner
        if value is None:
            table.pop(key[-1], None)
        else:
            _set(table, key[-1], value)
    return tomlkit.dumps(document)


def _set(
    table: MutableMapping[str, Any], key: str, value: str | list[list[str]]
) -> None:
    """Set one value and keep the comment behind it."""
    import tomlkit

    new = tomlkit.item(value)
    old = table.get(key)
    if old is not None and hasattr(old, "trivia"):
        new.trivia.comment_ws = old.trivia.comment_ws
        new.trivia.comment = old.trivia.comment
    table[key] = new
