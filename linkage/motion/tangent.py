"""What a unit of one measured number does to every shaft, exact and carried on.

By the derivatives of the rods' closure that SymPy derived. A wire, or another
connector of which none is derived, is put together anew with the number a little off
either way (five points, good to some ten digits).

Not here: the derivatives (`formulas`), how far a number is off (`model.measured`), what
is judged of it (`rules.corners`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.connect import join
from linkage.model import Hole
from linkage.model.columns import pick
from linkage.model.paths import applied, read
from linkage.motion.at_rest import as_cut

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect import Connector
    from linkage.connect.connector import Pair
    from linkage.model.columns import Positions
    from linkage.model.paths import Path
    from linkage.motion.assembly import Assembly
    from linkage.motion.frame import Frame

#: How far off a number is set where nothing is derived. [m, rad]
STEP: Final = 1e-4
#: Weights of the five points.
_POINTS: Final = ((-2, 1 / 12), (-1, -8 / 12), (1, 8 / 12), (2, -1 / 12))


def carried(
    still: Frame, path: Path, *, set_again: bool = True
) -> Mapping[str, Positions]:
    """Return the change of every shaft's turn by a unit of one number.

    Parameters
    ----------
    still : Frame
        At rest, and then at the places asked for: its first position is the rest.
    path : tuple
        The number: of an arm, a pivot, the end of a sheath, or the ``length`` or
        ``play`` of a rod.
    set_again : bool
        Whether rods are set anew, so that at rest all stays where it was, as on the
        vehicle; else only those that are cut to fit. None is for a rod's own length or
        play, which is what moves the plate then.

    Returns
    -------
    mapping of str to ndarray
        By shaft, of the shape of the positions, the pad kept where it is. 0 where a
        rod on the way is slack or gives. [rad by m, or by rad]
    """
    motion, layout = still.motion, still.layout
    lengthens = path[0] == "rods" and path[2] in {"length", "play"}
    change = {layout.pedal.shaft: np.zeros(motion.pad_travel.shape)}
    pad = Hole(shaft=layout.pedal.shaft, arm=layout.pedal.pad)
    if path == ("shafts", pad.shaft, "arms", pad.arm, "length"):
        turn = motion.turns[pad.shaft]
        change[pad.shaft] = -turn / layout.pad_radius
    for link in layout.links:
        loop = motion.assembly.loop(link.rod.name)
        one, two = (motion.pair(hole.shaft) for hole in link.holes)
        own = _own(motion.assembly, loop, (one, two), path, set_again=set_again)
        here = change[link.driver.shaft] * still.ratios[link.rod.name] + own
        if not lengthens:
            here = here + _cut_again(loop, (one, two), here, set_again=set_again)
        for stands in (loop.slack(one, two), loop.given(one, two)):
            here = here if stands is None else np.where(stands > 0, 0.0, here)
        change[link.driven.shaft] = here
    return change


def _own(
    assembly: Assembly,
    loop: Connector,
    turns: tuple[Pair, Pair],
    path: Path,
    *,
    set_again: bool,
) -> Positions:
    """Return the driven turn by a unit of a number of a rod's own ends, or of itself."""
    link = loop.link
    ends = [hole for hole in link.holes if _touches(hole, path)]
    if path[:2] != ("rods", link.rod.name) and not ends:
        return np.zeros(1)
    if not ends and path[2] in {"length", "play"}:
        return loop.by_length(*turns)
    by = loop.by_ends(*turns)
    if by is None or not ends:
        if set_again or path[-1] != "length":
            return _joined(assembly, loop, turns, path)
        # Of a wire the radii are derived; its length is kept.
        both = loop.by_arms(*turns)
        radii = [b for b, h in zip(both, link.holes, strict=True) if h in ends]
        return np.sum(np.broadcast_arrays(*radii), axis=0)
    word = path[4] if path[2] == "arms" else f"pivot {path[3]}"
    found: Positions = np.zeros(1)
    for derived, hole in zip(by, link.holes, strict=True):
        found = found + derived[word] if hole in ends else found
    return found


def _touches(hole: Hole, path: Path) -> bool:
    """Tell whether a number of an arm or a pivot moves a hole."""
    if path[:2] != ("shafts", hole.shaft):
        return False
    return path[2] == "pivot" or path[3] == hole.arm


def _joined(
    assembly: Assembly, loop: Connector, turns: tuple[Pair, Pair], path: Path
) -> Positions:
    """Return the same of a connector that is put together anew, set as it lies at rest."""
    layout, name, rest = assembly.layout, loop.link.rod.name, assembly.rest
    driver, driven = (hole.shaft for hole in loop.link.holes)
    base = replace(
        layout,
        shafts={**layout.shafts, driven: layout.shafts[driven].moved(rest[driven])},
        rods={**layout.rods, name: as_cut(assembly, loop)},
    )
    value = read(base, path)

    def closed(by: float) -> Pair:
        made = applied(base, {path: value + by})
        link = next(link for link in made.links if link.rod.name == name)
        anew = join(made, link, rest[driver], getattr(loop, "way", 0))
        cosine, sine, _ = anew.close(turns[0])
        return cosine, sine

    cosine, sine = closed(0.0)
    out: Positions = np.zeros(1)
    for k, weight in _POINTS:
        c, s = closed(k * STEP)
        out = out + weight * np.arctan2(s * cosine - c * sine, c * cosine + s * sine)
    return out / STEP


def _cut_again(
    loop: Connector, turns: tuple[Pair, Pair], change: Positions, *, set_again: bool
) -> Positions:
    """Return what a rod gives back that is set at rest again."""
    cut = True if set_again else loop.link.rod.cut
    if cut is False:
        return np.zeros(1)
    by_length = loop.by_length(*turns)
    slack = loop.slack(*turns)
    length = loop.length
    # A rod that loses motion is cut by the pins' distance, which is not its length.
    away = length if slack is None else length - loop.carries * slack[..., :1]
    longer = -change[..., :1] / by_length[..., :1] * length / away
    return by_length * pick(cut, longer, 0.0)
