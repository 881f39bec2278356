"""What is returned where a part, a turn or a number is not there."""

from __future__ import annotations

import importlib.metadata
import io
import sys
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

import linkage
from linkage.animation.scene import forces_known
from linkage.config.places import positions
from linkage.drawing.compare import place_of
from linkage.drawing.curve import curve_figure
from linkage.drawing.layout_labels import turn_words
from linkage.drawing.pose import draw_pose
from linkage.drawing.views import set_out, view_along, views_needed
from linkage.model import NAMED, axis_from_vector
from linkage.model.refs import Ref
from linkage.motion import assemble, sweep
from linkage.motion.curve import travel_curve
from linkage.report import signs
from linkage.report.lines import terminal_width
from linkage.rules import examine
from linkage.sheet.letters import lettered
from tests.build import hauler
from tests.sprung import with_springs
from tests.unit.compared import car

BEFORE = car("scenario-before")


def test_a_package_that_is_not_installed_has_no_version(monkeypatch):
    def missing(name):
        raise importlib.metadata.PackageNotFoundError(name)

    monkeypatch.setattr(importlib.metadata, "version", missing)
    assert linkage.__version__ == "0+not.installed"


def test_a_stream_that_was_closed_is_no_terminal(monkeypatch):
    closed = io.StringIO()
    closed.close()
    monkeypatch.setattr(sys, "stdout", closed)
    assert terminal_width() is None


def test_whether_a_stream_can_show_a_sign():
    narrow = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    assert signs.shows("12.5 mm", narrow)
    assert not signs.shows("12.5°", narrow)
    # Without an encoding no more than ASCII is trusted.
    assert not signs.shows("12.5°", SimpleNamespace())


def test_signs_stand_in_for_what_is_written_and_never_for_what_is_read():
    narrow = io.TextIOWrapper(io.BytesIO(b"\xb0"), encoding="ascii")
    signs.show_everywhere(narrow)
    with pytest.raises(UnicodeDecodeError):
        narrow.read()


def test_tables_in_an_array_are_found_by_their_number():
    text = "[[a]]\nx = 1\n[[a]]\n[a.c]\ny = 2\n[[a.d]]\nz = 3\n"
    found = positions(text)
    assert found["a", "0", "x"] == 2
    assert found["a", "1", "c", "y"] == 5
    assert found["a", "1", "d", "0", "z"] == 7


def test_turns_are_a_mapping_of_every_shaft():
    motion = sweep(assemble(hauler()), np.linspace(0, 0.05, 11))
    assert len(motion.turns) == len(list(motion.turns)) == 3
    some = motion.part(slice(2, 4)).turns
    assert list(some) == list(motion.turns)
    assert len(some) == 3
    assert some["spindle"].tolist() == motion.turns["spindle"][2:4].tolist()


def test_what_can_be_put_together_has_no_refusal():
    (first, *_) = assemble(hauler()).loops
    assert first.ok
    assert first.refusal() is None


def test_a_shaft_that_stands_still_and_one_that_turns_back():
    shaft = SimpleNamespace(name="s")

    def said(*turns: float) -> str:
        motion = SimpleNamespace(turns={"s": np.array(turns)})
        return turn_words(motion, shaft, 1)

    assert said(0.0, 0.0, 0.0) == "does not turn"
    assert said(0.0) == "does not turn"
    assert said(0.0, 0.1, 0.3) == "turns anticlockwise"
    assert said(0.0, 0.3, 0.1) == "turns anticlockwise, then back"
    assert said(0.0, -0.3, -0.1) == "turns clockwise, then back"


def test_where_a_marked_part_stands():
    motion = sweep(assemble(BEFORE), [0.0, 0.01])
    view = view_along(NAMED["across"])
    pad = place_of(motion, view, Ref("pedal", "pedal"))
    assert pad == pytest.approx((0.0, -0.18), abs=1e-9)
    assert place_of(motion, view, Ref("throttle", "rear")) is None
    assert place_of(motion, view, Ref("arm", "spindle", "none")) is None


def test_forces_mean_nothing_before_the_plate_opens():
    x = examine(BEFORE)
    assert forces_known(x)
    bare = examine(replace(BEFORE, springs={}))
    assert not forces_known(bare)
    late = SimpleNamespace(
        layout=BEFORE, working=SimpleNamespace(jam=None, start=0.07, end=0.07)
    )
    assert not forces_known(late)


def test_a_layout_of_which_little_is_given_has_a_short_sheet():
    layout = with_springs(hauler())
    titles = [group.title for group in lettered(replace(layout, springs={}))]
    assert "Rods" in titles
    assert "Springs" not in titles
    assert "Engine" not in titles


def test_a_curves_title_may_be_given():
    x = examine(BEFORE)
    named = [("as it is", travel_curve(x.assembly, x.working))]
    texts = [t.get_text() for t in curve_figure(named, title="Before the swap").texts]
    assert any("Before the swap" in t for t in texts)
    texts = [t.get_text() for t in curve_figure(named).texts]
    assert any(BEFORE.title in t for t in texts)


def test_four_views_stand_in_two_rows_where_that_gives_more_room():
    views = [view_along(axis_from_vector((1.0, 1.0, 0.0)))] * 4
    square = (0.0, 0.0, 1.0, 1.0)
    sheet = set_out(views, [square] * 4, (0.0, 0.0, 8.0, 8.0))
    assert len({round(box[0], 6) for box in sheet.boxes}) == 2
    wide = set_out(views, [square] * 4, (0.0, 0.0, 24.0, 3.0))
    assert len({round(box[0], 6) for box in wide.boxes}) == 4


def test_a_pose_follows_another_motion_of_its_layout():
    import matplotlib.figure

    motion = sweep(assemble(BEFORE), np.linspace(0, 0.07, 8))
    other = sweep(assemble(BEFORE), np.linspace(0, 0.03, 4))
    ax = matplotlib.figure.Figure().add_subplot()
    pose = draw_pose(ax, motion, 0, views_needed(BEFORE)[0])
    pose.update(other, 3)
    at = pose.moving["pin spindle.lever"].get_xydata()[0]
    pose.update(motion, 3)  # 30 mm of pad in both
    assert pose.moving["pin spindle.lever"].get_xydata()[0] == pytest.approx(at)
