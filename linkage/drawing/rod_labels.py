"""What a layout's picture says of its rods and cables: sense, length, what they lose.

Not here: labels of shafts and held levers (`layout_labels`), of other parts
(`part_labels`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.canvas import points_per_metre
from linkage.drawing.drafts import Draft, along, around
from linkage.drawing.pose import SENSE_WORDS
from linkage.model import Cable, Cam
from linkage.motion.as_made import made_length
from linkage.spoken import HOLE_PART, ROD_PART

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.connect import Connector
    from linkage.drawing.layout_labels import Sizes
    from linkage.drawing.pose import Pose
    from linkage.model import Rod

    FloatArray = NDArray[np.float64]

#: Where along a sheath and a free wire a leader may end, best first.
ON_SHEATH: Final = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)
ON_WIRE: Final = (0.5, 0.3, 0.7)


def rod_drafts(pose: Pose, sizes: Sizes | None) -> list[Draft]:
    """Return the sense of every rod and cable, with its sizes where seen square on."""
    assembly = pose.track.motion.assembly
    out = []
    for loop in assembly.loops:
        rod = loop.link.part
        one, two = pose.ends(rod.name)
        sense = SENSE_WORDS[int(pose.track.senses[rod.name][pose.index])]
        full = _square(pose, loop)
        tail: tuple[str, ...] = (f": {sense}",)
        tips, way = along(one, two, np.linspace(0.08, 0.92, 15)), two - one
        if rod.name in pose.track.cables:
            tips = _on_cable(pose, rod.name)
            way = pose.track.cables[rod.name].along(0.6) - tips[0]
        if isinstance(rod, Cam):
            tips = one + pose.track.loose[rod.name].roller
        if sizes and full:
            tail += _size_words(pose, loop, sizes)
        out.append(
            Draft(
                name=f"{rod.kind} {rod.name}",
                whole=f"{rod.kind} {rod.name}",
                tail=tail,
                spots=np.array([one, two]),
                tips=tips,
                owners=(f"rod {rod.name}",),
                toward=(float(way[1]), float(-way[0])),
                style={"fontsize": 7.5, "fontweight": "bold"},
                optional=sizes is not None and len(tail) == 1,
            )
        )
    return out


def _square(pose: Pose, loop: Connector) -> bool:
    """Return whether one of the shafts that a rod joins is seen square on."""
    shafts = pose.track.motion.assembly.layout.shafts
    return any(pose.view.facing(shafts[hole.shaft]) for hole in loop.link.holes)


def _on_cable(pose: Pose, name: str) -> FloatArray:
    """Return places on a cable: along its sheath, then on its free wire."""
    cable = pose.track.cables[name]
    spots = [cable.along(share) for share in ON_SHEATH]
    for free in cable.free:
        foot = free.foot[pose.index]
        if not free.sag[pose.index].any():
            spots += [foot + share * (free.sheath - foot) for share in ON_WIRE]
    return np.array(spots)


def collar_drafts(pose: Pose) -> list[Draft]:
    """Return what holds the ends of sheaths."""
    out = []
    scale = points_per_metre(pose.ax)
    for loop in pose.track.motion.assembly.loops:
        cable = loop.link.rod
        if not isinstance(cable, Cable):
            continue
        for end, free in zip(
            cable.ends, pose.track.cables[cable.name].free, strict=True
        ):
            words = f"sheath held on the {end.on}"
            out.append(
                Draft(
                    name=words,
                    whole=f"cable {cable.name} at {free.hole}: {words}",
                    tail=(),
                    spots=np.array([free.sheath]),
                    tips=around(free.sheath, 5.0 / scale),
                    owners=(f"rod {cable.name}",),
                    style={"fontsize": 6.5, "color": "0.3"},
                    optional=not _square(pose, loop),
                )
            )
    return out


def _size_words(pose: Pose, loop: Connector, sizes: Sizes) -> tuple[str, ...]:
    """Return how long a rod is, or the free wire of a cable, and what it loses."""
    rod = loop.link.part
    if isinstance(rod, Cam):
        clear = float(pose.track.loose[rod.name].left[pose.index])
        roller = f"roller of {sizes.cut(2 * float(rod.roller), HOLE_PART)}"
        return (f"drives in {sizes.say(clear)},",) * (clear > 0) + (roller,)
    if rod.name not in pose.track.cables:
        length = f"{sizes.cut(made_length(loop), ROD_PART)} c/c"
        waits = loop.link.own is not None
        return _length_words(pose, rod, sizes, length, waits=waits)
    free = (f"{sizes.cut(loop.length, ROD_PART)} of wire free",)
    left = pose.track.cables[rod.name].left
    if left is None:
        return ("push-pull", *free)
    hangs = float(left[pose.index])
    return (f"{sizes.say(hangs)} hangs loose,", *free) if hangs > 0 else free


def _length_words(
    pose: Pose, rod: Rod, sizes: Sizes, length: str, *, waits: bool
) -> tuple[str, ...]:
    """Return how long a rod is, its slot and what is left of it, how far it gives."""
    if rod.gives:
        gives = pose.track.gives(rod.name, pose.index)
        if gives:
            return (f"{length} until it gives,", *gives)
        return (length, f"may give {sizes.say(float(rod.over_travel))}")
    if not rod.loose:
        return (length,)
    loose = pose.track.loose[rod.name]
    left = float(loose.left[pose.index])
    what = f"can only {rod.only}"
    if rod.slot > 0:
        what = f"slot {sizes.cut(float(rod.slot), HOLE_PART)}"
    left_words = f"drives in {sizes.say(left)},"
    if waits:  # what is left is before it moves the other input
        left_words = f"{sizes.say(left)} of slot left," if rod.slot > 0 else ""
    to_go = (left_words,) * bool(left_words and loose.slack[pose.index])
    return (*to_go, f"{length} driving,", what)
