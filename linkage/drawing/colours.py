"""How shafts are told from each other: colour, lightness and a band along the arm.

The six fills are 25 or more apart as CIE 1976 L*a*b* differences (CIE 15), for
usual sight and for each kind of colour blindness as G. M. Machado, M. M.
Oliveira, L. A. F. Fernandes (2009), "A physiologically-based model for
simulation of color vision deficiency", IEEE Transactions on Visualization and
Computer Graphics 15 (6), works it out (its matrices for full deficiency, from
memory). They have three steps of lightness, 14 apart; in grey, where two of
them are alike, the bands differ. The palette was searched for under these
conditions. With more than 18 shafts they begin again, and their names tell them.

Not here: what else is coloured (`style`), the lines themselves (`pose`, `fixed`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from linkage.model import Layout

    #: Width [pt] and dashes of a band, in ink; white where it says so.
    Band = tuple[float, Any, bool]

FILLS: Final = ("#60F8F8", "#8BBFFF", "#C183AB", "#C0F19B", "#C2BCA4", "#D87F57")
#: Each fill darkened: names and sizes on white, at 4.5 to 1 or more.
INKS: Final = ("#057A7A", "#0B588E", "#5C254B", "#4A792B", "#5A5540", "#672302")
#: Plain, a line, rungs, blocks, dots, a white core.
BANDS: Final[tuple[Band | None, ...]] = (
    None,
    (1.3, "-", False),
    (4.8, (0, (0.25, 0.6)), False),
    (4.8, (0, (0.9, 1.1)), False),
    (2.0, (0, (0.8, 1.6)), False),
    (2.6, "-", True),
)


def look_of(index: int) -> tuple[str, str, Band | None]:
    """Return fill, ink and band of the shaft with this number.

    >>> look_of(0)[2], look_of(6)[0] == look_of(0)[0], look_of(6)[2] == look_of(0)[2]
    (None, True, False)
    """
    colour = index % len(FILLS)
    band = (index + index // len(FILLS)) % len(BANDS)
    return FILLS[colour], INKS[colour], BANDS[band]


def shaft_colours(layout: Layout) -> dict[str, tuple[str, str]]:
    """Return fill and ink of every shaft, one from end to end of it."""
    return {name: look_of(i)[:2] for i, name in enumerate(layout.shafts)}


def shaft_bands(layout: Layout) -> dict[str, Band | None]:
    """Return the band of every shaft; None where it is plain."""
    return {name: look_of(i)[2] for i, name in enumerate(layout.shafts)}


def band_look(band: Band, ink: str, share: float = 1.0) -> dict[str, Any]:
    """Return how a band is drawn.

    Parameters
    ----------
    band : Band
        From `shaft_bands`.
    ink : str
        Of its shaft.
    share : float
        Of the width on an arm.
    """
    width, dashes, white = band
    return {
        "color": "white" if white else ink,
        "linewidth": width * share,
        "linestyle": dashes,
        "solid_capstyle": "butt",
    }
