"""A cam that is sought: solved again as any cam is, and every refusal beside its twin."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.lines import Line2D

from linkage import load
from linkage.config import loads
from linkage.connect.facing import Seen
from linkage.drawing.style import drawing_style
from linkage.errors import UsageError
from linkage.model import Cam
from linkage.motion import assemble, sweep, working_travel
from linkage.search.cam_cut import POINTS
from linkage.search.cam_profile import _motion, cams, is_cam, shape_cam
from linkage.search.cam_way import HINTS, Bar, bar
from linkage.sheet.rim import rim_page, rim_places, rim_sheet
from tests.slides import slid_layout

STARTER = Path(__file__).parents[2] / "configs" / "cam-roller.toml"


@pytest.fixture(scope="module")
def layout():
    return load(STARTER).layout


@pytest.fixture(scope="module")
def found(layout):
    return shape_cam(layout, "cross.cam", 0.3, 0.45)


def changed(*changes):
    """Return the starter with some of its words changed."""
    text = STARTER.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return loads(text, "cam.toml").layout


def opened_at(layout, share):
    """Return the throttle's share at a share of the pad's travel, by the motion alone."""
    pad = np.array([share * layout.pedal.end])
    motion = sweep(assemble(layout), pad)
    return float(motion.opening("throttle")[0]) / layout.main.swing


@pytest.mark.parametrize(
    ("throttle", "pedal"), [(0.3, 0.45), (0.25, 0.4), (1 / 3, 0.5)]
)
def test_the_throttle_follows_as_is_asked(layout, throttle, pedal):
    shaped = shape_cam(layout, "cross.cam", throttle, pedal)
    assert not shaped.bounded
    assert shaped.why is None
    assert opened_at(shaped.layout, pedal) == pytest.approx(throttle, abs=2e-3)
    assert opened_at(shaped.layout, 0.965) == pytest.approx(1.0, abs=2e-3)
    assert shaped.nearest == pytest.approx(pedal, abs=2e-3)


def test_it_meets_its_roller_where_it_did(layout, found):
    was = float(working_travel(assemble(layout)).picked_up)
    now = float(found.check.examined.working.picked_up)
    assert now == pytest.approx(was, abs=2e-4)
    assert was > 1e-3


def test_it_is_given_as_it_is_marked_off(found):
    """Turns to a tenth of a degree, radii to a micron, one point fewer than may be."""
    points = found.cam.points
    assert len(points) == POINTS
    turns = np.degrees([turn for turn, _ in points])
    assert np.round(turns, 1) == pytest.approx(turns, abs=1e-9)
    radii = 1e6 * np.array([radius for _, radius in points])
    assert np.round(radii) == pytest.approx(radii, abs=1e-3)
    assert points[0][1] == pytest.approx(found.arm.length, abs=1e-9)


def test_the_roller_keeps_off_both_ends(layout, found):
    faces = found.check.examined.assembly.loop("main").rod.faces
    motion = found.check.examined.motion
    left = faces(motion.pair("cross"), motion.pair("spindle"))
    assert left.min() > layout.limits.cam_left


def test_a_cam_that_goes_round_the_other_way_is_the_same_in_the_mirror(found):
    """Begun at its other end: the same edge, its points in the other order."""
    edge = np.array(found.cam.points)
    turned = replace(
        found.cam,
        goes=-found.cam.goes,
        points=tuple(
            zip(
                (edge[-1, 0] - edge[::-1, 0]).tolist(),
                edge[::-1, 1].tolist(),
                strict=True,
            )
        ),
        base=float(edge[-1, 1]),
    )
    arm = replace(
        found.arm, length=float(edge[-1, 1]), angle=found.arm.angle + edge[-1, 0]
    )
    shaft = found.layout.shafts["cross"]
    there = found.layout.with_shaft(shaft.with_arm(arm))
    there = replace(there, rods={**there.rods, "main": turned})
    again = shape_cam(there, "cross.cam", 0.3, 0.45)
    assert again.cam.goes == -found.cam.goes
    assert opened_at(again.layout, 0.45) == pytest.approx(0.3, abs=2e-3)
    one, two = (rim_places(side.layout, side.hole) for side in (found, again))
    angles = np.radians(np.linspace(35, 80, 50))

    def radii(places):
        angle = np.unwrap(np.arctan2(places[:, 1], places[:, 0]))
        order = np.argsort(angle)
        return np.interp(angles, angle[order], np.hypot(*places.T)[order])

    np.testing.assert_allclose(radii(two), radii(one), atol=0.02)


def test_arcs_give_way_to_points(layout, found):
    """A cam that was ground in arcs: where it meets its roller is all that is kept."""
    disc = Cam(
        name="main",
        start=found.cam.start,
        end=found.cam.end,
        roller=found.cam.roller,
        goes=1,
        arcs=((0.0421, math.radians(30)), (0.200, math.radians(20))),
        base=0.0421,
    )
    there = replace(layout, rods={**layout.rods, "main": disc})
    there = there.with_arm("cross.cam", angle=math.radians(0.0))
    again = shape_cam(there, "cross.cam", 0.2, 0.5)
    assert again.cam.arcs == ()
    assert len(again.cam.points) == POINTS


REFUSED = [
    ("spindle.spring", {}, "no rod is joined"),
    ("pedal.rod", {}, "no cam whose roller"),
    ("spindle.roller", {}, "no cam whose roller"),
    ("cross.cam", {"throttle": 1.2}, "cannot be asked for"),
    ("cross.cam", {"pedal": 0.98}, "full throttle comes before"),
    ("cross.cam", {"least": 0.08}, "no profile of cam `main`"),
]


@pytest.mark.parametrize(("name", "options", "told"), REFUSED)
def test_what_cannot_be_asked_for_is_refused(layout, name, options, told):
    with pytest.raises(UsageError, match=told):
        shape_cam(layout, name, **options)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ((("round        =", "fixed = true\nround        ="),), "cam `main` is fixed"),
        ((("angle = 16 }", 'angle = 16, clocking = "fixed" }'),), "clocking is fixed"),
        ((("angle = 16 }", "angle = 16, fixed = true }"),), "is fixed: bought"),
        (
            (('hook            = "spindle.spring"', 'hook = "cross.cam"'),),
            "spring `near` is at `cross.cam`",
        ),
    ],
)
def test_what_may_not_be_made_anew_is_refused(change, told):
    with pytest.raises(UsageError, match=told):
        shape_cam(changed(*change), "cross.cam", 0.3, 0.45)


def test_a_cam_that_stands_clear_up_to_the_share_is_refused(layout):
    """8 mm smaller it meets its roller late; 2 mm smaller it is sought from there on."""
    with pytest.raises(UsageError, match="does not meet its roller before"):
        shape_cam(layout.with_arm("cross.cam", length=0.034), "cross.cam", 0.3, 0.45)
    found = shape_cam(
        layout.with_arm("cross.cam", length=0.040), "cross.cam", 0.3, 0.45
    )
    assert found.nearest == pytest.approx(0.45, abs=2e-3)


@pytest.fixture(scope="module")
def motion(layout):
    """Return how the starter's cam and roller stand, full throttle at 96.5 %."""
    link, plate = next(cams(layout))
    end = layout.pedal.end
    return _motion(assemble(layout), link, plate, (0.965 * end, 0.45 * end))[0]


