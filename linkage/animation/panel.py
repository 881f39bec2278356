"""One layout on a figure: views, plates, curve and numbers that follow the pedal.

Not here: numbers and words (`scene`, `words`), frames (`picture`).
"""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.animation.gauges import axes_in, draw_bars, draw_curve, text_at
from linkage.animation.room import name_tags, place_names, word_places
from linkage.animation.words import near_word, readout, rod_words
from linkage.drawing import style
from linkage.drawing.layout import draw_layout, view_axes
from linkage.drawing.plate import draw_plate
from linkage.quantities import say, spoken_unit
from linkage.seen import seen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.artist import Artist
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

    from linkage.animation.places import Places
    from linkage.animation.room import WordPlace
    from linkage.animation.scene import Scene
    from linkage.drawing.plate import PlatePose
    from linkage.drawing.pose import Pose, Track

#: Width of a plate inset under which its words are shorter. [in]
NARROW: Final = 1.1
#: Ground and letters of a banner, as on the drawings.
BANNER: Final[dict[str, Any]] = {
    "color": "white",
    "fontweight": "bold",
    "bbox": {"boxstyle": "square,pad=0.3", "fc": "#A02000", "ec": style.BLACK},
}


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
    narrow : bool
        Whether there is little room under them.
    mark : Line2D
        On the travel curve.
    words : Text
        Pad, throttle, force and stop.
    stands : list of dict of str to tuple of 3 floats
        Of each view, by rod: share along it at which its word stands, and how far
        right and up from there [m]; without those that stand elsewhere.
    bars : dict of str to Line2D
        By rod: angle left to dead centre.
    bar_words : dict of str to tuple of 2 Text
        By rod: pull or push, and the angle.
    """

    scene: Scene
    poses: list[Pose]
    tracks: list[tuple[Track, Track]]
    plates: list[PlatePose]
    narrow: bool
    mark: Line2D
    words: Text
    stands: list[dict[str, WordPlace]]
    bars: dict[str, Line2D]
    bar_words: dict[str, tuple[Text, Text]]

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
        for pose, both, stands in zip(
            self.poses, self.tracks, self.stands, strict=True
        ):
            pose.track = both[0 if pressing else 1]
            pose.update(scene.motion, index)
            for rod in scene.rods:
                word = pose.words[rod.name]
                word.set_text(rod_words(rod, index, pressing=pressing))
                if rod.name not in stands:
                    word.set_visible(False)
                    continue
                share, right, up = stands[rod.name]
                x, y = pose.along(rod.name, share)
                word.set_position((x + right, y + up))
        for plate in self.plates:
            plate.update(float(scene.throttles[plate.throttle.name].asked[index]))
            said = plate.words.get_text()
            if self.narrow:
                said = said.replace(" of swing", "")
            plate.words.set_text(said.replace("against its", "against\nits"))
        self.mark.set_data(*mark_place(scene, index))
        self.words.set_text("\n".join(readout(scene, index, pressing=pressing)))
        for rod in scene.rods:
            left = float(rod.left[index])
            row = np.asarray(self.bars[rod.name].get_ydata())
            self.bars[rod.name].set_data([0.0, np.degrees(left)], row)
            sense, angle = self.bar_words[rod.name]
            sense.set_text(rod_words(rod, index, pressing=pressing))
            angle.set_text(
                f"{say(left, 'angle', 0)} {near_word(left, scene.layout.limits)}".strip()
            )

    def moving(self) -> list[Artist]:
        """Return every artist that `update` changes."""
        out: list[Artist] = [self.mark, self.words, *self.bars.values()]
        for pose in self.poses:
            out += [*pose.moving.values(), *pose.words.values()]
        for plate in self.plates:
            out += [plate.plate, plate.words]
        for both in self.bar_words.values():
            out += both
        return out


def mark_place(scene: Scene, index: int) -> tuple[list[float], list[float]]:
    """Return where the mark on the travel curve stands: pad as spoken, throttle [°]."""
    pad = float(scene.motion.pad_travel[index]) / spoken_unit("length").factor
    return [pad], [float(np.degrees(scene.main.angle[index]))]


def draw_panel(
    figure: Figure, scene: Scene, at: Places, *, others: Sequence[Scene] = ()
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
    others : sequence of Scene
        Whose travel curves are drawn pale for comparison.
    """
    _draw_head(figure, scene, at)
    poses = [
        draw_layout(ax, scene.motion, 0, view, labels="words")
        for view, ax in view_axes(
            figure, scene.motion, at.views, views=scene.views, margin=at.margin
        )
    ]
    for pose in poses:
        _fit_names(pose, at.size)
        place_names(pose, name_tags(pose, scene.motion, at.size, 20))
    plates = _draw_plates(figure, scene, at)
    bars, bar_words = draw_bars(figure, scene, at)
    foot = at.numbers
    panel = Panel(
        scene=scene,
        poses=poses,
        tracks=[_tracks(pose, scene) for pose in poses],
        plates=plates,
        narrow=at.plates[0].width < NARROW,
        mark=draw_curve(figure, scene, at, others),
        words=text_at(
            figure,
            (foot.left, foot.low + foot.height),
            "",
            at.size,
            gid="readout",
            va="top",
        ),
        stands=word_places(poses, {r.name: f"{r.name}: push 99 N" for r in scene.rods}),
        bars=bars,
        bar_words=bar_words,
    )
    panel.update(0, pressing=True)
    return panel


def _tracks(pose: Pose, scene: Scene) -> tuple[Track, Track]:
    down = {rod.name: rod.sense[0] for rod in scene.rods}
    up = {rod.name: rod.sense[1] for rod in scene.rods}
    return replace(pose.track, senses=down), replace(pose.track, senses=up)


def _draw_head(figure: Figure, scene: Scene, at: Places) -> None:
    top = at.head.low + at.head.height
    text_at(
        figure,
        (at.head.left + 0.08, top - 0.09),
        seen(scene.layout.title),
        at.size + 2,
        va="top",
        gid="title",
    )
    if scene.banner:
        lines = banner_lines(scene, at.letters)
        text_at(
            figure,
            (at.head.left + 0.12, top - 0.34),
            "\n".join(lines),
            at.size + 0.5,
            va="top",
            gid="banner",
            **BANNER,
        )


def banner_lines(scene: Scene, letters: int) -> list[str]:
    """Return the banner in lines of at most so many letters; none where it fits."""
    return textwrap.wrap(scene.banner, letters)


def _fit_names(pose: Pose, size: float) -> None:
    """Write what stands in a view as small as the rest."""
    name = pose.fixed["view name"]
    name.set(fontsize=size + 1.5, fontweight="normal")
    for key, text in pose.artists.items():
        if key.startswith(("compass", "word")):
            text.set(fontsize=size)


def _draw_plates(figure: Figure, scene: Scene, at: Places) -> list[PlatePose]:
    """Draw a plate inset in every room for one, its words small enough for it."""
    shown = scene.layout.plates
    out = []
    for throttle, room in zip(shown, at.plates, strict=False):  # as many as have room
        ax = axes_in(figure, room, f"plate {throttle.name}")
        plate = draw_plate(ax, scene.layout, throttle, 0.0)
        ax.set_ylim(-2.9, 2.35)
        plate.words.set_fontsize(at.size - 0.5)
        seen = scene.layout.shafts[throttle.shaft].axis.seen_from
        for text in ax.texts:
            if text.get_gid() == "plate name":
                text.set_text(f"{throttle.name}, from {seen},\nbore drawn upright")
                text.set_fontsize(at.size - 0.5)
        out.append(plate)
    return out
