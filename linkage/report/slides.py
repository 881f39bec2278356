"""What is told of slides beside their findings: what was assumed, what was not judged.

Not here: the rules (`rules.guides`), shafts and rods (`report.assumed`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.forces import masses
from linkage.model import Slide
from linkage.quantities import say_round

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout


def slides_of(layout: Layout) -> list[Slide]:
    """Return the slides of a layout, in the file's order."""
    return [s for s in layout.shafts.values() if isinstance(s, Slide)]


def has_slides(layout: Layout) -> bool:
    """Tell whether a layout has any."""
    return bool(slides_of(layout))


def assumed_slides(layout: Layout) -> Iterator[str]:
    """Yield what was taken for slides of which it is not given, in words."""
    weighed = [s for s in slides_of(layout) if not s.mass]
    for thick, bars in (
        ("", [s for s in weighed if s.bearing]),
        (
            f" {say_round(masses.BAR, 'length')} thick",
            [s for s in weighed if not s.bearing],
        ),
    ):
        if bars:
            names = ", ".join(f"`{s.name}`" for s in bars)
            yield f"slides weighed as bars{thick} twice as long as their guides: {names}"


def unjudged_slides(layout: Layout) -> list[str]:
    """Return what of slides no rule looks at, in words."""
    if not has_slides(layout):
        return []
    out = [
        (
            "slides: bars that come out of their guides, turn about themselves or bend, "
            "dirt in the guides"
        ),
        "slips and errors of measuring in where guides and pins of slides are",
    ]
    if inside := _inside(layout):
        names = ", ".join(f"`{pin}`" for pin in inside)
        out.append(
            f"whether pins that stand in their guides at rest run free there: {names}"
        )
    if any(layout.shafts[s.shaft].slides for s in layout.springs.values()):
        out.append("how far the lines of springs on slides lean from their guides")
    return out


def _inside(layout: Layout) -> list[str]:
    """Return the pins of rods that stand within the ends of their guides at rest."""
    found = []
    for link in layout.links:
        for hole in link.holes:
            slide = layout.shafts[hole.shaft]
            if isinstance(slide, Slide) and slide.bearings is not None:
                low, high = slide.bearings
                if low <= slide.arms[hole.arm].offset <= high:
                    found.append(str(hole))
    return list(dict.fromkeys(found))
