"""What was read on a vehicle as a picture: seen beside predicted, and the curve's bands.

Not here: the numbers (`proof`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.band import dress_curve
from linkage.drawing.fit import shorten_to
from linkage.drawing.style import (
    BLACK,
    GREY,
    PALE,
    VERMILION,
    new_figure,
    notes,
    still_style,
)
from linkage.quantities import say, spoken_unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from linkage.drawing.style import Paper
    from linkage.model.readings import Reading
    from linkage.proof import Proof

#: Most readings that have a row; the rest is in the text.
ROWS: Final = 16
#: How far beyond its bounds a mark stands at most, as so many of them.
FURTHEST: Final = 3.0


def proof_figure(
    proof: Proof, *, banner: str | None = None, paper: Paper | None = None
) -> Figure:
    """Return a figure of readings beside what was predicted, and of the travel curve.

    Parameters
    ----------
    proof : Proof
        From `proof.prove`.
    banner : str, optional
        Why not to drive or fit, printed large.
    paper : {"a4", "letter"}, optional
        Lying; None gives a size for the screen.
    """
    with still_style():
        figure = new_figure(paper)
        below = (
            "a bar is where nine of ten vehicles lie of which the file is true; "
            "a mark is what was seen"
        )
        title = f"{proof.layout.title}: read on the vehicle"
        notes(figure, title=title, banner=banner, below=below)
        height = 0.7 if banner else 0.76
        _readings(figure.add_axes((0.29, 0.13, 0.24, height)), proof)
        _curve(figure.add_axes((0.62, 0.13, 0.35, height)), proof)
    return figure


def _readings(ax: Axes, proof: Proof) -> None:
    """Draw a row a reading: its bounds as long as each other, and where it was seen."""
    rows = list(zip(proof.readings, proof.said, proof.sure, proof.off, strict=True))
    rows = rows[:ROWS]
    places = np.arange(len(rows))
    ax.barh(
        places,
        2.0,
        left=-1.0,
        height=0.34,
        color=PALE,
        edgecolor=GREY,
        linewidth=0.6,
        gid="bounds",
    )
    ax.axvline(0, color=GREY, linewidth=0.8)
    names = []
    for place, (r, said, sure, off) in enumerate(rows):
        share = off / sure
        outside = abs(share) > 1
        at = float(np.clip(share, -FURTHEST, FURTHEST))
        marker = "D" if abs(share) <= FURTHEST else "<" if share < 0 else ">"
        colour = VERMILION if outside else BLACK
        ax.plot(at, place, marker=marker, color=colour, markersize=6, gid="seen")
        name = shorten_to(_name(r), 225, 7.5)
        names.append(f"{name}\n{say(said, r.kind)}, seen {say(r.value, r.kind)}")
    ax.set_yticks(places, names, size=7.5)
    ax.set_ylim(max(len(rows), 4) - 0.4, -0.6)
    ax.set_xlim(-FURTHEST - 0.4, FURTHEST + 0.4)
    ax.set_xticks([-2, 0, 2], ["seen less", "as predicted", "seen more"])
    ax.set_title("predicted, and seen", size=9, loc="left")
    ax.tick_params(axis="y", length=0)
    ax.set_axisbelow(True)


def _name(r: Reading) -> str:
    return r.called.replace("`", "")


def _curve(ax: Axes, proof: Proof) -> None:
    """Draw the bands of the travel curve, and the throttle as it was read."""
    unit = spoken_unit("length")
    main = proof.layout.main
    swing = np.degrees(main.swing)
    far = float(proof.layout.pedal.travel) / unit.factor
    bands = (
        (proof.before, PALE, "as measured: nine of ten"),
        (proof.after, GREY, "with what was read: nine of ten"),
    )
    for band, colour, words in bands:
        if band is not None:
            pad = band.pad_travel / unit.factor
            low, _, high = np.degrees(band.curve)
            gid = "before" if colour == PALE else "after"
            ax.fill_between(
                pad, low, high, color=colour, linewidth=0, gid=gid, label=words
            )
            for side in (low, high):
                ax.plot(pad, side, color=BLACK, linewidth=0.5)
    if proof.after is None:
        words = "nothing is corrected yet:\nsee what to measure again"
        ax.text(0.05, 0.93, words, size=8, transform=ax.transAxes, va="top")
    for r, said, sure in zip(proof.readings, proof.said, proof.sure, strict=True):
        if r.about.name != main.name or r.what not in {"throttle", "full"}:
            continue
        outside = abs(r.value - said) > sure
        angle = swing if r.what == "full" else np.degrees(r.value)
        at = r.value if r.what == "full" else r.pad
        known = r.error if r.what == "full" else r.pad_error
        ax.errorbar(
            at / unit.factor,
            angle,
            xerr=known / unit.factor or None,
            yerr=np.degrees(r.error) if r.what == "throttle" else None,
            color=VERMILION if outside else BLACK,
            marker="D",
            markersize=4,
            linewidth=1.0,
            capsize=2,
        )
        far = max(far, (at + known) / unit.factor)
    dress_curve(ax, 1.03 * far, swing, room=1.12)
    ax.legend(loc="lower right", fontsize=7.5, frameon=True)
