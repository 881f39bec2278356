"""The moving parts of one view, which follow the motion without being drawn anew.

`Pose.update` only sets data, so that an animation pays for what moves.

Not here: what stands still, and labels with sizes (`layout`, `layout_labels`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing import style, symbols
from linkage.drawing.labels import points_per_metre
from linkage.model import Hole
from linkage.motion import frame
from linkage.motion.senses import pulls_and_pushes

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.text import Text
    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.model import Layout
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.int64]

#: Width of a spring's zigzag. [m]
SPRING_WIDTH: Final = 0.010
#: How a pin is drawn.
PIN: Final = {
    "color": style.BLACK,
    "marker": "o",
    "markersize": 4.2,
    "markerfacecolor": "white",
}
#: Half the height of the pad as drawn, and how far its face stands back. [m]
PAD_HALF: Final = 0.022
PAD_BACK: Final = 0.006
#: Shorter rods carry no word that moves with them. [pt]
WORD_LENGTH: Final = 70.0
SENSE_WORDS: Final = {1: "pull", -1: "push", 0: "dead centre"}
#: A pulling rod is solid, a pushing one dashed, one on dead centre dotted.
SENSE_DASHES: Final[dict[int, Any]] = {1: "-", -1: (0, (4.5, 1.6)), 0: ":"}
_FILLS: Final = (style.SKY, "#A9DFBF", "#F7DC9A", "#F3C6A5", "#E7C6DA", "#DDDDDD")
_INKS: Final = (style.BLUE, "#00694D", "#8A6000", "#A84300", "#8E4A73", "#444444")


def shaft_colours(layout: Layout) -> dict[str, tuple[str, str]]:
    """Return fill and ink of every shaft, one from end to end of it."""
    return {
        name: (_FILLS[i % len(_FILLS)], _INKS[i % len(_INKS)])
        for i, name in enumerate(layout.shafts)
    }


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Track:
    """Where every moving point falls on a view, at every position.

    Parameters
    ----------
    motion : Motion
        What is followed.
    pins : mapping of str to ndarray, shape (n, 2)
        By hole, as ``shaft.arm``. [m]
    roots : mapping of str to ndarray, shape (2,)
        The arm's own foot on its shaft. [m]
    senses : mapping of str to ndarray, shape (n,)
        By rod, from `motion.senses`.
    pad : tuple of 2 ndarray, shape (n, 2)
        The two ends of the pad's face. [m]
    """

    motion: Motion
    pins: Mapping[str, FloatArray]
    roots: Mapping[str, FloatArray]
    pad: tuple[FloatArray, FloatArray]
    senses: Mapping[str, IntArray]


def track(motion: Motion, view: View) -> Track:
    """Follow every moving point of a motion on a view.

    Parameters
    ----------
    motion : Motion
        From `sweep`.
    view : View
        On which it is seen.
    """
    pins, roots = {}, {}
    for name, shaft in motion.assembly.layout.shafts.items():
        for arm in shaft.arms:
            hole = Hole(shaft=name, arm=arm)
            pins[str(hole)] = view.project(frame(motion).pin(hole).T)
            roots[str(hole)] = view.project(np.array(shaft.centre(arm)))
    one, two = pad_ends(motion)
    return Track(
        motion=motion,
        pins=pins,
        roots=roots,
        pad=(view.project(one), view.project(two)),
        senses=pulls_and_pushes(motion),
    )


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
        ``arm SHAFT.ARM``, ``edge SHAFT.ARM`` (its outline), ``pin SHAFT.ARM``,
        ``rod NAME``, ``spring NAME``, ``pad``.
    words : dict of str to Text
        ``rod NAME``: its word, where such words move with it.
    fixed : dict of str to Line2D or Text
        What stands still.
    shortest : float
        A rod seen shorter than this carries no word, which would hide it. [m]
    left_out : list of str
        Labels for which there was no room.
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
        for hole, way in self.track.pins.items():
            root, pin = self.track.roots[hole], way[index]
            for part in ("edge", "arm"):
                self.moving[f"{part} {hole}"].set_data(
                    [root[0], pin[0]], [root[1], pin[1]]
                )
            self.moving[f"pin {hole}"].set_data([pin[0]], [pin[1]])
        for name in layout.rods:
            self._move_rod(name, index)
        for name, spring in layout.springs.items():
            if f"spring {name}" in self.moving and spring.anchor is not None:
                end = self.view.project(np.array(spring.anchor, float))
                hook = self.track.pins[f"{spring.shaft}.{spring.arm}"][index]
                line = symbols.zigzag(hook, end, SPRING_WIDTH)
                self.moving[f"spring {name}"].set_data(line[:, 0], line[:, 1])
        self._move_pad(index)

    def along(self, rod: str, share: float) -> tuple[float, float]:
        """Return the place at a share of a rod's length, from its first end. [m]."""
        ends = self.track.motion.assembly.layout.rods[rod]
        start = self.track.pins[str(ends.start)][self.index]
        x, y = start + share * (self.track.pins[str(ends.end)][self.index] - start)
        return float(x), float(y)

    def _move_rod(self, name: str, index: int) -> None:
        rod = self.track.motion.assembly.layout.rods[name]
        start = self.track.pins[str(rod.start)][index]
        end = self.track.pins[str(rod.end)][index]
        line = self.moving[f"rod {name}"]
        line.set_data([start[0], end[0]], [start[1], end[1]])
        sense = int(self.track.senses[name][index])
        line.set_linestyle(SENSE_DASHES[sense])
        if name in self.words:
            self.words[name].set_position(self.along(name, 0.5))
            self.words[name].set_text(f"{name}: {SENSE_WORDS[sense]}")
            seen = float(np.hypot(*(end - start)))
            self.words[name].set_visible(seen > self.shortest)

    def _move_pad(self, index: int) -> None:
        one, two = self.track.pad[0][index], self.track.pad[1][index]
        self.moving["pad"].set_data([one[0], two[0]], [one[1], two[1]])


