"""What of heat was not judged, and what was taken for it where nothing is given.

Not here: the findings themselves (`rules.heat`), other things that are not judged
(`report.unjudged`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model.heat import PARTS, coldest, heat_known, on_manifold
from linkage.quantities import say_round

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout

#: What no rule looks at where heat is not judged, and where it is.
HEAT: Final = "heat, ice and wear"
NO_HEAT: Final = "ice and wear"
#: What is assumed of it, in a few words.
TEMPERATURES: Final = "usual temperatures"


def worn_by(layout: Layout) -> str:
    """Return what of heat, ice and wear no rule looks at."""
    return NO_HEAT if heat_known(layout) else HEAT


def heat_unjudged(layout: Layout) -> Iterator[str]:
    """Yield what of heat was not looked at though `[heat]` is given, in words.

    Parameters
    ----------
    layout : Layout
        One.
    """
    if layout.heat is None:
        return
    if layout.governed:
        yield "heat: of a governed engine it is not judged, whatever [heat] says"
    elif not heat_known(layout):
        yield "heat: how far a cam's profile and its gap grow is not judged"
    else:
        yield (
            "heat and all else at once: springs, dead centres, gaps and the engine's "
            "movement are judged as it was set"
        )


def heat_assumed(layout: Layout) -> Iterator[str]:
    """Yield the temperatures that were taken for those that are not given, by part.

    Parameters
    ----------
    layout : Layout
        One.
    """
    heat = layout.heat
    if heat is None or not heat_known(layout):
        return
    told = []
    if heat.set_at is None:
        told.append(f"set at {say_round(heat.when_set, 'temperature')}")
    if heat.cold is None:
        told.append(f"cold start at {say_round(coldest(layout, heat), 'temperature')}")
    told += [
        f"{part} {say_round(heat.when_hot(part), 'temperature')}"
        for part in PARTS
        if getattr(heat, f"{part}_hot") is None
        and (part != "manifold" or heat.manifold)
    ]
    if told:
        yield f"{TEMPERATURES}: {', '.join(told)}"
    if heat.manifold and heat.carries is None:
        names = ", ".join(f"`{name}`" for name in sorted(on_manifold(layout, heat)))
        yield f"on the manifold: {names}"
    cables = [f"`{n}`" for n, rod in layout.rods.items() if rod.kind == "cable"]
    if cables:
        yield f"wire and sheath of steel, equally warm: {', '.join(cables)}"
