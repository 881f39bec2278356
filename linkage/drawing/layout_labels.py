"""What a layout's picture says of its parts: sizes, senses, names.

A part is labelled in full where its shaft is seen square on, so that no size is
read off a shortened view; elsewhere it has its name alone.

Not here: finding room for the labels (`labels`), the parts (`pose`, `layout`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.labels import Tag
from linkage.drawing.pose import SENSE_WORDS, shaft_colours
from linkage.model import turning
from linkage.spoken import HOLE_PART, ROD_PART, fraction

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.drawing.curve_labels import LengthUnit
    from linkage.drawing.pose import Pose
    from linkage.model import Shaft
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Turns smaller than this are none. [rad]
STILL: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """How lengths are written.

    Parameters
    ----------
    unit : {"mm", "in"}
        The shown unit.
    """

    unit: LengthUnit = "mm"

    def say(self, length: float) -> str:
        """Return a length with its unit.

        >>> Sizes().say(0.07), Sizes(unit="in").say(0.0508)
        ('70.0 mm', '2.000 in')
        """
        if self.unit == "in":
            return f"{length / 0.0254:.3f} in"
        return f"{length * 1e3:.1f} mm"

    def cut(self, length: float, part: int) -> str:
        """Return the same, in inches with the nearest fraction of them beside.

        >>> Sizes(unit="in").cut(0.0508, 64), Sizes(unit="in").cut(0.3396, 32)
        ('2.000 in (2)', '13.370 in (13 3/8)')
        """
        beside = f" ({fraction(length, part)})" if self.unit == "in" else ""
        return self.say(length) + beside


def turn_words(motion: Motion, shaft: Shaft, facing: int) -> str:
    """Return how a shaft turns while the pedal goes down, for the picture's viewer.

    Parameters
    ----------
    motion : Motion
        Pad positions from up to down.
    shaft : Shaft
        The shaft.
    facing : {1, -1}
        From `View.facing`: -1 turns the words round.
    """
    turns = motion.turns[shaft.name] * facing
    steps = np.diff(turns[np.isfinite(turns)])
    whole = float(steps.sum())
    if not steps.size or np.abs(steps).max() < STILL:
        return "does not turn"
    words = f"turns {turning(whole)}"
    back = steps[np.sign(steps) == -np.sign(whole)]
    if np.abs(back).sum() > np.radians(0.5):
        first = steps[np.abs(steps) > STILL][0]
        words = f"turns {turning(float(first))}, then back"
    return words


def layout_tags(pose: Pose, motion: Motion, sizes: Sizes) -> list[Tag]:
    """Return the labels of one view, the most needed first.

    Parameters
    ----------
    pose : Pose
        The view as drawn.
    motion : Motion
        The whole working travel.
    sizes : Sizes
        How lengths are written.
    """
    return [
        *shaft_tags(pose, motion),
        *_rod_tags(pose, sizes),
        *_arm_tags(pose, sizes),
        *_spring_tags(pose),
        *_pad_tag(pose),
    ]


def shaft_tags(pose: Pose, motion: Motion) -> list[Tag]:
    """Return name and sense of every shaft; arguments as for `layout_tags`."""
    layout = motion.assembly.layout
    colours = shaft_colours(layout)
    tags = []
    for name, shaft in layout.shafts.items():
        pivot = pose.view.project(np.array(shaft.pivot, float))
        facing = pose.view.facing(shaft)
        text = name
        if facing:
            seen = pose.view.axis.seen_from
            way = turn_words(motion, shaft, facing)
            text += f"\npedal down: this shaft\n{way}\n(seen from {seen})"
        tags.append(
            Tag(
                text=text,
                at=_pair(pivot),
                toward=_away(pose, name, pivot),
                style={"color": colours[name][1], "fontsize": 7.5},
            )
        )
    return tags


def _pair(point: FloatArray) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _away(pose: Pose, shaft: str, pivot: FloatArray) -> tuple[float, float]:
    """Return the direction in which no arm of a shaft points."""
    ways = [
        pose.track.pins[f"{shaft}.{arm}"][pose.index] - pivot
        for arm in pose.track.motion.assembly.layout.shafts[shaft].arms
    ]
    total = -np.sum([w / max(float(np.hypot(*w)), 1e-9) for w in ways], axis=0)
    return float(total[0]), float(total[1])


def _rod_tags(pose: Pose, sizes: Sizes) -> list[Tag]:
    assembly = pose.track.motion.assembly
    tags = []
    for loop in assembly.loops:
        rod = loop.link.rod
        one = pose.track.pins[str(rod.start)][pose.index]
        two = pose.track.pins[str(rod.end)][pose.index]
        sense = SENSE_WORDS[int(pose.track.senses[rod.name][pose.index])]
        text = f"rod {rod.name}: {sense}"
        ends = (loop.link.driver.shaft, loop.link.driven.shaft)
        if any(pose.view.facing(assembly.layout.shafts[end]) for end in ends):
            text += f"\n{sizes.cut(loop.length, ROD_PART)} c/c"
        places = [one + share * (two - one) for share in (0.5, 0.35, 0.65, 0.22, 0.78)]
        along = two - one
        tags.append(
            Tag(
                text=text,
                at=_pair(places[0]),
                also=tuple(_pair(p) for p in places[1:]),
                toward=(float(along[1]), float(-along[0])),
                style={"fontsize": 7.5, "fontweight": "bold"},
            )
        )
    return tags


def _arm_tags(pose: Pose, sizes: Sizes) -> list[Tag]:
    motion = pose.track.motion
    layout = motion.assembly.layout
    colours = shaft_colours(layout)
    tags = []
    for name, shaft in layout.shafts.items():
        facing = pose.view.facing(shaft)
        if not facing:
            continue
        other = "" if facing > 0 else f"\n(from {shaft.axis.seen_from})"
        turn = float(motion.turns[name][pose.index])
        for arm in shaft.arms.values():
            hole = f"{name}.{arm.name}"
            root, pin = pose.track.roots[hole], pose.track.pins[hole][pose.index]
            places = [root + share * (pin - root) for share in (0.6, 0.4, 0.8)]
            angle = (np.degrees(arm.angle + turn) + 180) % 360 - 180
            number = f"{angle:.1f}".replace("-", "−")
            along = pin - root
            tags.append(
                Tag(
                    text=f"{arm.name} {sizes.cut(arm.length, HOLE_PART)}\nat {number}°{other}",
                    at=_pair(places[0]),
                    also=tuple(_pair(p) for p in places[1:]),
                    toward=(float(-along[1]), float(along[0])),
                    style={"color": colours[name][1], "fontsize": 7},
                )
            )
    return tags


def _spring_tags(pose: Pose) -> list[Tag]:
    layout = pose.track.motion.assembly.layout
    tags = []
    for name, spring in layout.springs.items():
        shaft = layout.shafts[spring.shaft]
        if not pose.view.facing(shaft):
            continue
        if f"spring {name}" in pose.moving:
            at = np.asarray(pose.moving[f"spring {name}"].get_xydata(), float).mean(
                axis=0
            )
        elif spring.arm:
            at = pose.track.pins[f"{spring.shaft}.{spring.arm}"][pose.index]
        else:
            at = pose.view.project(np.array(shaft.pivot, float))
        kind = "" if spring.kind == "extension" else f" ({spring.kind})"
        tags.append(
            Tag(text=f"spring {name}{kind}", at=_pair(at), style={"fontsize": 7})
        )
    return tags


def _pad_tag(pose: Pose) -> list[Tag]:
    layout = pose.track.motion.assembly.layout
    pedal = layout.pedal
    if not pose.view.facing(layout.shafts[pedal.shaft]):
        return []
    at = pose.track.pins[f"{pedal.shaft}.{pedal.pad}"][pose.index]
    return [Tag(text="pad", at=_pair(at), style={"fontsize": 7})]
