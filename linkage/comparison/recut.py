"""Rods that are cut to fit again where something at their ends was set back.

Not here: what is set back (`comparison.back`, `comparison.slides`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.model import Layout


def recut(layout: Layout, shafts: Iterable[str]) -> Layout:
    """Return a layout with the rods at some shafts cut to fit."""
    some = set(shafts)
    rods = {
        n: replace(r, length=None)
        if r.length is not None and {r.start.shaft, r.end.shaft} & some
        else r
        for n, r in layout.rods.items()
    }
    return replace(layout, rods=rods)
