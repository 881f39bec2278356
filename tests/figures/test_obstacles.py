"""Obstacles on pictures, pages and measuring sheets: what is marked, and what it says."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_hex

from linkage.animation.geometry import drawn_views
from linkage.animation.scene import scene
from linkage.config import load
from linkage.drawing.layout import layout_figure
from linkage.drawing.obstacles import RED
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
