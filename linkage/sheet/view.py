"""The drawing of a measuring sheet: the layout at rest in black and white, lettered.

Not here: which letter is whose (`letters`), the sheet about it (`measuring`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.canvas import points_per_metre
from linkage.drawing.fixed import draw_fixed
from linkage.drawing.kept_off import keep_off
from linkage.drawing.labels import Placer, Tag
from linkage.drawing.layout import travel_motion, view_axes
from linkage.drawing.obstacles import draw_obstacles
from linkage.drawing.pose import WIDTH, WIRE, draw_pose
from linkage.drawing.sheaths import draw_sheaths
from linkage.drawing.style import BLACK
from linkage.drawing.view_notes import draw_name, foot_of_notes
from linkage.model import Cable
from linkage.motion import assemble, working_travel

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from linkage.drawing.pose import Pose
    from linkage.drawing.views import View
    from linkage.model import Layout
    from linkage.model.refs import Ref
    from linkage.sheet.letters import Group

    FloatArray = NDArray[np.float64]

#: Letters for places nearer than this in one view go to another, if there is one. [pt]
NEAR: Final = 9.0
_LETTER: Final = {
    "fontsize": 9.5,
    "fontweight": "bold",
    "color": BLACK,
    "bbox": {"boxstyle": "square,pad=0.06", "fc": "white", "ec": BLACK, "lw": 0.7},
}


def draw_lettered(
    figure: Figure,
    layout: Layout,
    groups: Sequence[Group],
    room: tuple[float, float, float, float],
) -> list[str]:
    """Draw a layout at rest in the views it needs, a letter at every place.

    Parameters
    ----------
    figure : Figure
        Where it is drawn.
    layout : Layout
        What is drawn.
    groups : sequence of Group
        Its letters.
    room : tuple of 4 floats
        Left, bottom, width, height of the field. [in]

    Returns
    -------
    list of str
        Letters for which there was no room; the engine's has no place.
    """
    assembly = assemble(layout)
    motion, _ = travel_motion(assembly, working_travel(assembly))
    views = view_axes(figure, motion, room, margin=(0.5, 0.45))
    poses = []
    for view, ax in views:
        pose = draw_pose(ax, motion, 0, view)
        pose.fixed.update(draw_fixed(ax, motion, view))
        pose.fixed.update(draw_sheaths(ax, layout, view))
        head = foot_of_notes(1)  # see `_counts`
        pose.fixed.update(draw_obstacles(ax, motion, view, head, marks=False))
        _black_and_white(pose)
        draw_name(ax, view, pose, "none")
        _counts(pose)
        _looks(pose, [other for other, _ in views])
        _ways(pose)
        poses.append(pose)
    chosen = _shared_out(layout, groups, views)
    missing = []
    for pose, tags in zip(poses, chosen, strict=True):
        placer = Placer(pose.ax)
        keep_off(placer, pose)
        placer.place(tags + _datum(pose))
        missing += [tag.text for tag in placer.left_out]
    return missing


def _counts(pose: Pose) -> None:
    """Write under a view's name which way angles of its arms count."""
    ax, view = pose.ax, pose.view
    if not any(map(view.facing, pose.track.motion.assembly.layout.shafts.values())):
        return
    point = 1 / points_per_metre(ax)
    start = {"along": "to the right"}.get(view.axis.name, view.axis.zero or "forward")
    x, y = ax.get_xlim()[0], ax.get_ylim()[1]
    pose.fixed["view angles"] = ax.text(
        x + 3 * point, y - 16 * point, f"0° is {start}, anticlockwise +",
        ha="left", va="top", fontsize=7, gid="view angles",
    )  # fmt: skip


