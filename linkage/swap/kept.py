"""What a swap and its cures leave as it is: parts that are bought, or not to be touched.

A fixed part may go across with its carburettor, as that is what a swap is; it is not
made anew. A fixed arm keeps length and angle, one of fixed clocking its angle. A
fixed shaft keeps its arms, its place unless it goes across, and its length. A fixed
rod is neither cut nor parted, a fixed spring neither exchanged for one of the other
hand nor anchored elsewhere; the arm it hooks to may be turned if that is free.

Not here: what is fixed (`search.fixed`), what a cure changes (`swap.recipes`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from linkage.model.refs import Ref
from linkage.search.changes import of_cam
from linkage.search.fixed import may_cut, may_size, may_turn, why_not
from linkage.search.spans import KEPT, sized

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from linkage.model import Hole, Layout, Link
    from linkage.search.spans import Span, Vary


def held(
    layout: Layout, path: Sequence[Link], tier: Sequence[Vary]
) -> tuple[Vary, ...]:
    """Return what may change at each rod of a way, fixed arms left as they are."""
    return tuple(
        replace(
            vary,
            driver=_narrowed(layout, link.driver, vary.driver),
            driven=_narrowed(layout, link.driven, vary.driven),
        )
        for link, vary in zip(path, tier, strict=True)
    )


def _narrowed(layout: Layout, hole: Hole, span: Span) -> Span:
    if not may_size(layout, hole):
        return KEPT
    if of_cam(layout, hole):  # another length is another cam
        span = sized(span, 1.0, 1.0)
    return span if may_turn(layout, hole) else replace(span, turn=0.0, either=0.0)


def rods_kept(model: Layout, layout: Layout) -> Layout:
    """Return a layout whose fixed rods have the length they have in another.

    Parameters
    ----------
    model : Layout
        With the length of every fixed rod.
    layout : Layout
        One or many, with arms set anew and rods cut to fit them.
    """
    for name, rod in model.rods.items():
        if not may_cut(model, name):
            layout = layout.with_rod(name, rod.length)
    return layout


def barred(layout: Layout, holes: Iterable[Hole]) -> str:
    """Return why none of some arms may be turned; empty where one may, or none is named."""
    why = [why_not(layout, hole, turned=True) for hole in holes]
    return "; ".join(dict.fromkeys(why)) if all(why) else ""


def fixed_parts(layout: Layout) -> Iterator[Ref]:
    """Yield all that is not to be touched: shafts, arms, rods, springs."""
    for name, shaft in layout.shafts.items():
        if shaft.fixed:
            yield Ref("shaft", name)
            continue
        for arm in shaft.arms.values():
            if arm.fixed:
                yield Ref("arm", name, arm.name)
    yield from (Ref("rod", n) for n, rod in layout.rods.items() if rod.fixed)
    yield from (Ref("spring", n) for n, s in layout.springs.items() if s.fixed)
