"""Rods that lose motion, as they are drawn: a slot, an open hook, a cup.

All is true to scale along the rod, which keeps its own length where it is slack;
across it a slot is as wide on paper as its pin.

Not here: where pins are (`track`), the lines themselves (`pose`, `ghost`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from linkage.drawing.along_rod import pins_apart, spots_on
from linkage.model import Cable, Cam
from linkage.motion import frame

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.connect import Connector
    from linkage.drawing.along_rod import Pin
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Half the width of a slot, a hook or a cup, round the pin in it. [pt]
HALF: Final = 3.3
#: Way from the shank to the neck of a hook, and the lips of hook and cup, over that.
NECK: Final = 1.5
LIP: Final = 0.8
_ROUND: Final = np.linspace(-np.pi / 2, np.pi / 2, 13)
#: Half a circle about a place of the pin, along and across the rod.
_ALONG: Final = np.cos(_ROUND)
_ACROSS: Final = np.sin(_ROUND)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Loose:
    """A rod that loses motion, at every position.

    Parameters
    ----------
    at : {0, 1}
        At which of its two ends it does, in the order of the layout file.
    kind : {"slot", "hook", "cup", "roller"}
        A hook only pulls, a cup only pushes; a roller is that of a cam, which is drawn as
        an arm.
    near, far : ndarray, shape (n,)
        The places of the pin in it that are nearest to and farthest from the rod's
        other hole, as shares of the way from there to the pin: one is 1 where the
        rod drives. A hook is as deep as the pin goes, a cup not at all.
    left : ndarray, shape (n,)
        How far it may go before it drives; 0 where it does. [m]
    roller : ndarray, shape (k, 2)
        About the pin, of a cam; else none. [m]
    """

    at: Literal[0, 1]
    kind: Literal["slot", "hook", "cup", "roller"]
    near: FloatArray
    far: FloatArray
    left: FloatArray
    roller: FloatArray = field(default_factory=lambda: np.empty((0, 2)))

    @property
    def slack(self) -> NDArray[np.bool_]:
        """Whether it is slack, shape (n,)."""
        return self.left > 0


def loose_rods(motion: Motion, pin: Pin | None = None) -> dict[str, Loose]:
    """Return the rods that lose motion, by name; cables are none of them.

    Parameters
    ----------
    motion : Motion
        Of one layout; a hook is as deep as all of it asks for.
    pin : callable, optional
        Where pins are drawn; None for where the rods bring them.
    """
    place = pin or (lambda _, hole: frame(motion).pin(hole))
    loops = {loop.link.rod.name: loop for loop in motion.assembly.loops}
    return {
        name: _loose(loops[name], left, place)
        for name, left in left_to_go(motion).items()
        if not isinstance(loops[name].link.rod, Cable)
    }


def left_to_go(motion: Motion) -> dict[str, FloatArray]:
    """Return how far rods and cables that lose motion may go before they drive. [m].

    By name, each shape (n,): 0 where it drives.
    """
    out = {}
    for loop in motion.assembly.loops:
        turns = (motion.pair(hole.shaft) for hole in loop.link.holes)
        left = loop.slack(*turns)
        if left is not None:
            shape = np.shape(motion.pad_travel)
            out[loop.link.rod.name] = np.broadcast_to(np.asarray(left, float), shape)
    return out


def _loose(loop: Connector, left: FloatArray, pin: Pin) -> Loose:
    rod, length = loop.link.part, float(loop.length)
    apart = pins_apart(rod, pin)
    if isinstance(rod, Cam):
        here = np.ones_like(apart)
        left = np.broadcast_to(left, apart.shape)
        return Loose(at=1, kind="roller", near=here, far=here, left=left)
    deep = float(rod.slot)
    if rod.only:
        deep = float(np.nanmax(left, initial=0.0)) if rod.only == "pull" else 0.0
    other = max(length - float(loop.carries) * deep, 0.0)
    return Loose(
        at=0 if rod.slot_at == "start" else 1,
        kind={"pull": "hook", "push": "cup"}.get(rod.only, "slot"),  # type: ignore[arg-type]
        near=min(length, other) / apart,
        far=max(length, other) / apart,
        left=np.broadcast_to(left, apart.shape),
    )


def outlined(
    loose: Loose, index: int, ends: tuple[FloatArray, FloatArray], half: float
) -> tuple[FloatArray, FloatArray]:
    """Return what is drawn of a rod that loses motion.

    Parameters
    ----------
    loose : Loose
        The rod.
    index : int
        The position.
    ends : tuple of 2 ndarray, shape (2,)
        Its two pins on the picture, in the order of the layout file. [m]
    half : float
        Half the width of its slot. [m]

    Returns
    -------
    bar : ndarray, shape (2, 2)
        From end to end, in the order of the layout file: up to the slot. [m]
    outline : ndarray, shape (n, 2)
        Of the slot or roller, closed; of a hook or a cup, open. [m]
    """
    eye, pin = ends if loose.at else ends[::-1]
    if loose.kind == "roller":
        return np.array([pin, pin]), pin + loose.roller
    near, far = float(loose.near[index]), float(loose.far[index])
    spots, foot = spots_on(eye, pin, half), 1.0
    if loose.kind == "slot":
        outline = np.vstack(
            [spots(far, _ALONG, _ACROSS), spots(near, -_ALONG, -_ACROSS)]
        )
        outline = np.vstack([outline, outline[:1]])
    elif loose.kind == "hook":
        foot += NECK
        hook = spots(far, [*_ALONG, -LIP], [*_ACROSS, 1.0])
        outline = np.vstack([hook[::-1], spots(near, [-1.0, -foot], [-1.0, 0.0])])
    else:
        outline = spots(near, [LIP, *-_ALONG, LIP], [1.0, *-_ACROSS, -1.0])
    room = near * float(np.hypot(*(pin - eye))) > foot * half
    bar = np.array([eye, spots(near, -foot) if room else eye])
    return bar if loose.at else bar[::-1], outline


def slack_spans(motion: Motion) -> dict[str, list[tuple[float, float]]]:
    """Return over which pad travel each rod or cable that loses motion is slack, if at all. [m].

    Parameters
    ----------
    motion : Motion
        Of one layout, pad positions rising. Ends between two of them are taken as if
        what is left went on as it did before.
    """
    pad, out = np.asarray(motion.pad_travel, float), {}
    for name, left in left_to_go(motion).items():
        turns = np.diff(np.concatenate([[0], (left > 0).astype(int), [0]]))
        starts, ends = np.flatnonzero(turns == 1), np.flatnonzero(turns == -1) - 1
        spans = [
            (_met(pad, left, int(first), -1), _met(pad, left, int(last), 1))
            for first, last in zip(starts, ends, strict=True)
        ]
        if spans:
            out[name] = spans
    return out


def _met(pad: FloatArray, left: FloatArray, at: int, way: int) -> float:
    """Return where a rod drives beyond its last slack position, one way or the other."""
    beyond, before = at + way, at - way
    if not 0 <= beyond < len(pad):
        return float(pad[at])
    falls = left[before] - left[at] if 0 <= before < len(pad) else 0.0
    share = left[at] / falls if falls > left[at] else 0.5
    return float(pad[at] + share * (pad[beyond] - pad[at]))
