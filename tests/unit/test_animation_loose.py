"""Films and pages of rods that lose motion: slack in numbers, in lines and in words."""

import json
import re

import numpy as np
import pytest

from linkage.animation.geometry import drawn_views
from linkage.animation.page import SLACK_WORDS, page
from linkage.animation.picture import LEGEND, SLACK, whole
from linkage.animation.scene import scenes
from linkage.drawing import style
from linkage.drawing.track import SLACK as SLACK_SENSE
from linkage.motion import assemble, frame
from linkage.search import check
from tests.build import hauler
from tests.figures.test_loose_rods import one_rod, twin


@pytest.fixture(scope="module")
def sides():
    return check(twin(), cures=False)


@pytest.fixture(scope="module")
def scene(sides):
    return scenes([sides], np.linspace(0, sides.examined.working.end, 13))[0]


def test_a_slack_rod_has_its_own_sense_no_angle_and_no_force(scene):
    rear = next(rod for rod in scene.rods if rod.name == "rear drop")
    slack = frame(scene.motion).slack["rear drop"]
    assert 0 < slack.sum() < len(slack)
    for way in (0, 1):
        assert (rear.sense[way] == SLACK_SENSE).tolist() == slack.tolist()
        assert (rear.force[way][slack] == 0).all()
    assert np.isnan(rear.left).tolist() == slack.tolist()
    up = next(rod for rod in scene.rods if rod.name == "up")
    assert not (up.sense[0] == SLACK_SENSE).any()
    assert np.isfinite(up.left).all()


def test_a_page_has_where_the_slot_ends_at_every_position(scene):
    one = next(view for view in drawn_views(scene) if view.name == "seen from behind")
    assert set(one.loose) == {"rear drop", "kickdown"}
    loop = scene.motion.assembly.loop("rear drop")
    ends = [
        frame(scene.motion).pin(h).T for h in (loop.link.rod.start, loop.link.rod.end)
    ]
    away = np.linalg.norm(ends[1] - ends[0], axis=1)
    rear = one.loose["rear drop"]
    np.testing.assert_allclose(rear.far * away, loop.length)
    np.testing.assert_allclose(rear.near * away, loop.length - 0.022)
    assert (rear.at, rear.kind) == (1, "slot")


def test_a_page_says_what_a_thin_line_is_where_there_is_one(sides):
    written = page([sides])
    assert SLACK_WORDS.strip() in written
    assert "rod rear drop from jack shaft.rear to rear spindle.lever pulls" in written
    data = json.loads(re.search(r'id="motion">(.*?)</script>', written, re.DOTALL)[1])
    assert data["widths"] == [1.9, 1.9, 1.9, 1.0]
    assert len(set(data["dashes"])) == 4
    assert data["layouts"][0]["views"][0]["loose"]["kickdown"][:2] == [1, "slot"]
    plain = page([check(hauler(), cures=False)])
    assert SLACK_WORDS.strip() not in plain
    assert "data-slot=" not in plain.partition("<script")[0]


def test_a_rod_that_is_slack_half_way_is_told_so_to_who_does_not_see_it():
    written = page([check(one_rod(only="push"), cures=False)])
    assert "rod link from pedal.rod to spindle.lever is slack;" in written


def test_a_film_says_what_a_thin_line_is_where_there_is_one(scene):
    with style.drawing_style():
        figure, panels = whole([scene], (960, 540))
    legend = next(t for t in figure.texts if t.get_gid() == "legend")
    assert legend.get_text() == LEGEND.format("rod", "pedal going down") + SLACK
    pose = panels[0].poses[0]
    panels[0].update(0, pressing=True)
    thin = pose.moving["rod rear drop"].get_linewidth()
    panels[0].update(12, pressing=True)
    assert thin < pose.moving["rod rear drop"].get_linewidth()
    moving = panels[0].moving()
    assert all(pose.moving[f"slot {n}"] in moving for n in ("rear drop", "kickdown"))
    assert assemble(twin()).loop("rear drop").carries == 1


def test_gauges_show_every_throttle_that_runs_otherwise_up_to_one_full(scene, sides):
    with style.drawing_style():
        figure, _ = whole([scene], (960, 540))
    ax = next(a for a in figure.axes if a.get_gid() == "curve")
    lines = {str(line.get_gid()): line for line in ax.lines}
    swing = np.degrees(scene.main.throttle.swing)
    for name in ("rear", "kickdown"):
        share = scene.curve.throttles[name].throttle_share
        np.testing.assert_allclose(lines[f"further {name}"].get_ydata(), share * swing)
    assert lines["further rear"].get_marker() != lines["further kickdown"].get_marker()
    assert {"rear", "kickdown"} <= {t.get_text() for t in ax.texts}
    assert [t.get_text() for t in ax.get_yticklabels()] == ["0 %", "100 %"]
    written = page([sides])
    drawing = written.partition("<script")[0]
    assert drawing.count('class="further"') == 2
    assert "throttle [%]" in drawing
    assert "throttle share over pad travel" in drawing
    plain = page([check(hauler(), cures=False)]).partition("<script")[0]
    assert 'class="further"' not in plain
    assert "throttle [°]" in plain
    assert "throttle angle over pad travel" in plain


def test_names_on_the_pages_curve_keep_off_its_lines(sides):
    written = page([sides])
    curve = re.search(r'<svg class="curve".*?</svg>', written, re.DOTALL)[0]
    paths = [
        np.array(re.findall(r"-?[\d.]+", d), float).reshape(-1, 2)
        for d in re.findall(r'<path d="(M[^"]*)" class="(?:own|further)"', curve)
    ]
    assert len(paths) == 3
    points = np.vstack(paths)
    names = re.findall(r'<text x="([\d.]+)" y="([\d.]+)" class="name">(\w+)', curve)
    assert {name for _, _, name in names} == {"rear", "kickdown"}
    for x, y, name in names:
        gap = np.abs(points - np.array([float(x), float(y)]))
        assert not ((gap[:, 0] < 3 * len(name)) & (gap[:, 1] < 5)).any()
