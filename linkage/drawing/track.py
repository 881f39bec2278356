"""Where every moving point of a layout falls on a view, at every position.

Not here: how it is drawn (`pose`, `ghost`), which levers their stops hold (`held`),
slots (`loose`), over-travel springs (`sprung`), wires (`cables`), drums (`drums`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.cables import cables_on
from linkage.drawing.drums import drums_on, roller_on
from linkage.drawing.guides import bar_feet, bar_root
from linkage.drawing.held import held_by_rod, held_turns
from linkage.drawing.loose import loose_rods, outlined
from linkage.drawing.pad import pad_ends
from linkage.drawing.sprung import gives_words, sprung_rods, tubed
from linkage.model import Cam, Hole, Slide
from linkage.motion import frame
from linkage.motion.senses import pulls_and_pushes

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.drawing.cables import Wired
    from linkage.drawing.drums import Drum
    from linkage.drawing.loose import Loose
    from linkage.drawing.sprung import Sprung
    from linkage.drawing.views import View
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.int64]

#: Sense of a rod that is slack, beside those of `motion.senses`.
SLACK: Final = 2


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
        The arm's own foot on its shaft; of a slide's pin the far end of the guide. [m]
    senses : mapping of str to ndarray, shape (n,)
        By rod, from `motion.senses`; of one that loses motion `SLACK` where it is
        slack, else the one way that it carries.
    loose : mapping of str to Loose
        By rod that loses motion.
    sprung : mapping of str to Sprung
        By rod with an over-travel spring.
    cables : mapping of str to Wired
        By cable.
    drums : mapping of str to Drum
        By hole of a nipple on a drum, and where a cam begins.
    feet : mapping of str to ndarray, shape (n, 2)
        By pin of a slide: its foot on the bar. [m]
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
    loose: Mapping[str, Loose]
    sprung: Mapping[str, Sprung]
    cables: Mapping[str, Wired]
    drums: Mapping[str, Drum]
    feet: Mapping[str, FloatArray]

    def arm_line(self, hole: str, index: int) -> FloatArray:
        """Return an arm from its foot to its pin, rim of a drum, or a slide's bar. [m].

        Shape (k, 2).
        """
        drum = self.drums.get(hole)
        if drum is not None:
            return drum.outline(float(self.turns[drum.shaft][index]))
        if hole in self.feet:
            foot = self.feet[hole][index]
            return np.array([self.roots[hole], foot, self.arms[hole][index]])
        return np.array([self.roots[hole], self.arms[hole][index]])

    def gives(self, rod: str, index: int) -> tuple[str, ...]:
        """Return how far a rod's over-travel spring has given, in words; none where not."""
        one = self.sprung.get(rod)
        if one is None or not one.given[index]:
            return ()
        return (gives_words(float(one.given[index]), one.way),)


def track(motion: Motion, view: View) -> Track:
    """Follow every moving point of a motion on a view.

    Parameters
    ----------
    motion : Motion
        From `sweep`.
    view : View
        On which it is seen.
    """
    pins, roots, arms, feet = {}, {}, {}, {}
    turns, parted, places = held_turns(motion), held_by_rod(motion), {}
    for name, shaft in motion.assembly.layout.shafts.items():
        for arm in shaft.arms:
            hole = Hole(shaft=name, arm=arm)
            pins[str(hole)] = view.project(frame(motion).pin(hole).T)
            root = (
                bar_root(shaft, arm) if isinstance(shaft, Slide) else shaft.centre(arm)
            )
            roots[str(hole)] = view.project(np.array(root, float))
            held = np.array(shaft.pin(arm, turns[name]), float).T
            arms[str(hole)] = view.project(held)
            if isinstance(shaft, Slide):
                feet[str(hole)] = view.project(bar_feet(shaft, arm, turns[name]))
            places[hole] = held.T
    one, two = pad_ends(motion)

    def pin(rod: str, hole: Hole) -> FloatArray:
        if rod not in parted or hole != driven_hole(motion, rod):
            return places[hole]
        return np.where(parted[rod] != 0, frame(motion).pin(hole), places[hole])

    loose = {
        name: replace(one, roller=roller_on(motion.assembly.layout, rod, view))
        if isinstance(rod := motion.assembly.layout.rods[name], Cam)
        else one
        for name, one in loose_rods(motion, pin).items()
    }
    cables = cables_on(motion, view, _cable_turns(motion, turns, parted))
    senses = pulls_and_pushes(motion)
    lost = {name: rod.left for name, rod in loose.items()}
    lost |= {n: one.left for n, one in cables.items() if one.left is not None}
    for name, left in lost.items():
        carries = int(motion.assembly.loop(name).carries)
        senses[name] = np.where(left > 0, SLACK, carries)
    return Track(
        motion=motion,
        pins=pins,
        arms=arms,
        turns=turns,
        parted=parted,
        roots=roots,
        pad=(view.project(one), view.project(two)),
        senses=senses,
        loose=loose,
        sprung=sprung_rods(motion, pin),
        cables=cables,
        drums=drums_on(motion.assembly.layout, view),
        feet=feet,
    )


def _cable_turns(
    motion: Motion, held: Mapping[str, FloatArray], parted: Mapping[str, FloatArray]
) -> dict[str, dict[str, FloatArray]]:
    """Return, by cable, the turns at which its two ends are drawn.

    They are on their levers, but where a stop holds the lever that it drives: there its
    end is where it would have brought it.
    """
    out = {}
    for link in motion.assembly.layout.links:
        name, driven = link.rod.name, link.driven.shaft
        turns = dict(held)
        if name in parted:
            away = parted[name] != 0
            turns[driven] = np.where(away, motion.turns[driven], held[driven])
        out[name] = turns
    return out


def driven_hole(motion: Motion, rod: str) -> Hole:
    """Return the hole that a rod drives."""
    links = motion.assembly.layout.links
    return next(link.driven for link in links if link.rod.name == rod)


def rod_shape(
    followed: Track, rod: str, index: int, half: float
) -> tuple[FloatArray, FloatArray]:
    """Return what is drawn of a rod: its bar, and its slot, hook, cup or spring.

    Parameters
    ----------
    followed : Track
        Of one view.
    rod : str
        Its name.
    index : int
        The position.
    half : float
        Half the width of a slot on the picture. [m]

    Returns
    -------
    bar : ndarray, shape (2, 2)
        From end to end in the order of the layout file. [m]
    outline : ndarray, shape (n, 2)
        Of its slot, or its tube and coil; of a plain rod, none. [m]
    """
    ends = rod_ends(followed, rod, index)
    if rod in followed.sprung:
        return tubed(followed.sprung[rod], index, ends, half)
    if rod not in followed.loose:
        return np.array(ends), np.empty((0, 2))
    return outlined(followed.loose[rod], index, ends, half)


def slot_ends(followed: Track, rod: str, index: int) -> FloatArray:
    """Return the places that a pin may have in a slot, shape (2, 2), or (0, 2). [m].

    The nearer to the rod's other hole first; see `Loose`. Of a rod with an over-travel
    spring the ends of its tube.
    """
    ends = rod_ends(followed, rod, index)
    if rod in followed.sprung:
        sprung = followed.sprung[rod]
        one, other = ends[::-1] if sprung.at else ends
        shares = (sprung.seat[index], sprung.bottom[index])
    elif rod in followed.loose:
        loose = followed.loose[rod]
        one, other = ends if loose.at else ends[::-1]
        shares = (loose.near[index], loose.far[index])
    else:
        return np.empty((0, 2))
    return np.array([one + share * (other - one) for share in shares])


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
