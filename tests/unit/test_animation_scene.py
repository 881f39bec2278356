"""What an animation tells: frames' places, columns, words, places on the page."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.textpath import TextPath

from linkage.animation.columns import column, columns
from linkage.animation.geometry import _nearest, drawn_views
from linkage.animation.page import page
from linkage.animation.room import _looks, _swept, word_places
from linkage.animation.scene import deepest, scene, scenes
from linkage.animation.schedule import refuse_timing, schedule
from linkage.animation.words import (
    end_words,
    readout,
    stop_words,
)
from linkage.config import load
from linkage.drawing.layout import draw_layout, view_axes
from linkage.drawing.style import drawing_style
from linkage.drawing.views import views_needed
from linkage.errors import UsageError
from linkage.forces import statics
from linkage.model import Hole
from linkage.motion import frame, sweep
from linkage.report.verdict import headline
from linkage.search import check
from tests.build import four_bar, hauler
from tests.figures.odd_views import three_ways
from tests.sprung import sprung_hauler
from tests.thinned import kinds

CONFIGS = Path(__file__).parents[2] / "configs"


def checked(name):
    return check(load(CONFIGS / f"{name}.toml").layout, cures=False)


def whole(one, count=41):
    return scene(one, np.linspace(0, one.examined.working.end, count))


@pytest.fixture(scope="module")
def cured():
    return checked("swapped-push-rod")


@pytest.fixture(scope="module")
def faulty():
    return checked("fault-wrong-sense")


@pytest.mark.parametrize("frames", [4, 5, 30, 31, 120])
def test_pedal_goes_down_and_comes_back_at_one_speed(frames):
    timing = schedule(0.07, frames)
    pad = timing.pad_travel[timing.indices]
    assert len(pad) == frames
    assert pad[0] == pad[-1] == 0
    assert pad.max() == 0.07
    steps = np.abs(np.diff(pad))
    moved = steps[steps > 0]
    assert np.allclose(moved, moved[0])
    assert len(moved) >= frames - 2
    down = np.diff(pad) > 0
    assert timing.pressing[1:][down].all()
    assert not timing.pressing[1:][np.diff(pad) < 0].any()


@pytest.mark.parametrize(
    ("frames", "fps", "kind"),
    [
        (3, 25, "gif"),
        (1001, 25, "mp4"),
        (120, 0.5, "gif"),
        (120, 51, "gif"),
        (120, math.nan, "mp4"),
    ],
)
def test_timings_that_make_no_animation(frames, fps, kind):
    with pytest.raises(UsageError):
        refuse_timing(frames, fps, kind)
    refuse_timing(120, 25, kind)


def test_columns_are_those_of_the_motion(cured):
    shown = whole(cured)
    x = cured.examined
    motion = sweep(x.assembly, np.linspace(0, x.working.end, 41))
    assert np.array_equal(shown.motion.pad_travel, motion.pad_travel)
    assert np.allclose(shown.main.angle, motion.opening("throttle").clip(0))
    assert shown.main.share[-1] == pytest.approx(1)
    assert shown.main.area is not None
    assert not shown.main.area.flags.writeable
    for rod in shown.rods:
        line = frame(motion).rod(x.assembly.loop(rod.name).link.rod.name)
        ends = np.array([line.driver_angle, line.driven_angle])
        # Its sine is the share of the force that turns the arm (design of `rod_line`).
        assert np.allclose(np.sin(rod.left), np.sin(ends).min(axis=0))
        assert np.allclose(np.sin(ends[rod.nearer, np.arange(41)]), np.sin(rod.left))


def test_forces_and_senses_are_those_of_statics_both_ways(cured):
    shown = whole(cured)
    s = statics(shown.motion)
    assert np.allclose(shown.pad_force[0], s.pad_force_pressing)
    assert np.allclose(shown.pad_force[1], s.pad_force_releasing)
    assert (shown.pad_force[0] > shown.pad_force[1]).all()
    for rod in shown.rods:
        assert np.allclose(rod.force[0], s.rod_pressing[rod.name])
        assert np.array_equal(rod.sense[0], np.sign(rod.force[0]))
    by_name = {r.name: r for r in shown.rods}
    assert by_name["carb"].sense[0][0] == -1
    assert by_name["down"].sense[0][0] == 1


def test_no_springs_or_a_pedal_that_shuts_has_senses_without_force(faulty):
    for one in (check(hauler(), cures=False), faulty):
        shown = whole(one)
        assert shown.pad_force is None
        assert all(rod.force is None for rod in shown.rods)
        assert shown.rods[0].sense[0][3] in {1, -1}
        assert columns(shown, drawn_views(shown))["force"] is None


def test_until_the_plate_leaves_its_stop_the_force_is_not_known(cured):
    layout = cured.examined.layout
    # A rod 1 mm short at the plate leaves the lever to catch up (invented).
    loop = cured.examined.assembly.loop("carb")
    late = check(layout.with_rod("carb", loop.length + 1e-3), cures=False)
    early = check(layout.with_rod("carb", loop.length - 1e-3), cures=False)
    one = late if late.examined.working.start > 0 else early
    assert one.examined.working.start > 0
    shown = whole(one, 200)
    before = shown.motion.pad_travel < one.examined.working.start - 1e-9
    assert before.any()
    assert np.isnan(shown.pad_force[0][before]).all()
    assert np.isfinite(shown.pad_force[0][~before]).all()
    told = columns(shown, drawn_views(shown))
    assert told["force"][0][0] is None  # which the page calls not known
    assert told["rods"][0]["force"][0][0] is None


@pytest.mark.parametrize("path", sorted(CONFIGS.glob("*.toml")), ids=lambda p: p.stem)
def test_what_fits_is_said_as_on_the_screen(path):
    one = check(load(path).layout, cures=False)
    assert whole(one, 3).verdict == headline(one).replace("`", "")


def test_loosened_limits_and_things_to_look_at_are_said_in_the_verdict(cured):
    layout = cured.examined.layout
    loose = check(replace(layout, limits=replace(layout.limits, arm_rod_refuse=0.3, stamp_load=300.0)), cures=False)  # fmt: skip
    assert whole(loose, 3).verdict == headline(loose)
    assert "loosened: " in whole(loose, 3).verdict
    heavy = check(replace(layout, limits=replace(layout.limits, arm_rod_look=1.3)), cures=False)  # fmt: skip
    assert "to look at" in whole(heavy, 3).verdict
    assert whole(heavy, 3).verdict == headline(heavy)


def test_verdict_gives_the_reason_and_counts_the_rest(faulty):
    said = "DO NOT FIT: the pedal shuts the plate, and one more fault"
    assert whole(faulty).verdict == said == headline(faulty)
    late = checked("fault-lever-clocked-late")
    assert len(late.reasons) > 1
    assert "more fault" in whole(late).verdict


def test_stops_that_are_met_are_named(cured):
    shown = whole(cured)
    assert stop_words(shown, 0) == "pedal up"
    assert stop_words(shown, 20) == ""
    assert stop_words(shown, 40) == "stopped by full stop of throttle"
    assert readout(shown, 40, pressing=True)[-1] == "stopped by full stop of throttle"
    assert readout(shown, 20, pressing=True)[-1] == "pedal going down"
    assert readout(shown, 20, pressing=False)[-1] == "pedal coming up"


def test_a_jam_is_named_and_shown_to_its_very_end():
    # A double rocker driven to where it stretches, as in test_working (invented).
    jams = check(
        four_bar(90, 60, 50, 70, 40, travel_mm=1000 * math.radians(140)), cures=False
    )
    shown = whole(jams)
    assert end_words(shown) == "jammed: rod rod reaches no further"
    assert shown.rods[0].left[-1] == pytest.approx(0, abs=1e-3)
    assert shown.pad_force is None
    assert np.isfinite(shown.main.angle).all()


def test_two_layouts_share_the_pad_and_the_shorter_waits_at_its_stop(cured, faulty):
    both = [faulty, cured]
    end = deepest(both)
    assert end == cured.examined.working.end > faulty.examined.working.end
    one, two = scenes(both, np.linspace(0, end, 1001))
    assert np.array_equal(two.motion.pad_travel, np.linspace(0, end, 1001))
    assert one.motion.pad_travel[-1] == faulty.examined.working.end
    assert stop_words(one, 1000) == "stopped by pedal stop"
    same = one.motion.pad_travel < faulty.examined.working.end
    assert np.array_equal(one.motion.pad_travel[same], two.motion.pad_travel[same])


@pytest.mark.parametrize("build", [three_ways, hauler])
def test_pins_on_the_page_are_those_of_the_motion(build):
    shown = whole(check(build(), cures=False))
    views = views_needed(shown.layout)
    drawn = drawn_views(shown)
    assert [v.name for v in drawn] == [v.name for v in views]
    for view, seen in zip(drawn, views, strict=True):
        for text, way in view.pins.items():
            shaft, _, arm = text.rpartition(".")
            at = seen.project(frame(shown.motion).pin(Hole(shaft=shaft, arm=arm)).T)
            assert np.allclose(way, at * 1e3)
            part = shown.layout.shafts[shaft]
            foot = np.array(part.pivot) + part.arms[arm].offset * np.array(part.axis.n)
            assert np.allclose(view.arms[text][0], seen.project(foot) * 1e3)
        for name, ends in view.rods.items():
            rod = shown.layout.rods[name]
            assert ends == (str(rod.start), str(rod.end))
    # In a view square on to both shafts a rod's length does not change.
    across = next(v for v in drawn if v.name == "seen from the right")
    if build is hauler:
        for one, two in across.rods.values():
            seen_length = np.hypot(*(across.pins[one] - across.pins[two]).T)
            assert np.ptp(seen_length) < 1e-9


@pytest.mark.parametrize("name", kinds((p.stem for p in CONFIGS.glob("*.toml")), 3))
def test_everything_shown_lies_on_the_page_and_words_keep_apart(name):
    shown = whole(check(load(CONFIGS / f"{name}.toml").layout, cures=False))
    drawn = drawn_views(shown)
    for view in drawn:
        wide, high = view.size
        for way in view.pins.values():
            x = view.origin[0] + view.scale * way[:, 0]
            y = view.origin[1] - view.scale * way[:, 1]
            assert x.min() > 0
            assert x.max() < wide
            assert y.min() > 0
            assert y.max() < high
        boxes = []
        for word in view.words:
            lines = word.text.split("\n")
            half_x = max(TextPath((0, 0), t, size=word.size).get_extents().width for t in lines) / 2  # fmt: skip
            half_y = 0.55 * word.size * len(lines)
            boxes.append(
                (word.x - half_x, word.y - half_y, word.x + half_x, word.y + half_y)
            )
        for i, a in enumerate(boxes):
            for b in boxes[:i]:
                assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_a_word_without_room_is_left_out_and_the_others_stand():
    layout = hauler()
    shown = whole(check(layout, cures=False), 5)
    with drawing_style():
        figure = Figure(figsize=(4, 4), dpi=72)
        FigureCanvasAgg(figure)
        ((view, ax),) = view_axes(figure, shown.motion, (0, 0, 4, 4), views=shown.views[:1])  # fmt: skip
        pose = draw_layout(ax, shown.motion, 0, view, labels="words")
        (places,) = word_places([pose], {"first": "m" * 200, "last": "last: push"})
    assert set(places) == {"last"}


def test_no_leader_runs_over_a_shaft_that_is_seen_from_its_side():
    # With leaders that mind parts as little as elsewhere one crossed the jack shaft.
    shown = whole(checked("twin-side-draught"), 5)
    view = next(v for v in drawn_views(shown) if v.name == "seen from the right")
    (jack,) = [s for s in view.shapes if s.name == "shaft jack shaft"]
    ends = np.array([p.split() for p in jack.path[1:].split("L")], float)
    level = ends[0, 1]
    leaders = [
        np.array([p.split() for p in s.path[1:].split("L")], float)
        for s in view.shapes
        if s.name == "leader"
    ]
    assert leaders
    assert not any(
        y.min() < level - 4 and y.max() > level + 4 for y in (a[:, 1] for a in leaders)
    )


def test_numbers_for_the_page_are_of_one_length_and_rounded(cured):
    shown = whole(cured)
    data = columns(shown, drawn_views(shown))
    assert data["end"] == pytest.approx(cured.examined.working.end * 1e3, abs=1e-3)
    assert {len(data[k]) for k in ("throttle", "share", "area")} == {41}
    assert all(
        len(c) == 41 for v in data["views"] for xy in v["pins"].values() for c in xy
    )
    assert data["throttle"][-1] == 76
    assert (
        data["plates"][0]["words"][data["plates"][0]["state"][-1]] == "on its full stop"
    )
    assert data["plates"][0]["angle"][0] == -8  # opens clockwise from 8 deg
    assert column(np.array([-0.001, np.nan, 1.25]), 2) == [0, None, 1.25]


def test_side_by_side_all_layouts_have_the_same_views():
    checks = [checked("scenario-before"), checked("scenario-cured")]
    one, two = scenes(checks, np.linspace(0.0, 0.07, 5))
    assert one.views == two.views
    assert [v.axis.name for v in one.views] == ["across", "along"]
    assert page(checks).count("seen from behind") >= 2


def test_words_keep_off_the_lines_of_springs_that_have_one():
    """One about a shaft has none between hook and anchor."""
    layout = sprung_hauler()
    shown = whole(check(layout, cures=False), 5)
    with drawing_style():
        figure = Figure(figsize=(4, 4), dpi=72)
        FigureCanvasAgg(figure)
        ((_, ax),) = view_axes(figure, shown.motion, (0, 0, 4, 4), views=shown.views[:1])  # fmt: skip
        pose = draw_layout(ax, shown.motion, 0, shown.views[0], labels="words")
    anchor = pose.view.project(np.array(layout.springs["main"].anchor))
    lines = [line for line, width in _swept(pose) if width == 12.0]
    assert len(lines) == len(_looks(pose))
    assert all(np.allclose(line[1], anchor) for line in lines)


def test_what_a_leader_goes_to_is_the_place_of_a_label_nearest_to_its_point():
    figure = Figure(figsize=(4, 4), dpi=100)
    ax = figure.add_axes((0, 0, 1, 1))
    ax.set(xlim=(0, 400), ylim=(0, 400))
    box = (100.0, 100.0, 140.0, 120.0)
    for at, near in (((90, 110), (100, 290)), ((300, 300), (140, 280)), ((120, 90), (120, 300))):  # fmt: skip
        note = ax.annotate("lever", at)
        assert _nearest(note, box, 400.0) == pytest.approx(near)
    # What is written without a point has its middle.
    assert _nearest(ax.text(0, 0, "lever"), box, 400.0) == pytest.approx((120, 290))
