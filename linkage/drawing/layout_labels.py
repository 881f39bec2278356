"""What a layout's picture says of its parts: sizes, senses, names.

A part is labelled in full where its shaft is seen square on, so that no size is
read off a shortened view; elsewhere it has its name alone.

Not here: labels of arms, springs, pad and stops (`part_labels`), of rods and cables
(`rod_labels`), which parts share one (`drafts`), finding room for them (`board`, `settling`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing.canvas import points_per_metre
from linkage.drawing.colours import shaft_colours
from linkage.drawing.drafts import Draft, along, around, together
from linkage.drawing.guides import way_words
from linkage.drawing.held import held_words
from linkage.drawing.included import included_angles
from linkage.drawing.obstacles import near_drafts, obstacle_drafts
from linkage.drawing.part_labels import (
    arm_drafts,
    pad_drafts,
    spring_drafts,
    stop_drafts,
)
from linkage.drawing.rod_labels import collar_drafts, rod_drafts
from linkage.drawing.symbols import turn_radius, turn_sweep
from linkage.drawing.track import driven_hole
from linkage.drawing.views import shaft_line
from linkage.model import Slide, turning
from linkage.spoken import fraction

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.drawing.curve_labels import LengthUnit
    from linkage.drawing.label import Label
    from linkage.drawing.labels import Tag
    from linkage.drawing.pose import Pose
    from linkage.model import Layout, Shaft
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]
    Places = Mapping[str, tuple[FloatArray, FloatArray]]

#: Turns smaller than this are none. [rad]
STILL: Final = 1e-6
#: A shaft that turns less than this under its stops is held by them. [rad]
HELD: Final = 1e-3
#: What must not be overlooked.
RED: Final = "#A02000"


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


def slide_words(motion: Motion, slide: Slide) -> str:
    """Return whither a slide goes while the pedal goes down, and how far."""
    ways = motion.turns[slide.name]
    ways = ways[np.isfinite(ways)]
    return way_words(slide, float(ways[-1] - ways[0]) if ways.size else 0.0)


def layout_tags(
    pose: Pose, motion: Motion, sizes: Sizes | None, stops: Places | None = None
) -> list[Label]:
    """Return the labels of one view, the most needed first.

    Parameters
    ----------
    pose : Pose
        The view as drawn.
    motion : Motion
        The whole working travel.
    sizes : Sizes, optional
        How lengths are written; None for names and senses alone.
    stops : mapping of str to (ndarray, ndarray), optional
        From `fixed.stop_places`.
    """
    scale = points_per_metre(pose.ax)
    kinds = [
        _held_drafts(pose),
        near_drafts(pose),
        rod_drafts(pose, sizes),
        _shaft_drafts(pose, motion),
    ]
    if sizes is not None:
        kinds += [arm_drafts(pose, sizes), spring_drafts(pose), pad_drafts(pose)]
        kinds += [stop_drafts(stops, scale), collar_drafts(pose)]
    kinds.append(obstacle_drafts(pose))
    tags = [tag for drafts in kinds for tag in together(drafts, scale)]
    return sorted(tags, key=lambda tag: tag.optional)


def shaft_tags(pose: Pose, motion: Motion) -> list[Tag]:
    """Return name and sense of every shaft, each for itself; else as `layout_tags`."""
    scale = points_per_metre(pose.ax)
    drafts = _shaft_drafts(pose, motion)
    return [
        replace(together([d], scale)[0], at=_pair(d.spots[0]), also=(), forms=())
        for d in drafts
    ]


def _driven(layout: Layout) -> str:
    """Return in what case a shaft turns as is told."""
    if layout.governed:
        return "engine faster"
    return "pedal down" if layout.foot is None else "hand lever pulled"


def _shaft_drafts(pose: Pose, motion: Motion) -> list[Draft]:
    layout = motion.assembly.layout
    colours = shaft_colours(layout)
    scale = points_per_metre(pose.ax)
    out = []
    for name, shaft in layout.shafts.items():
        pivot = pose.view.project(np.array(shaft.pivot, float))
        facing = pose.view.facing(shaft)
        tail: tuple[str, ...] = ()
        ends = pose.view.project(shaft_line(shaft))
        if isinstance(shaft, Slide):
            guide: Any = pose.fixed[f"guide {name}"]
            drawn = np.asarray(guide.get_xydata(), float)
            tips = drawn[np.isfinite(drawn).all(axis=1)]
            owners = (f"shaft {name}", *(f"arm {name}.{pin}" for pin in shaft.arms))
            tail = (f"{_driven(layout)}: this slide", slide_words(motion, shaft))
        elif facing:
            down = f"{_driven(layout)}: this shaft"
            way = _way(pose, motion, shaft, facing)
            seen = f"(seen from {pose.view.axis.seen_from})"
            tail = (*_included(pose, name), down, way, seen)
            turns = f"turn {name}" in pose.fixed
            sense = _sense(motion, name, facing) if turns else 0
            angles = turn_sweep(sense)[2:34:2] if turns else None
            tips = around(pivot, (turn_radius(sense) if turns else 4.2) / scale, angles)
            owners = (f"turn {name}",) if turns else (f"shaft {name}",)
        else:
            tips = along(ends[0], ends[1], np.linspace(0.08, 0.92, 9))
            owners = (f"shaft {name}",)
        out.append(
            Draft(
                name=name,
                whole=f"{shaft.kind} {name}",
                tail=tail,
                spots=np.array([pivot]) if facing and not shaft.slides else ends,
                tips=tips,
                owners=owners,
                toward=_away(pose, name, pivot),
                style={"color": colours[name][1], "fontsize": 7.5},
                optional=not facing,
                broken={"this shaft\nturns": "this shaft turns"} if facing else {},
            )
        )
    return out


def _sense(motion: Motion, shaft: str, facing: int) -> int:
    """Return which way the turn arrow of a shaft goes on the picture."""
    turns = motion.turns[shaft]
    turns = turns[np.isfinite(turns)] * facing
    return int(np.sign(turns[-1] - turns[0]))


def _included(pose: Pose, shaft: str) -> tuple[str, ...]:
    """Return the included angle of a bell crank where its arc is drawn."""
    return tuple(
        f"{one.arms[0]} and {one.arms[1]} {abs(np.degrees(one.angle)):.1f}° apart"
        for one in included_angles(pose.track.motion.assembly.layout)
        if one.shaft == shaft and f"included {shaft}.{one.arms[1]}" in pose.fixed
    )


def _way(pose: Pose, motion: Motion, shaft: Shaft, facing: int) -> str:
    """Return how a shaft turns, or is pushed where a stop holds it throughout."""
    words = turn_words(motion, shaft, facing)
    held = pose.track.turns[shaft.name]
    still = np.ptp(held[np.isfinite(held)]) if np.isfinite(held).any() else 0.0
    if words.startswith("turns ") and still < HELD:
        return words.replace("turns ", "is pushed ", 1)
    return words


def _pair(point: FloatArray) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _away(pose: Pose, shaft: str, pivot: FloatArray) -> tuple[float, float]:
    """Return the direction in which no arm of a shaft points."""
    ways = [
        pose.track.arms[f"{shaft}.{arm}"][pose.index] - pivot
        for arm in pose.track.motion.assembly.layout.shafts[shaft].arms
    ]
    total = -np.sum([w / max(float(np.hypot(*w)), 1e-9) for w in ways], axis=0)
    return float(total[0]), float(total[1])


def _held_drafts(pose: Pose) -> list[Draft]:
    """Say at the gap between a rod and its lever what holds the lever."""
    layout = pose.track.motion.assembly.layout
    governed = layout.governed
    scale = points_per_metre(pose.ax)
    out = []
    for rod, over in pose.track.parted.items():
        far = float(over[pose.index])
        words = held_words(-far if governed else far)
        if not words:
            continue
        ends = np.asarray(pose.moving[f"gap {rod}"].get_xydata(), float)
        lever = driven_hole(pose.track.motion, rod)
        out.append(
            Draft(
                name=f"{lever.shaft}: {words}",
                whole=f"{lever.shaft}: {words}",
                tail=(f"the {layout.rods[rod].kind} cannot take it along",),
                spots=ends,
                tips=np.vstack(
                    [
                        along(ends[0], ends[1], np.linspace(0.15, 0.85, 9)),
                        *(around(end, 2.4 / scale) for end in ends),
                    ]
                ),
                owners=(f"gap {rod}", f"rod {rod}", f"arm {lever}"),
                style={"color": RED, "fontsize": 7.5, "fontweight": "bold"},
                optional=not pose.view.facing(layout.shafts[lever.shaft]),
            )
        )
    return out
