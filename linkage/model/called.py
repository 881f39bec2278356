"""What rods, cables and cams are called where they are spoken of together.

All stand among a layout's rods and have one kind of ref; words tell which is which.

Not here: the parts themselves (`rod`, `cable`), their refs (`refs`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model.refs import Ref

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model.model import Layout

ALL_RODS: Final = Ref("all", "rods")


def rod_kinds(layout: Layout) -> Mapping[str, str]:
    """Return of every rod whether it is a ``rod``, a ``cable`` or a ``cam``, by its name.

    Parameters
    ----------
    layout : Layout
        One or many.

    Returns
    -------
    mapping of str to str
        Empty where all are rods.
    """
    kinds = {name: rod.kind for name, rod in layout.rods.items()}
    return kinds if {*kinds.values()} - {"rod"} else {}


#: In which order kinds are told.
_ORDER: Final = ("rod", "cable", "cam")


def _sorted(kinds: Mapping[str, str]) -> list[str]:
    return sorted({*kinds.values()}, key=_ORDER.index)


def _or(words: list[str], last: str) -> str:
    """Return words as a list, the last one joined by a word."""
    return f" {last} ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def called(kinds: Mapping[str, str], name: str) -> str:
    """Return what one is, and its name.

    >>> called({"main": "cable"}, "main"), called({}, "last")
    ('cable `main`', 'rod `last`')
    """
    return f"{kinds.get(name, 'rod')} `{name}`"


def a_rod(kinds: Mapping[str, str]) -> str:
    """Return what one of them is: ``rod``, ``cable``, or ``rod or cable``.

    >>> a_rod({}), a_rod({"main": "cable", "last": "rod"})
    ('rod', 'rod or cable')
    >>> a_rod({"main": "cable", "last": "rod", "first": "cam"})
    'rod, cable or cam'
    """
    return _or(_sorted(kinds), "or") or "rod"


def all_rods(kinds: Mapping[str, str]) -> str:
    """Return what they are together: ``rods``, ``cables``, or ``rods and cables``.

    >>> all_rods({"main": "cable"})
    'cables'
    """
    return _or([f"{kind}s" for kind in _sorted(kinds)], "and") or "rods"


def part_name(kinds: Mapping[str, str], ref: Ref) -> str:
    """Return a part in words, as its ref does, but a cable as one.

    >>> part_name({"main": "cable"}, Ref("jam", "main"))
    'jam of cable main'
    """
    kind = kinds.get(ref.name, "rod")
    if ref.kind == "rod":
        return f"{kind} {ref.name}"
    if ref.kind == "jam":
        return f"jam of {kind} {ref.name}"
    return f"all {all_rods(kinds)}" if ref == ALL_RODS else str(ref)
