"""One layout on a figure: views, plates, curve and numbers that follow the pedal.

Not here: numbers and words (`scene`, `words`), frames (`picture`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.animation.gauges import axes_in, draw_curve, text_at
from linkage.animation.places import LETTERS, LINE, TITLE, TITLE_LINES, VERDICT_LINES
from linkage.animation.room import name_tags, place_names, without_idle_arrows
from linkage.animation.words import readout
from linkage.drawing import style
from linkage.drawing.fit import wrap_to
from linkage.drawing.layout import draw_layout, view_axes
from linkage.drawing.plate import draw_plate, plate_words
from linkage.quantities import spoken_unit
from linkage.seen import seen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

    from linkage.animation.places import Places, Room
    from linkage.animation.scene import Scene
    from linkage.drawing.plate import PlatePose
    from linkage.drawing.pose import Pose
    from linkage.drawing.track import Track

#: Ground and letters of the verdict: not to fit as on the drawings, and fits.
BAD: Final[dict[str, Any]] = {
    "color": "white",
    "fontweight": "bold",
    "bbox": {"boxstyle": "square,pad=0.25", "fc": "#A02000", "ec": style.BLACK},
}
GOOD: Final[dict[str, Any]] = {"fontweight": "bold"}
#: Letters a line of a name in a view has.
NAME_LETTERS: Final = 14
#: Points of words that an inch has room for: renderers of films round each letter.
POINTS: Final = 0.97 * 72


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """Title and verdict of a layout, in lines.

    Parameters
    ----------
    title, verdict : tuple of str
        Line by line.
    size : float
        Of the title's letters. [pt]
    """

    title: tuple[str, ...]
    verdict: tuple[str, ...]
    size: float

    @property
    def height(self) -> float:
        """What they take. [in]."""
        return 0.2 + 1.1 * LINE * (len(self.title) + len(self.verdict))


def head_of(scene: Scene, width: float, *, alone: bool) -> Head:
    """Return title and verdict in lines for a width. [in]."""
    size = TITLE if alone else LETTERS
    room = (width - 0.25) * POINTS
    title = wrap_to(seen(scene.layout.title), room, size, most=TITLE_LINES[alone])
    verdict = wrap_to(
        scene.verdict, room, LETTERS, weight="bold", most=VERDICT_LINES[alone]
    )
    return Head(title=tuple(title), verdict=tuple(verdict), size=size)


@dataclass(slots=True, eq=False, kw_only=True)
class Panel:
    """One layout on a figure.

    Parameters
    ----------
    scene : Scene
        What is shown.
    poses : list of Pose
        One a view.
    tracks : list of tuple of 2 Track
        Of each view, with the senses of the pedal going down and coming up.
    plates : list of PlatePose
        One a plate.
    plate_width : float
        Of the words under each. [pt]
    mark : Line2D
        On the travel curve.
    words : Text
        Pad, throttle, and stop or way.
    width : float
        Of them. [pt]
    """

    scene: Scene
    poses: list[Pose]
    tracks: list[tuple[Track, Track]]
    plates: list[PlatePose]
    plate_width: float
    mark: Line2D
    words: Text
    width: float

    def update(self, index: int, *, pressing: bool) -> None:
        """Show another position.

        Parameters
        ----------
        index : int
            In the scene's motion.
        pressing : bool
            Whether the pedal goes down.
        """
        scene = self.scene
        for pose, both in zip(self.poses, self.tracks, strict=True):
            pose.track = both[0 if pressing else 1]
            pose.update(scene.motion, index)
        for plate in self.plates:
            plate.update(float(scene.throttles[plate.throttle.name].asked[index]))
            plate.words.set_text(self._under(plate, index))
        self.mark.set_data(*mark_place(scene, index))
        lines = [
            line
            for text in readout(scene, index, pressing=pressing)
            for line in wrap_to(text, self.width, LETTERS, most=2)
        ]
        many, there = len(self.plates), len(scene.layout.plates)
        lines += [f"{many} of {there} plates shown"] * (many < there)
        self.words.set_text("\n".join(lines))

    def _under(self, plate: PlatePose, index: int) -> str:
        """Return what stands under a plate: its share among several, and a hard stop."""
        said = plate.words.get_text().splitlines()[-1]
        lines = []
        if said.startswith("pushed "):
            lines = wrap_to(said, self.plate_width, LETTERS, most=3)
        if len(self.scene.layout.plates) > 1:
            share = self.scene.throttles[plate.throttle.name].share[index]
            lines.insert(0, f"{100 * float(share):.0f} %")
        return "\n".join(lines)

    def moving(self) -> list[Artist]:
        """Return every artist that `update` changes."""
        out: list[Artist] = [self.mark, self.words]
        for pose in self.poses:
            out += pose.moving.values()
        for plate in self.plates:
            out += [plate.plate, plate.words]
        return out


def mark_place(scene: Scene, index: int) -> tuple[list[float], list[float]]:
    """Return where the mark on the travel curve stands: pad as spoken, throttle [°]."""
    pad = float(scene.motion.pad_travel[index]) / spoken_unit("length").factor
    return [pad], [float(np.degrees(scene.main.angle[index]))]


def draw_panel(
    figure: Figure,
    scene: Scene,
    at: Places,
    head: Head,
    *,
    others: Sequence[Scene] = (),
) -> Panel:
    """Draw a panel at the pedal's rest.

    Parameters
    ----------
    figure : Figure
        Where it is added.
    scene : Scene
        What is shown.
    at : Places
        Where its parts stand.
    head : Head
        Title and verdict.
    others : sequence of Scene
        Whose travel curves are drawn pale for comparison.
    """
    _draw_head(figure, head, at.head, bad=bool(scene.reasons))
    poses = _draw_views(figure, scene, at)
    foot = at.numbers
    panel = Panel(
        scene=scene,
        poses=poses,
        tracks=[_tracks(pose, scene) for pose in poses],
        plates=_draw_plates(figure, scene, at),
        plate_width=at.plates[0].width * POINTS,
        mark=draw_curve(figure, scene, at.curve, others),
        words=text_at(
            figure, (foot.left, foot.low + foot.height), "", gid="readout", va="top"
        ),
        width=foot.width * POINTS,
    )
    panel.update(0, pressing=True)
    return panel


def _tracks(pose: Pose, scene: Scene) -> tuple[Track, Track]:
    down = {rod.name: rod.sense[0] for rod in scene.rods}
    up = {rod.name: rod.sense[1] for rod in scene.rods}
    return replace(pose.track, senses=down), replace(pose.track, senses=up)


def _draw_head(figure: Figure, head: Head, room: Room, *, bad: bool) -> None:
    top = room.low + room.height - 0.08
    under = top - 1.1 * LINE * len(head.title) - 0.05
    title, verdict = "\n".join(head.title), "\n".join(head.verdict)
    look = {"va": "top", "linespacing": 1.1}
    text_at(
        figure,
        (room.left + 0.1, top),
        title,
        gid="title",
        **{**look, "fontsize": head.size},
    )
    text_at(
        figure,
        (room.left + 0.12, under),
        verdict,
        gid="verdict",
        **look,
        **(BAD if bad else GOOD),
    )


def _draw_views(figure: Figure, scene: Scene, at: Places) -> list[Pose]:
    """Draw the views as large as leaves room for all names, if any size does."""
    poses: list[Pose] = []
    for margin in at.margins:
        for pose in poses:  # what the try before left
            pose.ax.remove()
        axes = view_axes(
            figure, scene.motion, at.views, views=scene.views, margin=margin
        )
        poses = [
            draw_layout(ax, scene.motion, 0, view, labels="none") for view, ax in axes
        ]
        for pose in poses:
            _name(pose, scene)
        if not any(pose.left_out for pose in poses):
            break
    return poses


def _name(pose: Pose, scene: Scene) -> None:
    """Name a view and its shafts; compass and senses are left to other pictures."""
    for name in [*pose.fixed]:
        if name.startswith(("arrow ", "compass ")):
            pose.fixed.pop(name).remove()
    room = pose.ax.get_window_extent().width / pose.ax.figure.dpi * POINTS
    name = "\n".join(
        wrap_to(pose.view.name.removeprefix("seen "), room, LETTERS, most=2)
    )
    without_idle_arrows(pose)
    pose.fixed["view name"].set(text=name, fontsize=LETTERS, fontweight="normal")
    place_names(pose, name_tags(pose, scene.motion, LETTERS, NAME_LETTERS))


def _draw_plates(figure: Figure, scene: Scene, at: Places) -> list[PlatePose]:
    """Draw a plate inset in every room for one, its words small enough for it."""
    shown = scene.layout.plates
    out = []
    for each, room in zip(shown, at.plates, strict=False):  # as many as have room
        throttle = scene.throttles[each.name].throttle
        ax = axes_in(figure, room, f"plate {throttle.name}")
        plate = draw_plate(ax, scene.layout, throttle, 0.0)
        held = "pushed " in plate_words(
            throttle, float(scene.throttles[throttle.name].asked.min())
        )
        _room_for_words(ax, room, several=len(shown) > 1, held=held)
        plate.words.set_fontsize(LETTERS)
        for text in ax.texts:
            if text.get_gid() == "plate name":
                named = wrap_to(throttle.name, room.width * POINTS, LETTERS, most=1)
                text.set_text(named[0] if len(shown) > 1 else "")
                text.set_fontsize(LETTERS)
        out.append(plate)
    return out


def _room_for_words(ax: Axes, room: Room, *, several: bool, held: bool) -> None:
    """Leave a line over a plate for its name, and under it as many as it will need."""
    over = 1.4 * LINE if several else 0.05
    under = (0.2 + 1.1 * several + 3 * held) * LINE
    bore = min(room.height - over - under, room.width * 0.9)
    scale = 2.7 / max(bore, 0.2)  # bore radii an inch
    high = 1.35 + scale * over
    ax.set_xlim(-scale * room.width / 2, scale * room.width / 2)
    ax.set_ylim(high - scale * room.height, high)
