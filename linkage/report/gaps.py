"""What of gaps was not judged, and what thickness was taken where none is given.

Not here: the findings themselves (`rules.gaps`), other things that are not judged
(`report.unjudged`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.connect.bar import THICK
from linkage.forces.masses import FLAT
from linkage.gaps.parts import COIL, SHEATH
from linkage.model import Cable
from linkage.quantities import say_round

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout

#: Where nothing is given, in a few words.
NONE_SHORT: Final = "gaps to other parts"
#: And what to give.
NONE_GIVEN: Final = (
    "gaps to other parts and between its own: none is named; enter what is near as "
    "`[obstacles.NAME]`, its shape (pipe, sphere, box, plane), its points, its kind and "
    "whether the engine holds it"
)


def gaps_unjudged(layout: Layout) -> Iterator[str]:
    """Yield what of gaps was not looked at, in words.

    Parameters
    ----------
    layout : Layout
        One.
    """
    if not layout.obstacles:
        yield NONE_GIVEN
        return
    yield (
        "gaps to what `[obstacles]` does not name, and of joints, nuts and clips, which "
        "stand out further than their rods"
    )
    slides = [f"`{name}`" for name, shaft in layout.shafts.items() if shaft.slides]
    if slides:
        yield f"gaps of the bars of slides, but for their pins: {', '.join(slides)}"
    for rod in layout.rods.values():
        if rod.kind == "cam":
            yield f"gaps of cam `{rod.name}`, whose outline is not followed"
        if isinstance(rod, Cable) and not rod.through:
            yield (
                f"gaps of the sheath of cable `{rod.name}`: no points that it goes through "
                "are given"
            )


def sizes_assumed(layout: Layout) -> Iterator[str]:
    """Yield what thickness was taken for parts near obstacles, by name.

    Parameters
    ----------
    layout : Layout
        One.
    """
    if not layout.obstacles:
        return
    flat = " x ".join(say_round(size, "length") for size in FLAT)
    yield f"levers {flat} for gaps"
    rods = [r.name for r in layout.rods.values() if r.kind == "rod" and not r.diameter]
    coils = [n for n, s in layout.springs.items() if s.anchor and not s.known.coil]
    sheaths = [
        r.name for r in layout.rods.values() if isinstance(r, Cable) and r.through
    ]
    for what, size, names in (
        ("rods", THICK, rods),
        ("coils", COIL, coils),
        ("sheaths", SHEATH, sheaths),
    ):
        if names:
            listed = ", ".join(f"`{name}`" for name in names)
            yield f"{what} {say_round(size, 'length')} thick for gaps: {listed}"
