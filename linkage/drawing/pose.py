"""The moving parts of one view, which follow the motion without being drawn anew.

`Pose.update` only sets data, so that an animation pays for what moves.

Not here: what stands still (`fixed`), labels with sizes (`layout_labels`), colours
(`colours`), which levers their stops hold (`held`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing import drums, style, symbols
from linkage.drawing.canvas import points_per_metre
from linkage.drawing.colours import band_look, shaft_bands, shaft_colours
from linkage.drawing.loose import HALF
from linkage.drawing.track import SLACK, driven_hole, rod_shape, track

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.text import Text
    from numpy.typing import NDArray

    from linkage.drawing.board import Board
    from linkage.drawing.drums import Drum
    from linkage.drawing.label import Label
    from linkage.drawing.track import Track
    from linkage.drawing.views import View
    from linkage.model import Layout
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Width of a spring's zigzag. [m]
SPRING_WIDTH: Final = 0.010
#: How a pin is drawn.
PIN: Final = {
    "color": style.BLACK,
    "marker": "o",
    "markersize": 4.2,
    "markerfacecolor": "white",
}
#: How a nipple is drawn.
NIPPLE: Final = {"markersize": 4.4, "markerfacecolor": style.BLACK}
#: Shorter rods carry no word that moves with them. [pt]
WORD_LENGTH: Final = 70.0
SENSE_WORDS: Final = {1: "pull", -1: "push", 0: "dead centre", SLACK: "slack"}
#: A pulling rod is solid, a pushing one dashed, one on dead centre dotted; a slack one
#: is thin, with dots between its dashes.
SENSE_DASHES: Final[dict[int, Any]] = {
    1: "-",
    -1: (0, (4.5, 1.6)),
    0: ":",
    SLACK: (0, (8.0, 2.5, 1.5, 2.5)),
}
#: Widths of a rod's line: slack, and else; and of a wire that is not slack. [pt]
THIN: Final = 1.0
WIDTH: Final = 1.9
WIRE: Final = 1.3


@dataclass(slots=True, eq=False, kw_only=True)
class Pose:
    """One view of a linkage at one position.

    Parameters
    ----------
    ax : Axes
        Where it is drawn.
    view : View
        On which it is seen.
    track : Track
        The motion it follows.
    index : int
        The position shown.
    moving : dict of str to Line2D
        ``arm SHAFT.ARM``, ``edge SHAFT.ARM`` (its outline), ``band SHAFT.ARM``
        (how it is told from another shaft in grey), ``pin SHAFT.ARM``,
        ``rod NAME`` (up to its slot or tube, if it has one), ``slot NAME`` (or its
        tube with a coil), ``wire NAME`` (of a cable, whose ``rod NAME`` is the wire at
        its first end, that at its other), ``spring NAME``, ``pad``; of a rod that would take its
        lever beyond a stop ``joint NAME`` and ``gap NAME``.
    words : dict of str to Text
        ``rod NAME``: its word, where such words move with it.
    fixed : dict of str to Line2D or Text
        What stands still.
    shortest : float
        A rod seen shorter than this carries no word, which would hide it. [m]
    left_out : list of str
        Labels for which there was no room.
    without : list of Label
        The same as tags, where another way to say them is to be found.
    said : set of str
        What its labels say of each part.
    board : Board, optional
        Where labels and leaders may still go, once labels are placed.
    swept : bool
        Whether it is drawn on all that its parts sweep.
    """

    ax: Axes
    view: View
    track: Track
    index: int
    moving: dict[str, Line2D]
    words: dict[str, Text]
    fixed: dict[str, Line2D | Text]
    shortest: float
    left_out: list[str]
    without: list[Label] = field(default_factory=list)
    said: set[str] = field(default_factory=set)
    board: Board | None = None
    swept: bool = False

    @property
    def artists(self) -> dict[str, Line2D | Text]:
        """All artists by name; words of rods as ``word NAME``."""
        words = {f"word {name}": text for name, text in self.words.items()}
        return {**self.fixed, **self.moving, **words}

    def update(self, motion: Motion, index: int) -> None:
        """Show another position.

        Parameters
        ----------
        motion : Motion
            Mostly that of before; another of the same layout is followed anew.
        index : int
            Position in it.
        """
        if motion is not self.track.motion:
            self.track = track(motion, self.view)
        self.index = index
        layout = motion.assembly.layout
        for hole in self.track.arms:
            self._move_arm(hole, index)
        for name in layout.rods:
            self._move_rod(name, index)
        for name, spring in layout.springs.items():
            if f"spring {name}" in self.moving and spring.anchor is not None:
                end = self.view.project(np.array(spring.anchor, float))
                hook = self.track.arms[f"{spring.shaft}.{spring.arm}"][index]
                line = symbols.zigzag(hook, end, SPRING_WIDTH)
                self.moving[f"spring {name}"].set_data(line[:, 0], line[:, 1])
        self._move_pad(index)

    def ends(self, rod: str) -> tuple[FloatArray, FloatArray]:
        """Return the two ends of a rod's bar, each shape (2,). [m]."""
        bar, _ = rod_shape(self.track, rod, self.index, self.half)
        return bar[0], bar[1]

    @property
    def half(self) -> float:
        """Half the width of a slot. [m]."""
        return HALF / points_per_metre(self.ax)

    def _move_arm(self, hole: str, index: int) -> None:
        line = self.track.arm_line(hole, index)
        for part in ("edge", "arm", "band"):
            if f"{part} {hole}" in self.moving:
                self.moving[f"{part} {hole}"].set_data(line[:, 0], line[:, 1])
        pin = self.track.arms[hole][index]
        self.moving[f"pin {hole}"].set_data([pin[0]], [pin[1]])

    def _move_cable(self, name: str, index: int) -> None:
        cable = self.track.cables[name]
        sense = int(self.track.senses[name][index])
        for part, free in zip(("rod", "wire"), cable.free, strict=True):
            line, points = self.moving[f"{part} {name}"], free.line(index)
            line.set_data(points[:, 0], points[:, 1])
            line.set_linewidth(THIN if sense == SLACK else WIRE)
            line.set_linestyle(SENSE_DASHES[sense])
        if f"gap {name}" in self.moving:
            self._move_gap(name, index)
        if name in self.words:
            self._say(name, sense, cable.along(0.5), cable.seen)

    def _move_rod(self, name: str, index: int) -> None:
        if name in self.track.cables:
            self._move_cable(name, index)
            return
        (start, end), outline = rod_shape(self.track, name, index, self.half)
        if f"slot {name}" in self.moving:
            self.moving[f"slot {name}"].set_data(outline[:, 0], outline[:, 1])
        line = self.moving[f"rod {name}"]
        line.set_data([start[0], end[0]], [start[1], end[1]])
        sense = int(self.track.senses[name][index])
        line.set_linewidth(THIN if sense == SLACK else WIDTH)
        line.set_linestyle(SENSE_DASHES[sense])
        if f"gap {name}" in self.moving:
            self._move_gap(name, index)
        if name in self.words:
            seen = float(np.hypot(*(end - start)))
            self._say(name, sense, start + 0.5 * (end - start), seen)

    def _say(self, name: str, sense: int, at: FloatArray, seen: float) -> None:
        """Say how a rod works in its middle, where it is seen long enough."""
        self.words[name].set_position((float(at[0]), float(at[1])))
        self.words[name].set_text(f"{name}: {SENSE_WORDS[sense]}")
        self.words[name].set_visible(seen > self.shortest)

    def _move_gap(self, name: str, index: int) -> None:
        """Show how far a rod is from the lever that its stop holds."""
        hole = str(driven_hole(self.track.motion, name))
        over = name in self.track.parted and self.track.parted[name][index] != 0
        end, pin = self.track.pins[hole][index], self.track.arms[hole][index]
        both = np.array([end, pin]) if over else np.empty((0, 2))
        self.moving[f"gap {name}"].set_data(both[:, 0], both[:, 1])
        self.moving[f"joint {name}"].set_data(both[:1, 0], both[:1, 1])

    def _move_pad(self, index: int) -> None:
        if self.track.motion.assembly.layout.governed:
            return
        one, two = self.track.pad[0][index], self.track.pad[1][index]
        self.moving["pad"].set_data([one[0], two[0]], [one[1], two[1]])