def inward(motion):
    """Return a roller that stands beyond its shaft, so that a push goes to the cam's."""
    seen = Seen((0.0654, 0.0), polar(0.0803, 0.85), polar(0.0803, 0.85 + math.pi / 2))
    face = replace(motion.face, seen=seen, goes=-1)
    return replace(motion, face=face, begins=0.0, ends=0.239, swing=0.466, roller=0.006)


def polar(size, angle):
    return size * math.cos(angle), size * math.sin(angle)


#: What is changed, the curve, and what bounds it; beside each a twin that is not bounded.
BARS = [
    ("steep", {}, 0.96, {}),
    ("hollow", {}, 0.9, {}),
    ("undercut", {"roller": 0.03}, -0.9, {"lean": 89, "spindle": -1.0}),
    ("least", {}, 0.6, {"least": 0.046}),
    ("shaft", {}, 0.4, {}),
    ("pressure", {}, 0.6, {"lean": 10}),
    ("round", {"ends": -6.1}, 0.5, {"lean": 89, "spindle": -1.0}),
]
TWINS = {
    "steep": ({}, 0.6, {}),
    "hollow": ({}, 0.6, {}),
    "undercut": ({"roller": 0.02}, -0.9, {"lean": 89, "spindle": -1.0}),
    "least": ({}, 0.6, {"least": 0.044}),
    "shaft": ({}, 0.55, {}),
    "pressure": ({}, 0.6, {"lean": 20}),
    "round": ({"ends": -5.0}, 0.5, {"lean": 89, "spindle": -1.0}),
}


def barred(motion, change, c, options):
    """Return what bounds a curve; a shaft of less than no radius is never run into."""
    there = replace(motion, **change)
    there = replace(there, spindle=options.get("spindle", there.spindle))
    lean = math.radians(options.get("lean", 45))
    return bar(there, c, least=options.get("least", 0.012), lean=lean)


@pytest.mark.parametrize(("kind", "change", "c", "options"), BARS, ids=str)
def test_what_no_cam_can_do_is_said_by_name(motion, kind, change, c, options):
    found = barred(motion, change, c, options)
    assert found.kind == kind
    assert 0 <= found.throttle <= 1
    words = found.words(0.008)
    assert words
    assert HINTS[kind]
    assert barred(motion, *TWINS[kind]) is None


def test_a_push_toward_the_cams_own_shaft_is_none(motion):
    found = bar(inward(motion), -0.325, least=0.012, lean=math.radians(45))
    assert found.kind == "inward"
    assert "toward its own shaft" in found.words(0.006)


def test_every_kind_of_bar_has_words_and_a_hint():
    assert set(HINTS) == {kind for kind, *_ in BARS} | {"inward", "marked"}
    for kind in HINTS:
        assert Bar(kind, 0.5, 0.01).words(0.008)


