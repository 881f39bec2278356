"""Obstacles on pictures, pages and measuring sheets: what is marked, and what it says."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import LineCollection
from matplotlib.colors import to_hex
from matplotlib.text import Text

from linkage.animation.geometry import drawn_views
from linkage.animation.scene import scene
from linkage.config import load
from linkage.drawing.layout import layout_figure
from linkage.drawing.obstacles import RED
from linkage.drawing.style import BLACK
from linkage.motion import sweep_clear
from linkage.report.pictures import banner_of
from linkage.search import check
from tests.cli.conftest import CONFIGS
from tests.figures.clear import faults


@cache
def checked(name):
    return check(load(CONFIGS / f"{name}.toml").layout, cures=False)


def drawn(name, share=0.5):
    x = checked(name).examined
    banner = banner_of(checked(name))
    return layout_figure(x.assembly, x.working, share=share, banner=banner, paper="a4")


def near(figure):
    return [
        line
        for ax in figure.axes
        for line in ax.lines
        if str(line.get_gid()).startswith("near ")
    ]


def shown(name):
    done = checked(name)
    return drawn_views(scene(done, np.linspace(0, done.examined.working.end, 5)))


def test_nothing_is_marked_of_a_layout_that_names_no_obstacle():
    """Its own parts pass each other by 4 mm, and are not judged, as none is named."""
    assert checked("cam-roller").verdict == "fits"
    assert near(drawn("cam-roller")) == []
    assert not any(
        s.name.startswith("near") for v in shown("cam-roller") for s in v.shapes
    )


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_what_touches_is_said_in_red_beside_its_mark(share):
    figure = drawn("fault-rod-rubs", share)
    assert len(near(figure)) == 2  # in both views
    said = [
        text
        for ax in figure.axes
        for text in ax.texts
        if text.get_text().replace("\n", " ") == "rod link touches ignition coil"
    ]
    assert said  # in that seen from the right; beside it where there is room
    assert {to_hex(text.get_color()) for text in said} == {RED.lower()}
    assert faults(figure, figure.axes) == []


def test_what_only_stands_near_is_not_marked():
    assert near(drawn("under-a-bonnet")) == []


def test_a_mark_is_a_cross_on_the_page_too():
    (mark, *more) = (
        s
        for v in shown("fault-rod-rubs")
        for s in v.shapes
        if s.name.startswith("near ") and s.width == 1.6 and s.path.count("M") == 2
    )
    assert len(more) == 3  # of two points in two views
    assert mark.fill == ""
    assert mark.stroke == RED.lower()


def test_no_outline_runs_through_the_note_under_a_views_name():
    figure = drawn("fault-rod-rubs")
    (note,) = (
        t for ax in figure.axes for t in ax.texts if t.get_gid() == "view angles"
    )
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    box = note.get_window_extent(canvas.get_renderer())
    low, high = (int(figure.bbox.height - y) for y in (box.y1, box.y0))
    crop = (slice(low, high), slice(int(box.x0), int(box.x1)))
    whole = np.array(canvas.buffer_rgba())[crop]
    for ax in figure.axes:
        for line in ax.lines:
            if str(line.get_gid()).startswith("obstacle "):
                line.set_visible(False)
    canvas.draw()
    np.testing.assert_array_equal(np.array(canvas.buffer_rgba())[crop], whole)


@pytest.mark.parametrize("name", ["under-a-bonnet", "fault-rod-rubs", "cable-drum"])
def test_what_is_swept_hides_nothing_and_names_the_least_gap(name):
    """Pale, under all else; the least gap of a clear layout is marked in black."""
    x = checked(name).examined
    figure = layout_figure(x.assembly, x.working, share=1.0, swept=True)
    assert faults(figure, figure.axes) == []
    ax = max(figure.axes, key=lambda ax: len(ax.collections))
    swept = [c for c in ax.collections if str(c.get_gid()).startswith("swept")]
    assert len(swept) > 4
    assert max(c.get_zorder() for c in swept) < min(
        line.get_zorder() for line in ax.lines
    )
    near = {
        line.get_color() for line in ax.lines if str(line.get_gid()).startswith("near")
    }
    obstacles = x.layout.obstacles
    assert near == (set() if not obstacles else {RED if "rubs" in name else BLACK})
    text = " ".join(t.get_text() for t in figure.findobj(Text))
    assert "pale: all that it sweeps" in text


def test_the_swept_outline_holds_every_position_of_every_arm():
    x = checked("under-a-bonnet").examined
    figure = layout_figure(x.assembly, x.working, share=0.5, swept=True)
    ax = next(ax for ax in figure.axes if ax.get_gid() == "seen from the right")
    lines = [
        c
        for c in ax.collections
        if isinstance(c, LineCollection) and str(c.get_gid()).startswith("swept")
    ]
    ends = np.vstack([np.vstack(c.get_segments()) for c in lines])
    motion = sweep_clear(x.assembly, np.linspace(0, x.working.end, 7))
    turn = motion.turns["spindle"] + x.layout.shafts["spindle"].arms["lever"].angle
    pivot, arm = (
        x.layout.shafts["spindle"].pivot,
        x.layout.shafts["spindle"].arms["lever"],
    )
    where = np.stack(
        [pivot[0] + arm.length * np.cos(turn), pivot[2] + arm.length * np.sin(turn)],
        axis=1,
    )
    # The lever's flat goes past its hole by half its width.
    away = np.min(np.linalg.norm(ends[None] - where[:, None], axis=2), axis=1)
    assert away.max() < 0.02


def test_what_no_view_shows_is_named():
    x = checked("under-a-bonnet").examined
    figure = layout_figure(x.assembly, x.working)
    assert "not in view: bonnet" in " ".join(t.get_text() for t in figure.findobj(Text))
