"""Pictures as bytes: what to draw for which result, ready to be written.

Not here: how it is drawn (`drawing`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.report.verdict import reason
from linkage.rules.caution import GEOMETRY_ALONE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.forces.summary import SpringCard
    from linkage.model import Layout
    from linkage.motion.curve import TravelCurve
    from linkage.search import Check
    from linkage.search.sized import Sizing


def curve_picture(
    curves: Sequence[tuple[str, TravelCurve]],
    *,
    suffix: str,
    paper: Any = None,  # noqa: ANN401 - a word checked by the command line
    length_unit: Any = None,  # noqa: ANN401
) -> bytes:
    """Return the picture of one or several travel curves."""
    from linkage.drawing.curve import curve_figure
    from linkage.drawing.style import save

    bad = [name for name, c in curves if not c.opens]
    short = [name for name, c in curves if c.opens and c.full_at is None]
    reasons = [f"{', '.join(bad)}: pressing does not open the plate"] * bool(bad)
    reasons += [
        f"{', '.join(short)}: not fully open with the pedal on its stop"
    ] * bool(short)
    figure = curve_figure(
        curves, paper=paper, length_unit=length_unit, banner="; ".join(reasons) or None
    )
    return save(figure, "." + suffix)


def layout_picture(
    check: Check,
    *,
    share: float,
    suffix: str,
    paper: Any = None,  # noqa: ANN401
) -> bytes:
    """Return the drawing of a checked layout, with DO NOT FIT where that is so."""
    from linkage.drawing.layout import layout_figure
    from linkage.drawing.style import save

    x = check.examined
    ghost = 0.0 if share > 0.5 else 1.0
    figure = layout_figure(
        x.assembly,
        x.working,
        share=share,
        ghost=ghost,
        paper=paper,
        banner=banner_of(check),
        note=GEOMETRY_ALONE if check.geometry else "",
    )
    return save(figure, "." + suffix)


def sizing_picture(sizing: Sizing, layout: Layout, *, suffix: str) -> bytes:
    """Return the picture of a search for an arm."""
    from linkage.drawing.sizing import sizing_figure
    from linkage.drawing.style import save

    return save(sizing_figure(sizing, layout), "." + suffix)


def springs_picture(
    card: SpringCard,
    check: Check,
    *,
    suffix: str,
    paper: Any = None,  # noqa: ANN401
) -> bytes:
    """Return the picture of the spring card, with DO NOT FIT where that is so."""
    from linkage.drawing.springs import springs_figure
    from linkage.drawing.style import save

    return save(
        springs_figure(card, paper=paper, banner=banner_of(check)), "." + suffix
    )


def banner_of(check: Check) -> str | None:
    """Return why it must not be fitted as a picture says it; None where it may be."""
    why = reason(check)
    return None if why is None else why.replace("`", "")
