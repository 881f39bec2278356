"""Where every moving point of a layout falls on a view, at every position.

Not here: how it is drawn (`pose`, `ghost`), which levers their stops hold (`held`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from linkage.drawing.held import held_by_rod, held_turns
from linkage.drawing.pad import pad_ends
from linkage.model import Hole
from linkage.motion import frame
from linkage.motion.senses import pulls_and_pushes

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Track:
    """Where every moving point falls on a view, at every position.

    Parameters
    ----------
    motion : Motion
        What is followed.
    pins : mapping of str to ndarray, shape (n, 2)
        By hole, as ``shaft.arm``: where the rods would bring it. [m]
    arms : mapping of str to ndarray, shape (n, 2)
        By hole: where it is, as the stops hold it. [m]
    turns : mapping of str to ndarray, shape (n,)
        Of every shaft, as the stops hold it. [rad]
    parted : mapping of str to ndarray, shape (n,)
        By rod that would take a lever beyond its stop, how far: 0 where it does
        not, and the rod is on its lever. [rad]
    roots : mapping of str to ndarray, shape (2,)
        The arm's own foot on its shaft. [m]
    senses : mapping of str to ndarray, shape (n,)
        By rod, from `motion.senses`.
    pad : tuple of 2 ndarray, shape (n, 2)
        The two ends of the pad's face. [m]
    """

    motion: Motion
    pins: Mapping[str, FloatArray]
    arms: Mapping[str, FloatArray]
    turns: Mapping[str, FloatArray]
    parted: Mapping[str, FloatArray]
    roots: Mapping[str, FloatArray]
    pad: tuple[FloatArray, FloatArray]
    senses: Mapping[str, IntArray]


def track(motion: Motion, view: View) -> Track:
    """Follow every moving point of a motion on a view.

    Parameters
    ----------
    motion : Motion
        From `sweep`.
    view : View
        On which it is seen.
    """
    pins, roots, arms = {}, {}, {}
    turns = held_turns(motion)
    for name, shaft in motion.assembly.layout.shafts.items():
        for arm in shaft.arms:
            hole = Hole(shaft=name, arm=arm)
            pins[str(hole)] = view.project(frame(motion).pin(hole).T)
            roots[str(hole)] = view.project(np.array(shaft.centre(arm)))
            held = np.array(shaft.pin(arm, turns[name]), float).T
            arms[str(hole)] = view.project(held)
    one, two = pad_ends(motion)
    return Track(
        motion=motion,
        pins=pins,
        arms=arms,
        turns=turns,
        parted=held_by_rod(motion),
        roots=roots,
        pad=(view.project(one), view.project(two)),
        senses=pulls_and_pushes(motion),
    )


def driven_hole(motion: Motion, rod: str) -> Hole:
    """Return the hole that a rod drives."""
    links = motion.assembly.layout.links
    return next(link.driven for link in links if link.rod.name == rod)


def rod_ends(followed: Track, rod: str, index: int) -> tuple[FloatArray, FloatArray]:
    """Return the two ends of a rod at a position, each shape (2,). [m].

    They are on their levers, but where a stop holds the lever that the rod drives:
    there its end is where it would have brought it.
    """
    one = followed.motion.assembly.layout.rods[rod]
    over = rod in followed.parted and followed.parted[rod][index] != 0
    driven = driven_hole(followed.motion, rod) if over else None
    start, end = (
        (followed.pins if hole == driven else followed.arms)[str(hole)][index]
        for hole in (one.start, one.end)
    )
    return start, end