def draw_pose(
    ax: Axes, motion: Motion, index: int, view: View, *, words: bool = False
) -> Pose:
    """Draw the moving parts of a view.

    Parameters
    ----------
    ax : Axes
        With equal aspect.
    motion : Motion
        Holds the position, and those that `update` may show.
    index : int
        The position.
    view : View
        On which it is seen.
    words : bool
        Whether each rod carries its name with pull or push, moving with it.
    """
    layout = motion.assembly.layout
    followed = track(motion, view)
    moving = _arm_lines(ax, layout, followed.drums) | _rod_lines(ax, followed)
    for name, spring in layout.springs.items():
        if spring.arm and spring.anchor is not None:
            moving[f"spring {name}"] = _line(
                ax, f"spring {name}", color=style.BLACK, linewidth=0.9, zorder=4.5
            )
    moving["pad"] = _line(ax, "pad", color=style.BLACK, linewidth=5.0, zorder=5)
    for loop in motion.assembly.loops:
        rod = loop.link.rod
        loose = followed.loose.get(rod.name)
        for i, hole in enumerate((rod.start, rod.end)):
            if rod.name in followed.cables:
                moving[f"pin {hole}"].set(**NIPPLE)
            if loop.drawn.ball[i] and (loose is None or i != loose.at):
                pin = moving[f"pin {hole}"]
                pin.set_marker(symbols.ball_joint())
                pin.set_markersize(8.5)
                pin.set_fillstyle("none")
    box = {"fc": "white", "ec": "none", "pad": 0.8}
    look: dict[str, Any] = {"fontsize": 7, "ha": "center", "va": "center", "zorder": 8}
    texts = {
        name: ax.text(0, 0, "", bbox=box, gid=f"word {name}", **look)
        for name in (layout.rods if words else ())
    }
    pose = Pose(
        ax=ax,
        view=view,
        track=followed,
        index=index,
        moving=moving,
        words=texts,
        fixed={},
        shortest=WORD_LENGTH / points_per_metre(ax),
        left_out=[],
    )
    pose.update(motion, index)
    return pose


