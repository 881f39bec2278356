"""What of a linkage can rub: its arms, rods, wires, sheaths and springs as bars.

Every part is one or more straight bars, as thick as it is: a rod with its diameter, a
spring with its coil's, a lever as a flat that ends round about its hole, a drum as rings,
a pin of a slide as thick as the slide.
A sheath is straight between its points.

Not here: how near they come to anything (`gaps.nearest`).
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final, Literal, TypeAlias

import numpy as np

from linkage.connect.bar import THICK
from linkage.connect.cable_line import CableLine
from linkage.connect.line import as_vector, dot
from linkage.forces.masses import FLAT
from linkage.gaps.distance import Bar
from linkage.model import Cable, Hole
from linkage.model.columns import is_column, pick
from linkage.model.refs import Ref
from linkage.motion import frame
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from linkage.connect.line import Vectors
    from linkage.model import Layout, Shaft, Spring, Vector
    from linkage.motion import Frame, Motion

    FloatArray = NDArray[np.float64]

What: TypeAlias = Literal[
    "arm", "drum", "pin", "rod", "wire", "sheath", "spring", "shaft"
]

#: Outside diameter of a coil that is not given; common practice, no source. [m]
COIL: Final = 0.010
#: Of a sheath; common practice, no source. [m]
SHEATH: Final = 0.005
#: Of a shaft whose bearing is not given; common practice, no source. [m]
SHAFT: Final = 0.012
#: Half the width and half the thickness of a lever. [m]
HALF: Final = (FLAT[0] / 2, FLAT[1] / 2)
#: Rings of a drum as shares of its rim, and chords of each.
RINGS: Final = (1.0, 0.66, 0.33)
CHORDS: Final = 16


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Part:
    """One part through a motion.

    Parameters
    ----------
    ref : Ref
        The part.
    what : str
        Which of it: of a cable its ``wire`` or its ``sheath``.
    held : frozenset of {"body", "engine"}
        What holds its ends.
    bars : Bar
        Shape (3, k, n) or (3, k, rows, n); n may be 1 where nothing moves. [m]
    radius : float or ndarray
        Half its thickness, as goes with them. [m]
    ends : tuple of Hole or None
        Holes at the beginning and the end of a line; None where that is no hole.
    at : tuple of Hole
        The arm that it is; empty of others.
    """

    ref: Ref
    what: What
    held: frozenset[str]
    bars: Bar
    radius: Any
    ends: tuple[Hole | None, Hole | None] = (None, None)
    at: tuple[Hole, ...] = ()

    @property
    def holes(self) -> tuple[Hole, ...]:
        """The holes that it is joined to, or is."""
        return (*self.at, *(hole for hole in self.ends if hole is not None))

    @property
    def shafts(self) -> frozenset[str]:
        """The shafts that it is on, or is joined to."""
        own = {self.ref.name} if self.what == "shaft" else set()
        return frozenset({hole.shaft for hole in self.holes} | own)


class _Places:
    """Where points and holes are, all with as many axes as the layout asks for.

    Rows that move alike have one row in a frame, though points of them differ.
    """

    def __init__(self, motion: Motion, rows: int) -> None:
        self.frame: Frame = frame(motion)
        self.layout = motion.assembly.layout
        self._axes = 3 if rows > 1 else motion.ndim + 1

    def of(self, vectors: Vectors) -> Vectors:
        """Return vectors with rows of their own where there are rows."""
        return vectors[:, None] if vectors.ndim < self._axes else vectors

    def vector(self, point: Vector) -> Vectors:
        """Return a point or direction of the layout."""
        return as_vector(point, self._axes - 1)

    def pin(self, hole: Hole) -> Vectors:
        """Return where a hole is. [m]."""
        return self.of(self.frame.pin(hole))


def _bars(pairs: list[tuple[Vectors, Vectors]]) -> Bar:
    """Return lines from point to point as bars, their number on the second axis."""
    points = np.broadcast_arrays(*(point for pair in pairs for point in pair))
    starts, ends = (np.stack(points[i::2], axis=1) for i in (0, 1))
    return Bar(starts, ends - starts)


def _half(diameter: Any, usual: float) -> Any:  # noqa: ANN401
    """Return half a diameter that may not be given, as it goes with positions."""
    given = usual if diameter is None else diameter
    known = pick(given > 0, given, usual)  # nan in a column: not given
    return known / 2


def _on(layout: Layout, shaft: str) -> str:
    return "engine" if shaft in layout.engine.carries else "body"


def _arm(f: _Places, hole: Hole) -> Part:
    layout = f.layout
    shaft = layout.shafts[hole.shaft]
    held = frozenset({_on(layout, hole.shaft)})
    ref = Ref("arm", hole.shaft, hole.arm)
    if shaft.slides:
        line = _from_its_axis(f, shaft, hole)
        thick = _half(shaft.bearing, SHAFT)
        return Part(ref=ref, what="pin", held=held, bars=line, radius=thick, at=(hole,))
    centre = f.vector(shaft.centre(hole.arm))
    if shaft.arms[hole.arm].wound:
        bars = _drum(f, shaft, hole.arm, centre)
        return Part(
            ref=ref, what="drum", held=held, bars=bars, radius=HALF[1], at=(hole,)
        )
    wide = HALF[0] - HALF[1]
    place = f.frame.hole(hole)
    pin, aside = f.pin(hole), f.of(place.tangent) * wide
    lines = [
        (centre, pin + f.of(place.radial) * wide),
        (centre + aside, pin + aside),
        (centre - aside, pin - aside),
    ]
    return Part(
        ref=ref, what="arm", held=held, bars=_bars(lines), radius=HALF[1], at=(hole,)
    )


def _from_its_axis(f: _Places, slide: Shaft, hole: Hole) -> Bar:
    """Return a line from the axis of a slide to a pin of it."""
    pin, foot, way = f.pin(hole), f.vector(slide.pivot), f.vector(slide.axis.n)
    return _bars([(foot + way * dot(pin - foot, way), pin)])


def _drum(f: _Places, shaft: Shaft, arm: str, centre: Vectors) -> Bar:
    """Return rings round all that a drum sweeps."""
    a = shaft.arms[arm]
    most: Any = a.length
    for _, radius in a.profile:
        most = np.maximum(most, radius)
    u, v = f.vector(shaft.axis.u), f.vector(shaft.axis.v)
    turns = 2 * math.pi / CHORDS
    ring = [u * math.cos(i * turns) + v * math.sin(i * turns) for i in range(CHORDS)]
    lines: list[tuple[Vectors, Vectors]] = []
    for share in RINGS:
        points = [centre + way * (most * share) for way in ring]
        lines += pairwise([*points, points[0]])
    return _bars(lines)


def _cable(f: _Places, cable: Cable) -> Iterator[Part]:
    layout, line = f.layout, f.frame.rod(cable.name)
    if isinstance(line, CableLine):
        held = [
            frozenset({_on(layout, hole.shaft), end.on})
            for hole, end in zip((cable.start, cable.end), cable.ends, strict=True)
        ]
        for foot, sheath, hole in zip(
            line.leaves, line.sheath, line.link.holes, strict=True
        ):
            yield Part(
                ref=Ref("rod", cable.name),
                what="wire",
                held=held[hole != cable.start],
                bars=_bars([(f.of(foot.foot), f.vector(sheath))]),
                radius=cable.thick / 2,
                ends=(hole, None),
            )
    if cable.through:
        route = [f.vector(point) for point in cable.route]
        yield Part(
            ref=Ref("rod", cable.name),
            what="sheath",
            held=frozenset(end.on for end in cable.ends),
            bars=_bars([*pairwise(route)]),
            radius=SHEATH / 2,
        )


def _spring(f: _Places, spring: Spring) -> Iterator[Part]:
    if not spring.arm or spring.anchor is None:
        return
    hole = Hole(shaft=spring.shaft, arm=spring.arm)
    held = frozenset({_on(f.layout, spring.shaft), spring.anchored_on})
    yield Part(
        ref=Ref("spring", spring.name),
        what="spring",
        held=held,
        bars=_bars([(f.pin(hole), f.vector(spring.anchor))]),
        radius=_half(spring.known.coil, COIL),
        ends=(hole, None),
    )


def moving_parts(motion: Motion, rows: int) -> list[Part]:
    """Return every arm, rod, wire, sheath and spring of a layout through a motion.

    Parameters
    ----------
    motion : Motion
        Of one layout, or many as rows.
    rows : int
        How many layouts these are.

    Returns
    -------
    list of Part
        Arms in the order of the file, then rods and cables, then springs. A sheath of
        which no points are known between its ends is left out, as is a spring that acts
        along no line.
    """
    f = _Places(motion, rows)
    layout = f.layout
    cams = {rod.start for rod in layout.rods.values() if rod.kind == "cam"}
    holes = (Hole(shaft=n, arm=a) for n, s in layout.shafts.items() for a in s.arms)
    out = [_arm(f, hole) for hole in holes if hole not in cams]
    for rod in layout.rods.values():
        if isinstance(rod, Cable):
            out += _cable(f, rod)
            continue
        if rod.kind == "cam":  # no bar: the cam is on its roller
            continue
        held = frozenset(_on(layout, hole.shaft) for hole in (rod.start, rod.end))
        out.append(
            Part(
                ref=Ref("rod", rod.name),
                what="rod",
                held=held,
                bars=_bars([(f.pin(rod.start), f.pin(rod.end))]),
                radius=_half(rod.diameter, THICK),
                ends=(rod.start, rod.end),
            )
        )
    for spring in layout.springs.values():
        out += _spring(f, spring)
    return out


def shaft_bars(motion: Motion, rows: int) -> list[Part]:
    """Return the bar of every shaft whose arms lie apart along it.

    Parameters
    ----------
    motion : Motion
        Of one layout, or many as rows.
    rows : int
        How many layouts these are.
    """
    f = _Places(motion, rows)
    out = []
    for name, shaft in f.layout.shafts.items():
        if shaft.slides:
            continue  # how far its bar stands out of the guide is not given
        places = [arm.offset for arm in shaft.arms.values()]
        low: Any = places[0]
        high: Any = places[0]
        for place in places[1:]:
            low, high = np.minimum(low, place), np.maximum(high, place)
        if not is_column(high) and not is_column(low) and not high > low:
            continue
        foot, way = f.vector(shaft.pivot), f.vector(shaft.axis.n)
        out.append(
            Part(
                ref=Ref("shaft", name),
                what="shaft",
                held=frozenset({_on(f.layout, name)}),
                bars=_bars([(foot + way * low, foot + way * high)]),
                radius=_half(shaft.bearing, SHAFT),
            )
        )
    return out
