"""Room for words in a view that moves: names beside all that is swept.

Not here: the words (`words`), finding room at one position (`drawing.labels`).
"""

from __future__ import annotations

import textwrap
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np
from matplotlib.patheffects import withStroke

from linkage.animation.words import short_names
from linkage.drawing.canvas import extent, point_of, points_per_metre
from linkage.drawing.labels import Placer, Tag
from linkage.drawing.layout_labels import HELD, shaft_tags
from linkage.drawing.meeting import along
from linkage.drawing.obstacles import obstacle_tags
from linkage.drawing.symbols import GROUND_SIZE, TURN_SIZE
from linkage.drawing.track import rod_ends, slot_ends

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from matplotlib.text import Text
    from numpy.typing import NDArray

    from linkage.drawing.pose import Pose
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]
    #: Share along the rod, and how far right and up from there. [m]
    WordPlace = tuple[float, float, float]
    Found = dict[str, tuple[WordPlace, float]]

#: What it costs to hide a bit of the way of what moves: less than where it stands.
HIDE: Final = 4.0
#: Keeps the letters of a name clear of what runs through it.
HALO: Final = {"path_effects": [withStroke(linewidth=2.5, foreground="white")]}
#: Where along a rod its word may stand, best first.
SHARES: Final = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74)
#: With the side on which it stands: on the rod, right, left, over, under.
CHOICES: Final = tuple(
    (share, way)
    for way in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1))
    for share in SHARES
)
#: Positions of the travel that are looked at.
LOOKS: Final = 9
#: A word that hides no more than this has clear room.
CLEAR: Final = 6.0
#: Distance of the points by which a line is noted. [px]
APART: Final = 4.0


def name_tags(pose: Pose, motion: Motion, size: float, letters: int) -> list[Tag]:
    """Return the name of every shaft and obstacle, long ones cut short or in lines.

    Parameters
    ----------
    pose : Pose
        The view as drawn.
    motion : Motion
        The whole travel.
    size : float
        Of the letters. [pt]
    letters : int
        Of a line.
    """
    short = short_names(motion.assembly.layout.shafts, 2 * letters - 2)
    out = []
    for tag, text in zip(shaft_tags(pose, motion), short.values(), strict=True):
        lines = "\n".join(textwrap.wrap(text, letters))
        out.append(
            replace(tag, text=lines, style={**tag.style, **HALO, "fontsize": size})
        )
    for tag in obstacle_tags(pose):
        lines = "\n".join(textwrap.wrap(tag.text, letters))
        look = {**tag.style, **HALO, "fontsize": size}
        out.append(replace(tag, text=lines, style=look))
    return out


def without_idle_arrows(pose: Pose) -> None:
    """Take away the turn arrow of every shaft that its stops hold all the time."""
    for name, turns in pose.track.turns.items():
        known = turns[np.isfinite(turns)]
        if f"turn {name}" in pose.fixed and (not known.size or np.ptp(known) < HELD):
            pose.fixed.pop(f"turn {name}").remove()


def place_names(pose: Pose, tags: Sequence[Tag]) -> None:
    """Place names beside everything that is swept in the whole travel.

    Parameters
    ----------
    pose : Pose
        Its `fixed` gets the labels, its `left_out` those without room.
    tags : sequence of Tag
        From `name_tags`.
    """
    placer = Placer(pose.ax, hide=HIDE)
    for line, width in _swept(pose):
        placer.avoid(line, width)
    radius = TURN_SIZE / 2 / points_per_metre(pose.ax)
    around = np.linspace(0, 2 * np.pi, 40)
    circle = radius * np.column_stack([np.cos(around), np.sin(around)])
    for name, artist in pose.fixed.items():
        kind = name.partition(" ")[0]
        if kind in {"ground", "bearing", "anchor", "stop", "torsion", "collar"}:
            at = np.asarray(artist.get_xydata())  # type: ignore[union-attr]
            placer.avoid_points(at, GROUND_SIZE)
        elif kind == "turn":
            placer.avoid(np.asarray(artist.get_xydata()) + circle)  # type: ignore[union-attr]
        elif kind in {"arrow", "shaft"}:
            placer.avoid(np.asarray(artist.get_xydata()), 5.0)  # type: ignore[union-attr]
    placer.avoid_text(
        t for t in pose.ax.texts if t.get_text() and t not in set(pose.words.values())
    )
    for label in placer.place(tags):
        pose.fixed[f"label {label.get_text()}"] = label
    pose.left_out.extend(tag.text for tag in placer.left_out)


def _looks(pose: Pose) -> NDArray[np.int64]:
    last = len(pose.track.motion.pad_travel) - 1
    return np.unique(np.linspace(0, last, min(LOOKS, last + 1)).astype(np.int64))


def _swept(pose: Pose) -> list[tuple[FloatArray, float]]:
    """Return the lines of all that moves through the travel, and their width [pt]."""
    layout = pose.track.motion.assembly.layout
    pins, out = pose.track.arms, []
    cables = pose.track.cables
    out += [(cable.sheath, 7.0) for cable in cables.values()]
    for k in _looks(pose):
        for hole in pose.track.roots:
            wide = 6.0 if hole in pose.track.drums else 9.0
            out.append((pose.track.arm_line(hole, int(k)), wide))
        for cable in cables.values():
            out += [(free.line(int(k)), 6.0) for free in cable.free]
        for name in layout.rods:
            if name in cables:
                continue
            out.append((np.array(rod_ends(pose.track, name, int(k))), 10.0))
            slot = slot_ends(pose.track, name, int(k))
            out += [(slot, 12.0)] * bool(len(slot))
        for spring in layout.springs.values():
            if spring.arm and spring.anchor is not None:
                anchor = pose.view.project(np.array(spring.anchor, float))
                hook = pins[f"{spring.shaft}.{spring.arm}"][k]
                out.append((np.array([hook, anchor]), 12.0))
        out.append((np.array([end[k] for end in pose.track.pad]), 7.0))
    return out


