"""Pictures as bytes: what to draw for which result, ready to be written.

Not here: how it is drawn (`drawing`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.errors import UsageError
from linkage.report.verdict import reason
from linkage.rules.caution import GEOMETRY_ALONE
from linkage.rules.other_words import in_words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.band import Band
    from linkage.forces.summary import SpringCard
    from linkage.model import Layout
    from linkage.motion.curve import TravelCurve
    from linkage.motion.drift import Drift
    from linkage.proof import Proof
    from linkage.rules import Examined
    from linkage.search import Check
    from linkage.search.sized import Sizing


#: Longest banner that names every reason; beyond it they stand in the rows. [letters]
LONGEST = 138


def curve_picture(
    curves: Sequence[tuple[str, TravelCurve]],
    *,
    suffix: str,
    refused: Sequence[str | None] | None = None,
    called: Sequence[str] = (),
    paper: Any = None,  # noqa: ANN401 - a word checked by the command line
    length_unit: Any = None,  # noqa: ANN401
) -> bytes:
    """Return the picture of one or several travel curves.

    Parameters
    ----------
    curves : sequence of (str, TravelCurve)
        Label and curve.
    suffix : str
        png, svg or pdf.
    refused : sequence of (str or None), optional
        Why each must not be fitted, as `banner_of` says it; None takes what the
        curve alone tells.
    called : sequence of str
        What the banner calls each; nothing takes the labels.
    paper : {"a4", "letter"}, optional
        Lying.
    length_unit : {"mm", "in"}, optional
        Of the pad axis.
    """
    from linkage.drawing.curve import curve_figure
    from linkage.drawing.style import save

    if refused is None:
        refused = [curve_reason(c) for _, c in curves]
    figure = curve_figure(
        curves,
        paper=paper,
        length_unit=length_unit,
        banner=refusal(called or [name for name, _ in curves], refused),
        refused=refused,
    )
    return save(figure, "." + suffix)


def band_picture(
    band: Band,
    *,
    suffix: str,
    refused: str | None,
    paper: Any = None,  # noqa: ANN401
) -> bytes:
    """Return the picture of a band: the curve between its bounds, and what moves it.

    Parameters
    ----------
    band : Band
        From `band.sampled`.
    suffix : str
        png, svg or pdf.
    refused : str, optional
        Why it must not be fitted, as `banner_of` says it.
    paper : {"a4", "letter"}, optional
        Lying.
    """
    from linkage.drawing.band import band_figure
    from linkage.drawing.style import save

    return save(band_figure(band, banner=refused, paper=paper), "." + suffix)


def rock_picture(
    d: Drift,
    layout: Layout,
    *,
    suffix: str,
    paper: Any = None,  # noqa: ANN401
) -> bytes:
    """Return the picture of what a moving engine does.

    Parameters
    ----------
    d : Drift
        From `motion.drift`.
    layout : Layout
        Whose limits are drawn.
    suffix : str
        png, svg or pdf.
    paper : {"a4", "letter"}, optional
        Lying.
    """
    from linkage.drawing.rock import rock_figure
    from linkage.drawing.style import save

    return save(rock_figure(d, layout, paper=paper), "." + suffix)


def proof_picture(
    proof: Proof,
    *,
    suffix: str,
    paper: Any = None,  # noqa: ANN401
) -> bytes:
    """Return the picture of a proof: seen beside predicted, and the curve's bands.

    Parameters
    ----------
    proof : Proof
        From `proof.prove`.
    suffix : str
        png, svg or pdf.
    paper : {"a4", "letter"}, optional
        Lying.
    """
    from linkage.drawing.proof import proof_figure
    from linkage.drawing.style import save

    refused = None if proof.check is None else banner_of(proof.check)
    if proof.dangers:
        refused = "what was read is wrong by itself: do not drive"
    elif refused is None and not proof.sound:
        refused = "the vehicle does not agree with its file"
    return save(proof_figure(proof, banner=refused, paper=paper), "." + suffix)


def curve_reason(curve: TravelCurve) -> str | None:
    """Return why a layout must not be fitted, as far as its travel curve tells."""
    if not curve.opens:
        return in_words_of(curve.driver, "pressing does not open the plate")
    if curve.full_at is None:
        share = 100 * float(curve.main.throttle_share[-1])
        if curve.governed:
            return f"the governor leaves the plate {share:.1f}% open"
        return f"the plate opens only {share:.1f}% with the pedal on its stop"
    return None


def refusal(names: Sequence[str], refused: Sequence[str | None]) -> str | None:
    """Return which of several layouts must not be fitted and why; None where all may.

    >>> refusal(["old", "NEW"], [None, "the pedal shuts the plate"])
    'NEW, because the pedal shuts the plate'
    >>> refusal(["this"], ["the pedal shuts the plate"])
    'the pedal shuts the plate'
    """
    bad = [(n, why) for n, why in zip(names, refused, strict=True) if why is not None]
    if not bad:
        return None
    if len(names) == 1:
        return bad[0][1]
    text = "; nor ".join(f"{name}, because {why}" for name, why in bad)
    if len(text) <= LONGEST:
        return text
    which = [name if len(name) <= 30 else f"{name[:29]}…" for name, _ in bad]
    if len(which) == 1:
        return f"{which[0]}, because {bad[0][1]}"
    return f"{', '.join(which[:-1])} and {which[-1]}; why is told of each below"


def layout_picture(
    check: Check,
    *,
    share: float,
    suffix: str,
    paper: Any = None,  # noqa: ANN401
    by_hand: bool = False,
    swept: bool = False,
) -> bytes:
    """Return the drawing of a checked layout, with DO NOT FIT where that is so.

    By hand it is drawn with the hand lever pulled and the pedal up; swept with all that
    its parts sweep.

    Raises
    ------
    UsageError
        If it has no hand lever, or cannot be put together as the hand sees it.
    """
    from linkage.drawing.layout import layout_figure
    from linkage.drawing.style import save

    x: Examined | None = check.examined
    if by_hand:
        x = check.examined.by_hand
    if x is None:
        msg = "the layout has no hand lever that can be drawn"
        raise UsageError(msg, hint="leave `--by hand` out, or add a [hand] table")
    ghost = 0.0 if share > 0.5 else 1.0
    figure = layout_figure(
        x.assembly,
        x.working,
        share=share,
        ghost=ghost,
        paper=paper,
        banner=banner_of(check),
        note=GEOMETRY_ALONE if check.geometry else "",
        swept=swept,
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