def _line(ax: Axes, name: str, **look: Any) -> Line2D:  # noqa: ANN401
    caps = {"solid_capstyle": "round", "dash_capstyle": "butt"}
    (line,) = ax.plot([], [], gid=name, scalex=False, scaley=False, **{**caps, **look})
    return line


def _arm_lines(ax: Axes, layout: Layout, rims: Mapping[str, Drum]) -> dict[str, Line2D]:
    """Return outline, body and pin of every arm, without data yet."""
    colours, bands = shaft_colours(layout), shaft_bands(layout)
    out = {}
    for name, shaft in layout.shafts.items():
        (fill, ink), band = colours[name], bands[name]
        for arm in shaft.arms:
            hole = f"{name}.{arm}"
            drum = hole in rims
            edge, width = (drums.EDGE, drums.FILL) if drum else (7.0, 4.8)
            looks: dict[str, dict[str, Any]] = {
                "edge": {"color": ink, "linewidth": edge, "zorder": 4},
                "arm": {"color": fill, "linewidth": width, "zorder": 4.1},
                "pin": {**PIN, "zorder": 6},
            }
            if band is not None:
                share = drums.BAND if drum else 1.0
                looks["band"] = {**band_look(band, ink, share), "zorder": 4.2}
            for part, look in looks.items():
                out[f"{part} {hole}"] = _line(ax, f"{part} {hole}", **look)
    return out


def _rod_lines(ax: Axes, followed: Track) -> dict[str, Line2D]:
    out = {
        f"rod {name}": _line(
            ax, f"rod {name}", color=style.BLACK, linewidth=WIDTH, zorder=5
        )
        for name in followed.motion.assembly.layout.rods
    }
    for name in followed.cables:
        out[f"wire {name}"] = _line(
            ax, f"wire {name}", color=style.BLACK, linewidth=WIRE, zorder=5
        )
    for name in (*followed.loose, *followed.sprung):
        out[f"slot {name}"] = _line(
            ax, f"slot {name}", color=style.BLACK, linewidth=1.3, zorder=5.1
        )
    for name in followed.parted:
        gap: dict[str, Any] = {"linestyle": (0, (1, 1.2)), "linewidth": 1.6}
        out[f"gap {name}"] = _line(
            ax, f"gap {name}", color=style.VERMILION, zorder=5.2, **gap
        )
        out[f"joint {name}"] = _line(
            ax, f"joint {name}", **{**PIN, "color": style.VERMILION}, zorder=6.1
        )
    return out
