"""Slides as they are drawn: a bar that runs in its guide, in pictures, films and page."""

from __future__ import annotations

import numpy as np
import pytest

from linkage.animation.columns import columns
from linkage.animation.geometry import drawn_views
from linkage.animation.page import spoken
from linkage.animation.scene import scene
from linkage.drawing.canvas import points_per_metre
from linkage.drawing.guides import way_words
from linkage.drawing.layout import layout_figure
from linkage.drawing.track import track
from linkage.drawing.views import extent_of, view_along, views_needed
from linkage.model import NAMED
from linkage.model.slide import slide_of
from linkage.motion import assemble, sweep, working_travel
from linkage.search import check
from tests.slides import slid_layout

RIGHT = view_along(NAMED["across"])
#: A pin that stands off the bar's middle.
OFF = ("pins.near = [210, 0, 95]", "pins.near = [210, 0, 110]")


@pytest.fixture(scope="module")
def motion():
    return sweep(assemble(slid_layout(OFF)), np.linspace(0, 0.0745, 5))


def test_a_bar_goes_from_its_guide_to_its_pin_and_with_it(motion):
    followed = track(motion, RIGHT)
    for i, way in enumerate(motion.turns["bar"]):
        root, foot, pin = followed.arm_line("bar.near", i)
        np.testing.assert_allclose(root, [0.330, 0.095])  # the guide's far end
        np.testing.assert_allclose(foot, [0.210 + way, 0.095])
        np.testing.assert_allclose(pin, [0.210 + way, 0.110])
        np.testing.assert_allclose(followed.arm_line("bar.far", i)[0], [0.250, 0.095])


def test_a_slide_is_seen_from_where_its_pins_point(motion):
    layout = motion.assembly.layout
    assert RIGHT in views_needed(layout)
    assert RIGHT.facing(layout.shafts["bar"]) == 1
    left, low, right, top = extent_of(motion, RIGHT)
    assert left < 0.2 < right
    assert low < 0.095 < top


@pytest.fixture(scope="module")
def figure():
    assembly = assemble(slid_layout(OFF))
    return layout_figure(assembly, working_travel(assembly))


def _lines(figure):
    return {line.get_gid(): (ax, line) for ax in figure.axes for line in ax.lines}


def test_a_guide_is_two_lines_with_hatches_outside(figure):
    ax, line = _lines(figure)["guide bar"]
    points = np.asarray(line.get_xydata(), float)
    point = 1 / points_per_metre(ax)
    flat = points[np.isfinite(points[:, 0])]
    if np.ptp(flat[:, 0]) < 0.02:  # the view along the guide
        ax, line = next(
            (a, x)
            for a in figure.axes
            for x in a.lines
            if x.get_gid() == "guide bar" and np.ptp(np.nan_to_num(x.get_xdata(), nan=x.get_xdata()[0])) > 0.02
        )  # fmt: skip
        points = np.asarray(line.get_xydata(), float)
        point = 1 / points_per_metre(ax)
        flat = points[np.isfinite(points[:, 0])]
    assert np.isnan(points).any()
    assert flat[:, 1].max() > 0.095 + 4 * point
    assert flat[:, 1].min() < 0.095 - 4 * point
    # Nothing of it lies on the bar.
    assert (np.abs(flat[:, 1] - 0.095) > 3.4 * point).all()


def test_what_a_picture_says_of_a_slide_is_its_way(figure):
    said = " ".join(t.get_text().replace("\n", " ") for ax in figure.axes for t in ax.texts)  # fmt: skip
    assert "pedal down: this slide goes to the rear 3" in said
    assert "bar turns" not in said
    assert "at −180" not in said


def test_the_page_says_whither_a_slide_goes():
    """It said that the bar turns clockwise."""
    seen = scene(check(slid_layout(), cures=False), np.linspace(0, 0.0745, 5))
    assert "slide bar goes to the rear 3" in spoken(seen)
    assert "bar turns" not in spoken(seen)


@pytest.mark.parametrize(
    ("ends", "says"),
    [
        (((0, 0, 0), (100, 0, 20)), ("goes to the front", "goes to the rear")),
        (((0, 0, 0), (30, 90, 0)), ("goes to the left", "goes to the right")),
        (((0, 0, 90), (0, 30, 0)), ("goes down", "goes up")),
    ],
)
def test_a_slide_goes_by_the_vehicles_sides_and_not_by_the_pictures(ends, says):
    """On a view from the right its left is the rear."""
    guide = [tuple(c * 1e-3 for c in end) for end in ends]
    pins = {"one": guide[1]}
    seen = NAMED["along" if says[0].endswith("left") else "across"]
    slide = slide_of("bar", guide=guide, seen=seen, points=pins)
    assert way_words(slide, 0.0304) == f"{says[0]} 30.4 mm"
    assert way_words(slide, -0.0304) == f"{says[1]} 30.4 mm"
    assert way_words(slide, 0.0) == "does not move"


def test_the_page_has_the_foot_of_every_pin():
    seen = scene(check(slid_layout(OFF), cures=False), np.linspace(0, 0.0745, 5))
    views = drawn_views(seen)
    told = columns(seen, views)["views"]
    assert all(set(one["bars"]) == {"bar.near", "bar.far"} for one in told)
    for one in views:
        assert set(one.bars) == {"bar.near", "bar.far"}
        guide = next(s for s in one.shapes if s.name == "guide bar")
        assert "nan" not in guide.path
    side = next(v for v in views if v.name == "seen from the right")
    guide = next(s for s in side.shapes if s.name == "guide bar")
    assert guide.path.count("M") > 6