def word_places(
    poses: Sequence[Pose], texts: Mapping[str, str]
) -> list[dict[str, WordPlace]]:
    """Return where each rod's word stands: where it hides least, all travel through.

    Parameters
    ----------
    poses : sequence of Pose
        The views of one layout, names placed, which are kept off too.
    texts : mapping of str to str
        By rod: the longest that its word gets.

    Returns
    -------
    list of dict of str to tuple of 3 floats
        One a view. A word for which there is no clear room in a view is left
        out there if it stands better in another, and one that would meet other
        words or leave the view is left out in any case.
    """
    found = [_word_places(pose, texts) for pose in poses]
    least = {
        name: min(one[name][1] for one in found if name in one)
        for name in texts
        if any(name in one for one in found)
    }
    return [
        {n: place for n, (place, cost) in one.items() if cost <= max(least[n], CLEAR)}
        for one in found
    ]


def _word_places(pose: Pose, texts: Mapping[str, str]) -> Found:
    """Return where a view's words stand, and how much each hides there."""
    point = point_of(pose.ax)
    words = set(pose.words.values())
    looks = len(_looks(pose))
    taken = [
        np.tile(extent(t), (looks, 1))
        for t in pose.ax.texts
        if t not in words and t.get_text()
    ]
    field = np.array(pose.ax.get_window_extent().extents)
    metre = points_per_metre(pose.ax) * point
    others = np.vstack(
        [_samples(pose, line) for line, _ in _swept(pose)] + _marks(pose)
    )
    out: Found = {}
    for name, word in pose.words.items():
        half = _half(word, texts[name]) + point
        best = np.inf
        boxes = np.empty((looks, 4))
        for share, way in CHOICES:
            at = _ends(pose, name, share) + np.array(way) * (half + 2 * point)
            cost = (
                _cost(at, half, others, taken, field) + 3 * abs(share - 0.5) + any(way)
            )
            if cost < best:
                best = cost
                offset = np.array(way) * (half + 2 * point) / metre
                if name in pose.track.cables:
                    offset = offset + pose.track.cables[name].along(share)
                out[name] = ((share, float(offset[0]), float(offset[1])), cost)
                boxes = np.hstack([at - half, at + half])
        if name in out:
            taken.append(boxes)
    return out


def _half(word: Text, text: str) -> FloatArray:
    """Return half the width and height of a word with another text. [px]."""
    before, shown = word.get_text(), word.get_visible()
    word.set(text=text, visible=True)  # what is not visible has no size
    box = extent(word)
    word.set(text=before, visible=shown)
    return (box[2:] - box[:2]) / 2


def _ends(pose: Pose, name: str, share: float) -> FloatArray:
    """Return a place along a rod through the travel. [px]."""
    if name in pose.track.cables:
        at = pose.track.cables[name].along(share)
        return np.asarray(
            pose.ax.transData.transform(np.tile(at, (len(_looks(pose)), 1)))
        )
    ends = [rod_ends(pose.track, name, int(k)) for k in _looks(pose)]
    start, end = np.swapaxes(np.array(ends), 0, 1)
    return np.asarray(pose.ax.transData.transform(start + share * (end - start)))


def _cost(
    at: FloatArray,
    half: FloatArray,
    others: FloatArray,
    taken: Sequence[FloatArray],
    field: FloatArray,
) -> float:
    """Return how much a word hides at its places; infinite where it may not stand."""
    low, high = at - half, at + half
    if (low < field[:2]).any() or (high > field[2:]).any():
        return np.inf
    for boxes in taken:
        if ((low < boxes[:, 2:]) & (high > boxes[:, :2])).all(axis=1).any():
            return np.inf
    x, y = others.T
    inside = (x > low[:, :1]) & (x < high[:, :1])
    inside &= (y > low[:, 1:]) & (y < high[:, 1:])
    return float(np.count_nonzero(inside)) / len(at)


def _samples(pose: Pose, line: FloatArray) -> FloatArray:
    """Return points along a line, some pixels apart, shape (n, 2)."""
    ends = pose.ax.transData.transform(line)
    length = np.hypot(*np.diff(ends, axis=0).T)
    many = (length / APART).astype(np.int64) + 1
    return np.vstack([along(ends, many), ends[1:]])


def _marks(pose: Pose) -> list[FloatArray]:
    """Return points over the symbols that stand, in pixels, shape (16, 2) each."""
    grid = np.linspace(-0.5, 0.5, 4) * 0.8 * GROUND_SIZE * point_of(pose.ax)
    spread = np.array([(x, y) for x in grid for y in grid])
    kinds = {"ground", "anchor", "stop", "bearing", "collar"}
    return [
        pose.ax.transData.transform(
            np.asarray(artist.get_xydata())  # type: ignore[union-attr]
        )
        + spread
        for name, artist in pose.fixed.items()
        if name.partition(" ")[0] in kinds
    ]
