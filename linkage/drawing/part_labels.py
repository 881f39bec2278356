"""What is said of single parts in a layout's picture: arms, springs, pad, stops.

Not here: shafts, rods and held levers (`layout_labels`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.drawing.canvas import points_per_metre
from linkage.drawing.colours import shaft_colours
from linkage.drawing.drafts import Draft, along, around
from linkage.spoken import HOLE_PART

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.drawing.layout_labels import Sizes
    from linkage.drawing.pose import Pose
    from linkage.model import Arm

    FloatArray = NDArray[np.float64]
    Places = Mapping[str, tuple[FloatArray, FloatArray]]


def arm_drafts(pose: Pose, sizes: Sizes) -> list[Draft]:
    """Return the size and the angle of every arm of shafts seen square on."""
    layout = pose.track.motion.assembly.layout
    colours = shaft_colours(layout)
    scale = points_per_metre(pose.ax)
    out = []
    for name, shaft in layout.shafts.items():
        facing = pose.view.facing(shaft)
        if not facing or shaft.slides:
            continue
        turn = float(pose.track.turns[name][pose.index])
        other = () if facing > 0 else (f"(from {shaft.axis.seen_from})",)
        for arm in shaft.arms.values():
            hole = f"{name}.{arm.name}"
            root, pin = pose.track.roots[hole], pose.track.arms[hole][pose.index]
            at = f"at {angle_words(float(arm.angle), turn)}"
            size, tips = sizes.cut(arm.length, HOLE_PART), _on_arm(root, pin, 1 / scale)
            if arm.wound:
                at, size = f"nipple {at}", _radius_words(arm, sizes)
                tips = np.vstack([pose.track.drums[hole].outline(turn)[1::3], tips])
            way = pin - root
            out.append(
                Draft(
                    name=arm.name,
                    whole=hole,
                    tail=(f" {size}", at, *other),
                    spots=np.array([root, pin]),
                    tips=tips,
                    owners=(f"arm {hole}",),
                    toward=(float(-way[1]), float(way[0])),
                    style={"color": colours[name][1], "fontsize": 7},
                )
            )
    return out


def _radius_words(arm: Arm, sizes: Sizes) -> str:
    """Return the radius of a drum, or those of a snail at its nipple and at its end."""
    said = f"R {sizes.cut(float(arm.length), HOLE_PART)}"
    return f"{said} to {sizes.say(float(arm.profile[-1][1]))}" if arm.rim else said


def _on_arm(root: FloatArray, pin: FloatArray, point: float) -> FloatArray:
    """Return places on an arm: within it, about its hole, then along its edges."""
    way = pin - root
    across = np.array([-way[1], way[0]]) / max(float(np.hypot(*way)), 1e-12)
    inner = along(root, pin, np.linspace(0.15, 0.85, 9))
    edge = along(root, pin, np.linspace(0.2, 0.8, 5))
    hole = around(pin, 4.0 * point)
    sides = [edge + side * 3.0 * point * across for side in (1, -1)]
    return np.vstack([inner, hole, *sides])


def angle_words(angle: float, turn: float) -> str:
    """Return an arm's angle where it stands, in brackets that of the file, at rest.

    >>> from math import radians
    >>> angle_words(radians(-17), 0.0), angle_words(radians(-17), radians(30))
    ('−17.0°', '13.0° (−17.0°)')
    """

    def say(one: float) -> str:
        shown = (np.degrees(one) + 180) % 360 - 180
        return f"{shown:.1f}°".replace("-", "−")

    now, rest = say(angle + turn), say(angle)
    return now if now == rest else f"{now} ({rest})"


def spring_drafts(pose: Pose) -> list[Draft]:
    """Return the names of the springs, on shafts not seen square on if there is room."""
    layout = pose.track.motion.assembly.layout
    scale = points_per_metre(pose.ax)
    out = []
    for name, spring in layout.springs.items():
        shaft = layout.shafts[spring.shaft]
        facing = pose.view.facing(shaft)
        owners: tuple[str, ...] = (f"spring {name}",)
        if f"spring {name}" in pose.moving:
            line = np.asarray(pose.moving[f"spring {name}"].get_xydata(), float)
            spots, tips = line[[0, -1]], line[2:-2]
        elif not facing:
            continue
        elif spring.arm:
            hole = f"{spring.shaft}.{spring.arm}"
            pin = pose.track.arms[hole][pose.index]
            spots, tips = np.array([pin]), around(pin, 2.0 / scale)
            owners = (f"arm {hole}",)
        else:
            pivot = pose.view.project(np.array(shaft.pivot, float))
            spots, tips = np.array([pivot]), around(pivot, 9.0 / scale)
        kind = () if spring.kind == "extension" else (f" ({spring.kind})",)
        out.append(
            Draft(
                name=f"spring {name}",
                whole=f"spring {name}",
                tail=kind,
                spots=spots,
                tips=tips,
                owners=owners,
                style={"fontsize": 7},
                optional=not facing,
            )
        )
    return out


def pad_drafts(pose: Pose) -> list[Draft]:
    """Return the word at the pad where its shaft is seen square on."""
    layout = pose.track.motion.assembly.layout
    pedal = layout.foot or layout.pedal
    if layout.governed or not pose.view.facing(layout.shafts[pedal.shaft]):
        return []
    ends = np.asarray(pose.moving["pad"].get_xydata(), float)
    return [
        Draft(
            name="pad",
            whole="pad",
            tail=(),
            spots=ends,
            tips=along(ends[0], ends[1], np.linspace(0.05, 0.95, 9)),
            owners=("pad",),
            style={"fontsize": 7},
        )
    ]


def stop_drafts(stops: Places | None, scale: float) -> list[Draft]:
    """Return the names of stops, from `fixed.stop_places`."""
    return [
        Draft(
            name=name,
            whole=name,
            tail=(),
            spots=np.array([at]),
            tips=_behind(at, out, 1 / scale),
            owners=(f"stop {name}",),
            toward=(float(-out[0]), float(-out[1])),
            style={"fontsize": 6.5, "color": "0.3"},
        )
        for name, (at, out) in (stops or {}).items()
    ]


def _behind(at: FloatArray, out: FloatArray, point: float) -> FloatArray:
    """Return places on a stop: within its hatching, then along its face."""
    across = np.array([-out[1], out[0]])
    back = [at - depth * point * out for depth in (2.5, 0.0, 4.5)]
    return np.array([*back, *(at + side * point * across for side in (5, -5, 3, -3))])
