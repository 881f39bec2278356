"""Frames: what is drawn over the kept ground is what a whole drawing shows."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from linkage.animation.panel import mark_place
from linkage.animation.picture import frames, picture, refuse_size, whole
from linkage.animation.scene import deepest, scenes
from linkage.animation.schedule import schedule
from linkage.config import load
from linkage.drawing.labels import overlaps
from linkage.drawing.style import CAUTION, drawing_style
from linkage.errors import UsageError
from linkage.model import Throttle
from linkage.search import check
from tests.figures.test_layout_picture import three_ways

CONFIGS = Path(__file__).parents[2] / "configs"
SIZE = (960, 540)


def checked(name):
    return check(load(CONFIGS / f"{name}.toml").layout, cures=False)


def shown(*names, count=12):
    checks = [
        checked(n) if isinstance(n, str) else check(n, cures=False) for n in names
    ]
    timing = schedule(deepest(checks), count)
    return scenes(checks, timing.pad_travel), timing


@pytest.fixture(scope="module")
def pair():
    return shown("fault-wrong-sense", "swapped-push-rod")


def drawn_anew(scenes, index, *, pressing, size=SIZE):
    with drawing_style():
        figure, panels = whole(scenes, size)
        for panel in panels:
            panel.update(index, pressing=pressing)
        figure.canvas.draw()
        return np.array(figure.canvas.buffer_rgba())[:, :, :3]


def far_apart(one, two):
    """Share of pixels that differ clearly."""
    return (np.abs(one.astype(int) - two).max(axis=2) > 90).mean()


@pytest.mark.parametrize(
    "names",
    [("swapped-push-rod",), ("fault-wrong-sense", "swapped-push-rod"), (three_ways(),)],
)
def test_a_frame_shows_what_a_whole_drawing_shows(names):
    made, _ = shown(*names)
    with drawing_style():
        drawn = picture(made, SIZE)
        drawn.show(0, pressing=True)
        late = drawn.show(4, pressing=False)
    assert late.shape == (540, 960, 3)
    same = far_apart(late, drawn_anew(made, 4, pressing=False))
    other = far_apart(late, drawn_anew(made, 0, pressing=True))
    # Words are stamped by another hand, so a few of their pixels differ.
    assert same < 0.006
    assert other > 2 * same


def test_frames_are_as_many_as_asked_end_where_they_start_and_differ(pair):
    made, timing = pair
    told = []
    out = list(frames(made, timing, (480, 270), progress=lambda *now: told.append(now)))
    assert len(out) == 12
    assert told == [(i + 1, 12) for i in range(12)]
    # The last differs from the first in words alone: coming up, other forces.
    assert far_apart(out[0], out[-1]) < 0.004
    assert far_apart(out[0], out[5]) > 0.01
    for one, two in pairwise(out):
        assert (one != two).any()


def test_moving_parts_stand_where_the_motion_is(pair):
    made, _ = pair
    with drawing_style():
        _, panels = whole(made, SIZE)
        for panel in panels:
            panel.update(3, pressing=True)
            scene = panel.scene
            pose = panel.poses[0]
            for name, rod in scene.layout.rods.items():
                ends = np.asarray(pose.moving[f"rod {name}"].get_xydata())
                for hole, end in ((rod.start, ends[0]), (rod.end, ends[1])):
                    assert np.allclose(end, pose.track.pins[str(hole)][3])
            curve = next(
                line for line in panel.mark.axes.lines if line.get_gid() == "curve"
            )
            x, y = mark_place(scene, 3)
            assert y[0] == pytest.approx(
                np.interp(x[0], *np.asarray(curve.get_xydata()).T), abs=0.02
            )
            assert np.asarray(panel.mark.get_xydata()) == pytest.approx(
                np.array([[x[0], y[0]]])
            )
            for rod in scene.rods:
                bar = np.asarray(panel.bars[rod.name].get_xdata())
                assert bar == pytest.approx([0, np.degrees(rod.left[3])])


def test_words_say_force_stop_caution_and_banner(pair):
    made, _ = pair
    with drawing_style():
        figure, panels = whole(made, SIZE)
        for panel in panels:
            panel.update(5, pressing=True)
    texts = {t.get_gid(): t.get_text() for t in figure.texts}
    assert texts["caution"] == CAUTION
    banners = [t.get_text() for t in figure.texts if t.get_gid() == "banner"]
    assert len(banners) == 1
    assert banners[0].replace("\n", " ") == made[0].banner
    assert "pad force" not in panels[0].words.get_text()
    force = made[1].pad_force[0][5]
    assert f"pad force {force:.0f} N" in panels[1].words.get_text()
    assert panels[0].words.get_text().endswith("stopped by pedal stop")
    assert panels[1].words.get_text().endswith("stopped by full stop of throttle")
    up = next(rod for rod in made[1].rods if rod.name == "up")
    told = panels[1].poses[0].words["up"].get_text()
    assert told == f"up: push {-up.force[0][5]:.0f} N"


@pytest.mark.parametrize(
    "names",
    [(p.stem,) for p in sorted(CONFIGS.glob("*.toml"))]
    + [
        ("fault-wrong-sense", "swapped-push-rod"),
        ("scenario-wrongly-swapped", "scenario-cured"),
        ("twin-side-draught", "fault-lever-clocked-late"),
    ],
    ids=" ".join,
)
@pytest.mark.parametrize("at", [0, 1])
def test_words_that_stand_keep_apart(names, at):
    made, _ = shown(*names, count=4)
    with drawing_style():
        figure, panels = whole(made, SIZE)
        for panel in panels:
            panel.update(at, pressing=True)
        figure.draw_without_rendering()
        renderer = figure.canvas.get_renderer()
        moving = {
            word
            for panel in panels
            for pose in panel.poses
            for word in pose.words.values()
        }
        words = [
            t
            for ax in figure.axes
            for t in ax.texts
            if t.get_text() and t not in moving
        ]
        words += [t for t in figure.texts if t.get_text()]
        assert overlaps(words, renderer) == []
        for panel in panels:
            assert all(not pose.left_out for pose in panel.poses)
        for text in words:
            x0, y0, x1, y1 = text.get_window_extent(renderer).extents
            assert x0 >= 0
            assert y0 >= 0
            assert x1 <= SIZE[0]
            assert y1 <= SIZE[1]


def test_two_plates_each_have_their_inset():
    layout = load(CONFIGS / "swapped-push-rod.toml").layout
    other = Throttle(name="second", shaft="spindle", opens=-1, swing=layout.main.swing)
    made, _ = shown(
        replace(layout, throttles={**layout.throttles, "second": other}), count=4
    )
    with drawing_style():
        _, panels = whole(made, SIZE)
    assert [plate.throttle.name for plate in panels[0].plates] == ["throttle", "second"]


@pytest.mark.parametrize(
    "size", [(479, 270), (480, 269), (3842, 2160), (960, 960), (1920, 540)]
)
def test_sizes_that_cannot_be_drawn(size):
    with pytest.raises(UsageError):
        refuse_size(size)


@pytest.mark.parametrize("size", [(480, 270), (800, 600), (1920, 1080)])
def test_letters_grow_with_the_picture(size):
    refuse_size(size)
    made, _ = shown("hanging-pedal", count=4)
    with drawing_style():
        figure, _ = whole(made, size)
        assert tuple(np.round(figure.bbox.size).astype(int)) == size
        title = next(t for t in figure.texts if t.get_gid() == "title")
        high = title.get_window_extent(figure.canvas.get_renderer()).height
    assert high == pytest.approx(13 * size[0] / 960, rel=0.25)
