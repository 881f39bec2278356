"""The profile of a cam as a smooth chain of circular arcs, all bulging outwards.

Given as arcs, one after another, or by points, through which the chain is laid: at every
point the tangent is that of the circle through it and its two neighbours, and between two
points two arcs that meet smoothly (a biarc, both tangents alike long).

Places are along the cam's arm and square to it, in the sense in which the profile goes
round; the direction of its normal is counted from the arm in that sense.

References
----------
K. M. Bolton, Biarc curves, Computer-Aided Design 7 (1975) (from memory).

Not here: the part (`model.cam`), its roller (`connect.cam`).
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise
from typing import Final, NamedTuple, TypeAlias

from linkage.errors import LayoutError

#: Turn round the cam and radius there, or radius of an arc and the angle it goes round.
Pairs: TypeAlias = tuple[tuple[float, float], ...]
#: Radius of an arc above which it is flat, and below which it is an edge. [m]
FLAT: Final = 20.0
EDGE: Final = 1e-4
#: Angle by which rounding may carry a profile past a whole turn. [rad]
ROUNDING: Final = 1e-9
#: Places nearer than this are one. [m]
SAME: Final = 1e-7
_HINT: Final = (
    "a roller can touch a hollow at two places, and one that is larger than the hollow "
    "does not get into it: measure the points again, and make the cam bulge all round"
)


class Arc(NamedTuple):
    """One arc: its centre, its radius, and the normals at which it begins and ends."""

    x: float
    y: float
    radius: float
    begins: float
    ends: float


@lru_cache(maxsize=64)
def of_arcs(first: float, arcs: Pairs) -> tuple[Arc, ...]:
    """Return the chain of arcs that begins on the arm, square to it.

    Parameters
    ----------
    first : float
        Radius of the cam there. [m]
    arcs : tuple of pair of float
        Radius of each [m], and the angle that it goes round [rad].

    Raises
    ------
    LayoutError
        If one is none, or all together go round more than once. Without a key.
    """
    found: list[Arc] = []
    at, x = 0.0, first
    y = 0.0
    for radius, angle in arcs:
        if not EDGE <= radius <= FLAT or not angle > 0:
            msg = "an arc of the profile is none that a roller could run on"
            hint = (
                f"each has a radius from {1e3 * EDGE:g} mm to {FLAT:g} m and goes round an "
                "angle: [[20, 30], [60, 40]]; a straight flank is an arc of some metres"
            )
            raise LayoutError(msg, hint=hint)
        centre = x - radius * math.cos(at), y - radius * math.sin(at)
        found.append(Arc(*centre, radius, at, at + angle))
        at += angle
        x, y = (
            centre[0] + radius * math.cos(at),
            centre[1] + radius * math.sin(at),
        )
    return _round_once(found)


@lru_cache(maxsize=64)
def through(points: Pairs) -> tuple[Arc, ...]:
    """Return the chain of arcs through points.

    Parameters
    ----------
    points : tuple of pair of float
        Turn round the cam from the arm on, rising from 0 [rad], and the radius there
        [m].

    Raises
    ------
    LayoutError
        If there are fewer than three, they do not rise, or the cam would be flat or
        hollow somewhere. Without a key.
    """
    turns = [turn for turn, _ in points]
    hint = (
        "give three or more pairs of the turn round the cam from the arm on, rising, and "
        "the radius there: [[0, 20], [45, 24], [90, 31]]"
    )
    if (
        len(points) < 3
        or turns[0] != 0
        or any(not 0 < b - a < math.pi for a, b in pairwise(turns))
    ):
        msg = "the profile does not go round from 0 on in three steps or more"
        raise LayoutError(msg, hint=hint)
    if not all(radius >= EDGE for _, radius in points):
        msg = "a radius of the profile is none"
        raise LayoutError(msg, hint=hint)
    places = [complex(r * math.cos(t), r * math.sin(t)) for t, r in points]
    ways = _tangents(places)
    found: list[Arc] = []
    at = _angle(ways[0] / 1j, 0.0)
    for i, (one, two) in enumerate(pairwise(places)):
        middle, way = _biarc(one, ways[i], two, ways[i + 1])
        for start, to, leaves, meets in (
            (one, middle, ways[i], way),
            (middle, two, way, ways[i + 1]),
        ):
            arc = _arc(start, to, leaves, meets, at)
            if arc is None:
                msg = (
                    "the profile is flat or hollow between "
                    f"{math.degrees(turns[i]):g} and {math.degrees(turns[i + 1]):g} degrees"
                )
                raise LayoutError(msg, hint=_HINT)
            found.append(arc)
            at = arc.ends
    return _round_once(found)


def _unit(way: complex) -> complex:
    return way / abs(way)


def _tangents(places: list[complex]) -> list[complex]:
    """Return the way in which the profile goes on at every point, of length 1.

    Of the circle through it and its neighbours: by angles between chords and tangents.
    """
    out = []
    for i in range(len(places)):
        k = min(max(i, 1), len(places) - 2)
        a, b, c = places[k - 1 : k + 2]
        one, two, whole = _unit(b - a), _unit(c - b), _unit(c - a)
        if i < k:
            out.append(one * whole / two)
        elif i > k:
            out.append(two * whole / one)
        else:
            out.append(one * two / whole)
    return out


def _biarc(
    one: complex, leaves: complex, two: complex, meets: complex
) -> tuple[complex, complex]:
    """Return where two arcs from one point to another meet, and the way there."""
    way, both = two - one, leaves + meets
    along = (way * both.conjugate()).real
    turned = 1 - (leaves * meets.conjugate()).real
    square = abs(way) ** 2
    # The length of both tangents, a root of 2 turned d² + 2 along d - square = 0, in the
    # form that does not lose its digits where the two ways are nearly one.
    length = square / (along + math.sqrt(along**2 + 2 * turned * square))
    middle = (one + two + length * (leaves - meets)) / 2
    return middle, _unit(two - one - length * both)


def _arc(
    start: complex, to: complex, leaves: complex, meets: complex, at: float
) -> Arc | None:
    """Return the arc from one place to another, None where it is flat or hollow."""
    chord, inward = to - start, leaves * 1j
    deep = (chord * inward.conjugate()).real
    if not deep > 0 or not EDGE <= (radius := abs(chord) ** 2 / (2 * deep)) <= FLAT:
        return None
    centre = start + radius * inward
    return Arc(centre.real, centre.imag, radius, at, _angle(meets / 1j, at))


def _angle(way: complex, after: float) -> float:
    """Return the angle of a way, as the next one after another."""
    raw = math.atan2(way.imag, way.real)
    if after == 0:
        return raw
    return after + (raw - after) % (2 * math.pi)


def _round_once(found: list[Arc]) -> tuple[Arc, ...]:
    """Refuse a profile that goes round more than once."""
    if not found or found[-1].ends - found[0].begins > 2 * math.pi + ROUNDING:
        msg = "the profile goes round more than a whole turn, or not at all"
        raise LayoutError(msg, hint="its arcs together go round once at the most")
    return tuple(found)


def closes(profile: tuple[Arc, ...]) -> bool:
    """Tell whether a profile comes round to its beginning."""
    first, last = profile[0], profile[-1]
    whole = abs(last.ends - first.begins - 2 * math.pi) < 1e-6
    near = math.dist(on(first, first.begins), on(last, last.ends)) < SAME
    return whole and near


def on(arc: Arc, normal: float) -> tuple[float, float]:
    """Return the place on an arc at which its normal has a direction. [m]."""
    return (
        arc.x + arc.radius * math.cos(normal),
        arc.y + arc.radius * math.sin(normal),
    )


def outline(profile: tuple[Arc, ...], step: float) -> list[tuple[float, float]]:
    """Return places along a profile, no further apart than so much of its turn. [m].

    Parameters
    ----------
    profile : tuple of Arc
        From `of_arcs` or `through`.
    step : float
        [rad]
    """
    places = [on(profile[0], profile[0].begins)]
    for arc in profile:
        whole = arc.ends - arc.begins
        count = max(math.ceil(whole / step), 1)
        places += [on(arc, arc.begins + whole * k / count) for k in range(1, count + 1)]
    return places
