"""Guides of slides made longer, at either end or at both: changes as rows.

Not here: whether a slide jams in one (`rules.guides`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Slide
from linkage.model.refs import Ref
from linkage.search.changes import place_step
from linkage.search.family import Family, Step

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.paths import Path

    FloatArray = NDArray[np.float64]

#: How much longer a guide is made at most at either end, in how many steps; common
#: practice, no source. [m]
MOST: Final = 0.2
STEPS: Final = 40


def longer(layout: Layout) -> Iterator[Family]:
    """Yield the guide of each slide made longer at its first end, its second, or both."""
    step = place_step()
    size = max(round(MOST / STEPS / step), 1) * step
    more: FloatArray = np.arange(1.0, STEPS + 1) * size
    for slide in layout.shafts.values():
        if not isinstance(slide, Slide):
            continue
        for ends in ((0,), (1,), (0, 1)):
            yield Family(
                base=layout,
                sets=_sets(slide, ends, more),
                effort=1.0 + len(ends) + more / 0.1,
                step=_step(slide, ends, more),
                moves_stroke=False,
            )


def _sets(
    slide: Slide, ends: tuple[int, ...], more: FloatArray
) -> dict[Path, FloatArray]:
    """Return what stands in the layout with some ends of a guide further out."""
    assert slide.bearings is not None  # noqa: S101  (a slide always has them)
    sets: dict[Path, FloatArray] = {}
    for end in ends:
        out = more if end else -more
        sets["shafts", slide.name, "bearings", end] = slide.bearings[end] + out
        for k in range(3):
            place = slide.guide[end][k] + out * slide.axis.n[k]
            sets["shafts", slide.name, "guide", end, k] = place
    return sets


def _step(
    slide: Slide, ends: tuple[int, ...], more: FloatArray
) -> Callable[[int], Step]:
    old, normal = float(slide.guided), np.array(slide.axis.n, float)

    def step(i: int) -> Step:
        places = {
            end: tuple(
                (
                    np.array(slide.guide[end]) + (1 if end else -1) * more[i] * normal
                ).tolist()
            )
            for end in ends
        }
        new = old + len(ends) * float(more[i])
        return Step(
            kind="guide longer",
            about=Ref("shaft", slide.name),
            old=old,
            new=new,
            more={"ends": places},
        )

    return step


#: Sources that ask for the layout alone, by kind of change.
SOURCES: Final = {"guide longer": longer}