@pytest.mark.parametrize(
    ("throttle", "pedal", "kind"),
    [(0.4, 0.45, "shaft"), (0.3, 0.6, "steep"), (0.24, 0.45, "hollow")],
)
def test_what_cannot_be_had_is_told_with_the_nearest(layout, throttle, pedal, kind):
    """It is solved as a whole, and lies between what was asked for and what can be had."""
    found = shape_cam(layout, "cross.cam", throttle, pedal)
    assert found.bounded
    assert found.why.kind == kind
    assert opened_at(found.layout, found.nearest) == pytest.approx(throttle, abs=2e-3)
    assert found.off < math.radians(0.2)


def test_a_cam_of_least_radius_is_kept_to(layout):
    """45 mm are more than there are at its roller: nothing can be had; 44 mm are."""
    with pytest.raises(UsageError, match="no profile of cam `main`") as told:
        shape_cam(layout, "cross.cam", 0.3, 0.45, least=0.048)
    assert "from its shaft" in told.value.hint
    assert "--least-radius" in told.value.hint
    found = shape_cam(layout, "cross.cam", 0.3, 0.45, least=0.044)
    assert not found.bounded


def test_the_limit_of_the_pressure_angle_is_kept_to(layout):
    """It leans 15 degrees: a limit of 14.5 lets it follow only more gently."""
    found = shape_cam(layout, "cross.cam", 0.3, 0.45)
    assert math.degrees(found.leans) == pytest.approx(15.0, abs=0.1)
    strict = replace(
        layout,
        limits=replace(
            layout.limits,
            cam_pressure_look=math.radians(12),
            cam_pressure_refuse=math.radians(14.5),
        ),
    )
    found = shape_cam(strict, "cross.cam", 0.3, 0.45)
    assert found.why.kind == "pressure"
    assert found.leans <= math.radians(14.5)
    assert found.nearest > 0.455


def test_the_template_has_the_edge_and_the_roller(found):
    """The cam's edge thick, a line to its axis at both ends, and the roller at rest."""
    with drawing_style():
        page = rim_page(found.layout, found.hole, paper="a4", refused="it jams")
    words = [t.get_text() for t in page.figure.texts]
    assert "Template of cam cross.cam, true size" in words
    assert "DO NOT FIT: it jams" in words
    assert any("circle: its roller of 16.0 mm" in w for w in words)
    lines = page.figure.findobj(Line2D)
    edge, spokes, roller, *_ = [25.4 * np.asarray(x.get_xydata()) for x in lines]
    assert len(edge) > 60
    assert len(spokes) == 3
    middle = (roller.min(axis=0) + roller.max(axis=0)) / 2
    gap = np.hypot(*(edge - middle).T).min() - 8.0
    assert 0 < gap < 0.5  # what it is clear of the cam with the pedal up


def test_a_cam_larger_than_the_sheet_is_refused(found):
    large = found.layout.with_arm("cross.cam", length=0.15)
    with pytest.raises(UsageError, match=r"cam `cross\.cam` is larger than a sheet"):
        rim_sheet(large, found.hole, paper="a4")


def test_arms_of_cams_are_known_as_such(layout):
    assert is_cam(layout, "cross.cam")
    assert is_cam(layout, "spindle.roller")
    assert not is_cam(layout, "cross.rod")


def test_a_slide_before_a_cam_turns_it_as_any_rod_does():
    """The starter seen from the left, its cam driven by a bar in a guide; solved again."""
    new = slid_layout(
        ("[shafts.spindle]", "[shafts.cross]"),
        ("arms.lever = { length = 30, angle = 53 }", "arms.lever = { length = 36, angle = 58 }\narms.cam = { length = 42.1, angle = 164 }\n\n[shafts.spindle]\npivot = [560, 0, 68]\naxis = \"across\"\narms.roller = { length = 28, angle = 60.5 }"),
        ('drag = "0.05 N·m"\n', ""),
        ('to = "spindle.lever"', 'to = "cross.lever"'),
        ("arms.near = { length = 28, angle = 70", "arms.near = { length = 28, angle = -20"),
        ("arms.far = { length = 28, angle = 70", "arms.far = { length = 28, angle = -20"),
        ("anchor = [735, 12, 95]", "anchor = [580, 12, -40]"),
        ("anchor = [735, -36, 95]", "anchor = [580, -36, -40]"),
        ("travel = 80", "travel = 92"),
        ("stop = 74.5", "stop = 84"),
        ("swing = 76", "swing = 62"),
        more="""
[cams.main]
from = "cross.cam"
to = "spindle.roller"
roller = 16
round = "clockwise"
profile = [[0, 42.1], [15, 44.4], [30, 48.2], [45, 55.1], [60, 66.6], [70, 77.6], [78, 88]]
""",
    )  # fmt: skip
    found = shape_cam(new, "cross.cam", 0.25, 0.45)
    assert not found.bounded
    assert opened_at(found.layout, 0.45) == pytest.approx(0.25, abs=2e-3)
    assert opened_at(found.layout, 0.965) == pytest.approx(1.0, abs=2e-3)
