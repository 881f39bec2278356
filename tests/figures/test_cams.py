"""Cams on pictures and pages: the rim meets the roller's ring where it drives.

Everything is taken from the artists and held against sizes of the layout.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from linkage.animation.columns import columns
from linkage.animation.geometry import drawn_views
from linkage.animation.page import CAM_WORDS, SLACK_WORDS, page
from linkage.animation.picture import whole
from linkage.animation.scene import scenes
from linkage.config import load
from linkage.drawing.layout import layout_figure, travel_motion
from linkage.drawing.pose import draw_pose
from linkage.drawing.style import drawing_style, new_figure
from linkage.drawing.views import extent_of, views_needed
from linkage.motion import frame
from linkage.search import check
from tests.cli.conftest import CONFIGS
from tests.figures.clear import faults


@cache
def checked():
    return check(load(CONFIGS / "cam-roller.toml").layout, cures=False)


@cache
def moved():
    x = checked().examined
    return travel_motion(x.assembly, x.working)[0]


def _lines(index):
    motion = moved()
    view = next(v for v in views_needed(motion.assembly.layout) if "right" in v.name)
    with drawing_style():
        ax = new_figure("a4").add_subplot()
        pose = draw_pose(ax, motion, index, view)
        return {name: np.asarray(a.get_xydata()) for name, a in pose.moving.items()}


def _off(line, ring):
    """Return the least way from points of a ring to straight pieces of a line. [m]."""
    one, two = line[:-1], line[1:]
    way = two - one
    size = np.maximum((way**2).sum(1), 1e-18)
    share = ((ring[:, None] - one) * way).sum(2) / size
    foot = one + np.clip(share, 0, 1)[..., None] * way
    return np.hypot(*(ring[:, None] - foot).transpose(2, 0, 1)).min()


@pytest.mark.parametrize("share", [0.0, 0.3, 0.7, 1.0])
def test_the_rim_touches_the_roller_where_it_drives(share):
    motion = moved()
    index = round(share * (len(motion.pad_travel) - 1))
    lines = _lines(index)
    ring, pin = lines["slot main"], lines["pin spindle.roller"][0]
    away = np.hypot(*(ring - pin).T)
    np.testing.assert_allclose(away, 0.008, atol=1e-9)
    rim = lines["arm cross.cam"][1:-1]  # without its spokes
    clear = _off(rim, pin[None]) - 0.008
    left = float(frame(motion).rod("main").apart[index]) - float(
        motion.assembly.loop("main").length
    )
    # Chords of three degrees of its normal lie within the arcs.
    assert clear == pytest.approx(max(left, 0.0), abs=6e-5)
    assert np.ptp(lines["rod main"], axis=0).max() == 0  # there is no bar


def test_all_that_the_cam_sweeps_is_on_the_picture():
    motion = moved()
    view = next(v for v in views_needed(motion.assembly.layout) if "right" in v.name)
    x0, y0, x1, y1 = extent_of(motion, view)
    for share in (0.0, 0.5, 1.0):
        rim = _lines(round(share * (len(motion.pad_travel) - 1)))["arm cross.cam"]
        assert (rim >= (x0 - 1e-9, y0 - 1e-9)).all()
        assert (rim <= (x1 + 1e-9, y1 + 1e-9)).all()


def test_the_page_has_the_roller_and_the_rim():
    x = checked().examined
    travel = np.linspace(0, x.working.end, 9)
    (scene,) = scenes([checked()], travel)
    view = columns(scene, drawn_views(scene))["views"][0]
    at, kind, _, _, ring = view["loose"]["main"]
    assert (at, kind) == (1, "roller")
    assert np.hypot(*np.array(ring)).max() == pytest.approx(8.0, abs=0.01)
    assert "cross.cam" in view["drums"]


def test_the_page_and_the_film_say_what_a_cam_is_and_not_what_a_slot_is():
    """They told of lines of cams that pull, and of slots that the layout has not."""
    text = page([checked()])
    assert "A whole line is a rod that pulls" in text
    assert "between arm and rod or cam until" in text
    assert CAM_WORDS.strip() in text
    assert SLACK_WORDS.strip() not in text
    (one,) = scenes([checked()], np.linspace(0, checked().examined.working.end, 5))
    figure, _ = whole([one], (960, 540))
    (legend,) = (t.get_text() for t in figure.texts if t.get_gid() == "legend")
    assert legend.startswith("whole line: rod pulls; dashed: pushes")
    assert "slack" not in legend


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_their_pictures_can_be_read(share):
    x = checked().examined
    ghost = 0.0 if share > 0.5 else 1.0
    figure = layout_figure(x.assembly, x.working, share=share, ghost=ghost)
    assert faults(figure, figure.axes) == []
