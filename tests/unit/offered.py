"""Rows of families one by one, for tests of the changes that are tried."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from linkage.search.family import stacked
from linkage.search.said import said

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.model import Layout
    from linkage.search.family import Family, Step


class Offer(NamedTuple):
    """One change: the layout it leads to, its words and its effort."""

    layout: Layout
    text: str
    effort: float
    step: Step
    cut: tuple[str, ...]
    family: Family


def offers(families: Iterable[Family]) -> list[Offer]:
    """Return every row of every family, in the order in which they are yielded."""
    out = []
    for family in families:
        stack = stacked([family])
        place = {int(index): i for i, index in enumerate(stack.index)}
        for index in range(family.size):
            i = place[index]
            out.append(
                Offer(
                    layout=stack.one(i),
                    text=said(stack.step(i)),
                    effort=float(stack.effort[i]),
                    step=stack.step(i),
                    cut=family.cut,
                    family=family,
                )
            )
    return out
