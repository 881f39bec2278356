"""What rods and cables are called where they are spoken of together.

Both stand among a layout's rods and have one kind of ref; words tell which is which.

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
    """Return of every rod whether it is a ``rod`` or a ``cable``, by its name.

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
    return kinds if "cable" in kinds.values() else {}


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
    """
    return " or ".join(sorted({*kinds.values()}, reverse=True)) or "rod"


def all_rods(kinds: Mapping[str, str]) -> str:
    """Return what they are together: ``rods``, ``cables``, or ``rods and cables``.

    >>> all_rods({"main": "cable"})
    'cables'
    """
    found = sorted({*kinds.values()}, reverse=True)
    return " and ".join(f"{kind}s" for kind in found) or "rods"


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
