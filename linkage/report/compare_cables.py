"""In what cables, drums and cams differ from those of the old linkage, in words.

Not here: what differs (`comparison.cables`), other parts (`report.compare_words`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model import turning
from linkage.model.axes import add, norm
from linkage.quantities import say, say_point

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.comparison import Change


def _wound(change: Change) -> str:
    if not change.new:
        return f"a bare arm now (was a drum, wound {turning(change.old)})"
    new = turning(change.new)
    if not change.old:
        return f"a drum now, wound {new} (was a bare arm)"
    return f"wound {new} (was wound {turning(change.old)})"


def _end(change: Change) -> str:
    """Say where a sheath ends now, and on what."""
    hole, now = change.new
    was = change.old
    told = []
    if norm(add(now.point, was.point, -1)) > 0:
        told.append(f"at {say_point(now.point)} (was at {say_point(was.point)})")
    if now.on != was.on:
        told.append(f"on the {now.on} (was on the {was.on})")
    return f"sheath ends beside {hole} {', '.join(told)}"


def _size(what: str, kind: str) -> Callable[[Change], str]:
    def words(change: Change) -> str:
        old, new = (
            say(value, kind) if value else "not given"
            for value in (change.old, change.new)
        )
        return f"{what} {new} (was {old})"

    return words


#: By kind of change.
CABLES: Final[dict[str, Callable[[Change], str]]] = {
    "drum wound": _wound,
    "drum rim": lambda c: (
        f"{c.new} of another rim"
        if c.new == c.old
        else f"a {c.new} now (was a {c.old})"
    ),
    "rod kind": lambda c: f"is a {c.new} (was a {c.old})",
    "cam profile": lambda _: "has another profile",
    "cam roller": _size("roller", "length"),
    "sheath from": _end,
    "sheath to": _end,
    "sheath bends": lambda _: "is led another way",
    "sheath friction": _size("friction in its sheath", "ratio"),
    "sheath length": _size("sheath", "length"),
    "cable wire": _size("wire", "length"),
    "cable stroke": _size("stroke", "length"),
    "cable push": _size("push that it takes", "force"),
}
