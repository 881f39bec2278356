"""Names of parts, and of holes: a shaft and one of its arms in one text.

A name may hold anything that a person would write: commas, dots, quotes. Which
dot of a hole's text parts shaft and arm is told by the names that there are.

Not here: what is spoken of, as data (`refs`).
"""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING, Final

from linkage.errors import LayoutError

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Mapping

    from linkage.model.parts import Arm, Shaft


#: A name is one line of 1 to 80 signs. Line ends, control characters, signs that turn
#: the direction of reading or cannot be seen, and what XML cannot hold are none.
NAME_PATTERN: Final = (
    r"^[^\u0000-\u001f\u007f-\u009f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e"
    r"\u2060-\u206f\ufeff\ufff9-\ufffb\ufffe\uffff]{1,80}$"
)
#: What is said of a name that is none, and what to do.
NO_NAME: Final = "the name `{key}` is empty, too long or holds control characters"
NO_NAME_HINT: Final = (
    "use letters, digits, spaces and signs that can be seen, 80 at most"
)


@cache
def _sound(name: str) -> bool:
    return re.fullmatch(NAME_PATTERN[1:-1], name) is not None


def refuse_name(name: str, key: tuple[str, ...]) -> None:
    """Refuse a name that cannot be shown as what it is.

    Parameters
    ----------
    name : str
        Of a part.
    key : tuple of str
        Where it stands, for the error.

    Raises
    ------
    LayoutError
        If it is empty, too long, or holds control characters and their like.
    """
    if not _sound(name):
        raise LayoutError(NO_NAME.format(key=name), hint=NO_NAME_HINT, key=key)


def split_hole(
    text: str, arms: Mapping[str, Container[str]], key: tuple[str, ...] = ()
) -> tuple[str, str]:
    """Return shaft and arm of a text such as ``spindle.lever``.

    Parameters
    ----------
    text : str
        As written.
    arms : mapping of str to container of str
        The arms of every shaft.
    key : tuple of str
        Where the text stands, for the error.

    Returns
    -------
    tuple of 2 str
        Known names where there are such; otherwise the longest known shaft, so
        that whoever looks them up can tell which of the two is not known.

    Raises
    ------
    LayoutError
        If there is no dot in it, or two holes are written so.

    >>> split_hole("a.b.c", {"a.b": {"c"}, "a": {"d"}})
    ('a.b', 'c')
    """
    parts = text.split(".")
    splits = [
        (".".join(parts[:i]), ".".join(parts[i:])) for i in range(len(parts) - 1, 0, -1)
    ]
    if not splits:
        msg = f"`{text}` names no arm"
        raise LayoutError(msg, hint='write shaft and arm, as "spindle.lever"', key=key)
    holes = [(s, a) for s, a in splits if a in arms.get(s, ())]
    if len(holes) > 1:
        raise written_alike(text, (s for s, _ in holes), key)
    near = [(s, a) for s, a in splits if s in arms]
    return (holes or near or splits)[0]


def written_alike(
    text: str, shafts: Iterable[str], key: tuple[str, ...] = ()
) -> LayoutError:
    """Return the error for two holes that are written the same."""
    which = " and ".join(f"`{s}`" for s in shafts)
    msg = f"`{text}` may be an arm of shaft {which}"
    hint = "a dot parts shaft and arm; give one of these shafts or arms another name"
    return LayoutError(msg, hint=hint, key=key)


def arms_of(shafts: Mapping[str, Shaft]) -> dict[str, Mapping[str, Arm]]:
    """Return the arms of every shaft."""
    return {name: shaft.arms for name, shaft in shafts.items()}


def holes_apart(shafts: Mapping[str, Shaft]) -> None:
    """Refuse two holes that are written the same, such as `a.b` `c` and `a` `b.c`.

    Parameters
    ----------
    shafts : mapping of str to Shaft
        All of a layout.

    Raises
    ------
    LayoutError
        If there are two such; `key` names the second.
    """
    if not any("." in name for name in shafts):
        return
    known: dict[str, str] = {}
    for shaft, names in arms_of(shafts).items():
        for arm in names:
            text = f"{shaft}.{arm}"
            if text in known:
                key = ("shafts", shaft, "arms", arm)
                raise written_alike(text, (known[text], shaft), key)
            known[text] = shaft