def _looks(pose: Pose, views: Sequence[View]) -> None:
    """Show with an arrow in the corner where another view is seen from."""
    ax, point = pose.ax, 1 / points_per_metre(pose.ax)
    x, y = ax.get_xlim()[1] - 6 * point, ax.get_ylim()[0] + 8 * point
    for other in views:
        way = -pose.view.project(np.array(other.axis.n, float))
        if other is pose.view or np.hypot(*way) < 0.9:
            continue
        text = ax.text(
            x, y, f"{other.name.removeprefix('seen ')}:\nlook this way",
            ha="right", va="bottom", fontsize=7, gid="look",
        )  # fmt: skip
        pose.fixed[f"look {other.name}"] = text
        middle = np.array([x - 26 * point, y + 32 * point])
        ends = middle[None] + np.array([[-11], [11]]) * point * way[None]
        barb = [
            ends[1] - 6 * point * (way + side * np.array([-way[1], way[0]]) * 0.5)
            for side in (1, -1)
        ]
        line = np.array([ends[0], ends[1], barb[0], ends[1], barb[1]])
        (pose.fixed[f"arrow {other.name}"],) = ax.plot(
            line[:, 0], line[:, 1], color=BLACK, linewidth=1.4, scalex=False,
            scaley=False, gid="look arrow",
        )  # fmt: skip
        y += 46 * point


def _black_and_white(pose: Pose) -> None:
    """Leave out what hangs on the sense of turning, and draw all else in black."""
    for name in [n for n in pose.fixed if n.startswith(("stop ", "turn "))]:
        pose.fixed.pop(name).remove()
    for line in pose.ax.lines:
        kind = str(line.get_gid()).partition(" ")[0]
        line.set_color("white" if kind in {"arm", "shaft", "core", "within"} else BLACK)
        if kind in {"rod", "wire"}:  # pull, push or slack: all alike
            wire = str(line.get_gid()).partition(" ")[2] in pose.track.cables
            line.set(linestyle="-", linewidth=WIRE if wire else WIDTH)


def _datum(pose: Pose) -> list[Tag]:
    """Mark the datum where it lies in the view, and return its label."""
    ax, at = pose.ax, pose.view.project(np.zeros(3))
    (left, right), (low, high) = ax.get_xlim(), ax.get_ylim()
    inset = 14 / points_per_metre(ax)
    if not (
        left + inset < at[0] < right - inset and low + inset < at[1] < high - inset
    ):
        return []
    (mark,) = ax.plot(
        [at[0]], [at[1]], marker="+", markersize=14, markeredgewidth=0.8, color=BLACK,
        linestyle="none", zorder=7, gid="anchor datum", scalex=False, scaley=False,
    )  # fmt: skip
    pose.fixed["anchor datum"] = mark
    return [
        Tag(
            text="datum",
            at=(float(at[0]), float(at[1])),
            lead=0.0,
            style={"fontsize": 6.5},
        )
    ]


def _turned(layout: Layout, shaft: str, arm: str, turn: float) -> FloatArray:
    """Return an arm's hole on its way through a turn, shape (21, 3). [m]."""
    turns = np.linspace(0.0, turn, 21)
    return np.array([layout.shafts[shaft].pin(arm, t) for t in turns], float)


def _pad_way(layout: Layout) -> FloatArray:
    pedal = layout.pedal
    turn = pedal.presses * pedal.end / layout.pad_radius
    return _turned(layout, pedal.shaft, pedal.pad, float(turn))


def _hand_way(layout: Layout) -> FloatArray:
    hand = layout.hand
    assert hand is not None  # noqa: S101  (it has a letter)
    radius = layout.shafts[hand.shaft].arms[hand.lever].length
    turn = float(hand.pulls * hand.travel / radius)
    return _turned(layout, hand.shaft, hand.lever, turn)


def _swing(layout: Layout, name: str) -> FloatArray:
    throttle = layout.throttles[name]
    lever = next(k.driven.arm for k in layout.links if k.driven.shaft == throttle.shaft)
    return _turned(
        layout, throttle.shaft, lever, float(throttle.opens * throttle.swing)
    )


def _rod(layout: Layout, about: Ref) -> FloatArray:
    """Return the middle of a rod, or of a cable's first free wire; a point of its sheath."""
    rod = layout.rods[about.name]
    ends = [layout.shafts[h.shaft].pin(h.arm) for h in (rod.start, rod.end)]
    if isinstance(rod, Cable):
        if about.part:
            number = {"from": "0", "to": "-1"}.get(about.part, about.part)
            return np.array(rod.route[int(number)], float)
        ends[1] = rod.route[0]
    return np.asarray(np.mean(np.array(ends, float), axis=0))


def _spring(layout: Layout, name: str) -> FloatArray:
    spring = layout.springs[name]
    if spring.anchor is not None:
        return np.array(spring.anchor, float)
    shaft = layout.shafts[spring.shaft]
    return np.array(shaft.pin(spring.arm) if spring.arm else shaft.pivot, float)