def pad_ends(motion: Motion) -> tuple[FloatArray, FloatArray]:
    """Return the two ends of the pad's face, which looks back along its path.

    Returns
    -------
    tuple of 2 ndarray, shape (n, 3)
        In vehicle axes. [m]
    """
    layout = motion.assembly.layout
    pedal, shaft = layout.pedal, layout.shafts[layout.pedal.shaft]
    pin = frame(motion).pin(Hole(shaft=pedal.shaft, arm=pedal.pad)).T
    radial = (pin - np.array(shaft.centre(pedal.pad))) / layout.pad_radius
    ahead = pedal.presses * np.cross(np.array(shaft.axis.n, float), radial)
    face = pin - PAD_BACK * ahead
    return face - PAD_HALF * radial, face + PAD_HALF * radial


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
    moving = _arm_lines(ax, layout) | _rod_lines(ax, layout)
    for name, spring in layout.springs.items():
        if spring.arm and spring.anchor is not None:
            moving[f"spring {name}"] = _line(
                ax, f"spring {name}", color=style.BLACK, linewidth=0.9, zorder=4.5
            )
    moving["pad"] = _line(ax, "pad", color=style.BLACK, linewidth=5.0, zorder=5)
    for loop in motion.assembly.loops:
        rod = loop.link.rod
        for hole, ball in zip((rod.start, rod.end), loop.drawn.ball, strict=True):
            if ball:
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
        track=track(motion, view),
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


def _arm_lines(ax: Axes, layout: Layout) -> dict[str, Line2D]:
    """Return outline, body and pin of every arm, without data yet."""
    colours = shaft_colours(layout)
    out = {}
    for name, shaft in layout.shafts.items():
        fill, ink = colours[name]
        for arm in shaft.arms:
            hole = f"{name}.{arm}"
            for part, look in {
                "edge": {"color": ink, "linewidth": 7.0, "zorder": 4},
                "arm": {"color": fill, "linewidth": 4.8, "zorder": 4.1},
                "pin": {**PIN, "zorder": 6},
            }.items():
                out[f"{part} {hole}"] = _line(ax, f"{part} {hole}", **look)
    return out


def _rod_lines(ax: Axes, layout: Layout) -> dict[str, Line2D]:
    return {
        f"rod {name}": _line(
            ax, f"rod {name}", color=style.BLACK, linewidth=1.9, zorder=5
        )
        for name in layout.rods
    }
