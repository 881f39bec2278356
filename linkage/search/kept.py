"""Changes that alter nothing fixed: what is bought, or not to be touched, is kept.

Which parts a change alters follows from the numbers that it sets, from the parts of
the layout from which it starts, and from the rods that it asks to cut again. So every
kind of change is held to it alike.

Not here: which parts may be changed (`search.fixed`), the changes (`search.sources`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, Literal

from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.search.fixed import may_cut, may_size, may_turn
from linkage.spoken import listed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from linkage.model import Layout, Shaft
    from linkage.model.paths import Path
    from linkage.search.family import Family

_KINDS: Final[dict[str, Literal["rod", "spring"]]] = {
    "rods": "rod",
    "springs": "spring",
}


def _arm(layout: Layout, shaft: str, arm: str, *, turned: bool) -> Iterator[Ref]:
    """Yield an arm that is there, where it may not be changed, or not be turned.

    The shaft where that is fixed, with all its arms.
    """
    if layout.shafts[shaft].fixed:
        yield Ref("shaft", shaft)
    elif arm in layout.shafts[shaft].arms:
        hole = Hole(shaft=shaft, arm=arm)
        if not (may_turn if turned else may_size)(layout, hole):
            yield Ref("arm", shaft, arm)


def _by_number(layout: Layout, path: Path) -> Iterator[Ref]:
    """Yield the fixed part that a number belongs to."""
    kind, name, *rest = path
    if kind == "shafts" and name in layout.shafts:
        if rest[0] == "arms":
            yield from _arm(layout, name, rest[1], turned=rest[2] == "angle")
        elif layout.shafts[name].fixed:
            yield Ref("shaft", name)
    elif kind in _KINDS:
        part = getattr(layout, kind).get(name)
        if part is not None and part.fixed:
            yield Ref(_KINDS[kind], name)


def _by_part(layout: Layout, base: Layout) -> Iterator[Ref]:
    """Yield the fixed parts that are others in the layout from which a change starts."""
    for kind, word in _KINDS.items():
        now = getattr(base, kind)
        for name, part in getattr(layout, kind).items():
            if part.fixed and now.get(name) != part:
                yield Ref(word, name)
    for name, shaft in layout.shafts.items():
        new = base.shafts[name]
        if new is not shaft:
            yield from _by_shaft(layout, shaft, new)
    for name in {*layout.engine.carries} ^ {*base.engine.carries}:
        if layout.shafts[name].fixed:
            yield Ref("shaft", name)


def _by_shaft(layout: Layout, shaft: Shaft, new: Shaft) -> Iterator[Ref]:
    if shaft.fixed and shaft != new:
        yield Ref("shaft", shaft.name)
    for name, arm in shaft.arms.items():
        now = new.arms.get(name)
        if now != arm:
            turned = now is None or now.angle != arm.angle
            yield from _arm(layout, shaft.name, name, turned=turned)


def barred(layout: Layout, family: Family) -> frozenset[Ref]:
    """Return the fixed parts that a change would alter.

    Parameters
    ----------
    layout : Layout
        As it is.
    family : Family
        The change.

    Returns
    -------
    frozenset of Ref
        Empty where it may be made; rods then keep their length, see `kept`.
    """
    out = {ref for path in family.sets for ref in _by_number(layout, path)}
    if family.base is not layout:
        out |= set(_by_part(layout, family.base))
    elif not (family.sets or any(may_cut(layout, name) for name in family.cut)):
        out |= {Ref("rod", name) for name in family.cut}
    return frozenset(out)


def kept(layout: Layout, family: Family) -> Family:
    """Return a change that leaves fixed rods at their lengths."""
    cut = tuple(name for name in family.cut if may_cut(layout, name))
    return family if cut == family.cut else replace(family, cut=cut)


def named(layout: Layout, parts: Iterable[Ref]) -> str:
    """Say which parts are fixed, by name: a lever, its clocking, a rod."""
    names = [_name(layout, part) for part in sorted(parts)]
    return f"{listed(names)} {'are' if len(names) > 1 else 'is'} fixed"


def _name(layout: Layout, part: Ref) -> str:
    if part.kind != "arm":
        return f"{part.kind} `{part.name}`"
    fixed = layout.shafts[part.name].arms[part.part].fixed
    return f"`{part}`" if fixed else f"the clocking of `{part}`"