def _obstacle(layout: Layout, about: Ref) -> FloatArray:
    """Return a point of an obstacle, or the middle of a hole in it."""
    obstacle = layout.obstacles[about.name]
    i = int(about.part or 0)
    points = [*obstacle.points, *(middle for middle, _ in obstacle.holes)]
    return np.array(points[i], float)


#: Where a part of each kind has its letter, in the vehicle, shape (3,). [m]
_PLACES: Final[dict[str, Callable[[Layout, Ref], FloatArray]]] = {
    "shaft": lambda y, r: np.array(y.shafts[r.name].pivot, float),
    "arm": lambda y, r: np.array(y.shafts[r.name].pin(r.part), float),
    "rod": _rod,
    "pedal": lambda y, _: _pad_way(y)[-1],
    "hand": lambda y, _: _hand_way(y)[-1],
    "throttle": lambda y, r: _swing(y, r.name)[-8],
    "spring": lambda y, r: _spring(y, r.name),
    "obstacle": _obstacle,
}


def _ways(pose: Pose) -> None:
    """Draw the way of the pad, and of every throttle's lever, where seen square on."""
    layout = pose.track.motion.assembly.layout
    ways = {"pad": (layout.pedal.shaft, _pad_way(layout))}
    if layout.hand is not None:
        ways["hand"] = (layout.hand.shaft, _hand_way(layout))
    for name, throttle in layout.throttles.items():
        ways[name] = (throttle.shaft, _swing(layout, name))
    for name, (shaft, way) in ways.items():
        if not pose.view.facing(layout.shafts[shaft]):
            continue
        flat = pose.view.project(way)
        (line,) = pose.ax.plot(
            flat[:, 0], flat[:, 1], color=BLACK, linewidth=0.8, zorder=3.8,
            linestyle=(0, (3, 2)), gid=f"arrow {name}", scalex=False, scaley=False,
        )  # fmt: skip
        pose.fixed[f"arrow {name}"] = line


def _of_shaft(layout: Layout, about: Ref) -> Iterable[str]:
    """Return the shafts that must be seen square on for a part to be seen well."""
    if about.kind in {"shaft", "arm"}:
        return (about.name,)
    if about.kind == "rod":
        rod = layout.rods[about.name]
        return (rod.start.shaft, rod.end.shaft)
    if about.kind == "throttle":
        return (layout.throttles[about.name].shaft,)
    if about.kind == "spring":
        return (layout.springs[about.name].shaft,)
    if about.kind == "hand" and layout.hand is not None:
        return (layout.hand.shaft,)
    return (layout.pedal.shaft,)


def _shared_out(
    layout: Layout, groups: Sequence[Group], views: Sequence[tuple[View, Axes]]
) -> list[list[Tag]]:
    """Return the letters of each view: each where its part is seen best, and apart."""
    places: list[list[tuple[str, FloatArray]]] = [[] for _ in views]
    for row in (row for group in groups for row in group.rows):
        if row.about.kind not in _PLACES:
            continue
        place = _PLACES[row.about.kind](layout, row.about)
        costs = []
        for (view, ax), others in zip(views, places, strict=True):
            at = view.project(place)
            square = any(
                view.facing(layout.shafts[n]) for n in _of_shaft(layout, row.about)
            )
            close = NEAR / points_per_metre(ax)
            meets = any(np.hypot(*(at - other)) < close for _, other in others)
            costs.append((not square) + 2 * meets)
        best = int(np.argmin(costs))
        places[best].append((row.letter, views[best][0].project(place)))
    return [[_tag(one, each) for one in each] for each in places]


def _tag(one: tuple[str, FloatArray], others: Sequence[tuple[str, FloatArray]]) -> Tag:
    """Return the label of a place, away from all others by preference."""
    letter, at = one
    away = np.zeros(2)
    for _, other in others:
        far = float(np.hypot(*(at - other)))
        if far > 1e-6:
            away += (at - other) / far**3
    return Tag(
        text=letter,
        at=(float(at[0]), float(at[1])),
        toward=(float(away[0]), float(away[1])),
        lead=0.0,  # places here lie close together
        style=_LETTER,
    )
