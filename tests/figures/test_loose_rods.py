"""Rods that lose motion, on pictures: slots to scale, pins where they stand, words.

Everything is read back from the artists and held against the distance of both pins,
which is written out here anew. Sizes are invented.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from linkage.drawing.canvas import points_per_metre
from linkage.drawing.layout import draw_layout, layout_figure, travel_motion, view_axes
from linkage.drawing.loose import HALF, LIP, NECK, loose_rods, outlined, slack_spans
from linkage.drawing.pose import THIN, WIDTH
from linkage.drawing.springs import springs_figure
from linkage.drawing.style import drawing_style, new_figure
from linkage.drawing.views import extent_of
from linkage.forces.summary import spring_card
from linkage.motion import assemble, frame, sweep, working_travel
from tests.build import arm, rod, shaft, tree
from tests.figures.clear import faults
from tests.unit.edits import edited


def one_rod(*, place=(430, 0, 82), angle=52, pedal=80, **more):
    """Return a pedal and a spindle with one rod, that pulls."""
    return tree(
        [
            shaft("pedal", (0, 0, 0), "across", arm("pad", 200, -90), arm("rod", 115, pedal)),
            shaft("spindle", place, "across", arm("lever", 32, angle)),
        ],
        [rod("link", "pedal.rod", "spindle.lever", **more)],
        travel_mm=76,
        swing_deg=76,
    )  # fmt: skip


def pushed(**more):
    """Return one whose rod pushes: the pedal's arm goes toward the lever."""
    return one_rod(place=(430, 0, -82), angle=-52, pedal=-80, **more)


def upright(**more):
    """Return one whose rod stands upright: the pedal's arm level, the spindle above."""
    return one_rod(place=(115, 0, 300), angle=10, pedal=0, **more)


def twin():
    """Return the twin carburettors, the rear one and the kickdown lever by a slot."""
    rear = 'to       = "rear spindle.lever"\n'
    return edited(
        "twin-side-draught",
        ("slot     = 36\n", "slot = 30\n"),
        (rear, rear + "slot = 22\nlost = 8\n"),
    )


SLOTTED = {
    "pulls": (lambda: one_rod(slot=0.03, lost=0.012), ("link",)),
    "drives at once": (lambda: one_rod(slot=0.03), ("link",)),
    "pushes": (lambda: pushed(slot=0.03, lost=0.012), ("link",)),
    "slot at from": (lambda: one_rod(slot=0.03, lost=0.012, slot_at="start"), ("link",)),
    "pushes from": (lambda: pushed(slot=0.02, lost=0.005, slot_at="start"), ("link",)),
    "half a millimetre": (lambda: one_rod(slot=0.0005, lost=0.0002), ("link",)),
    "sixty millimetres": (lambda: one_rod(slot=0.06, lost=0.02), ("link",)),
    "upright": (lambda: upright(slot=0.03, lost=0.01), ("link",)),
    "several, out of plane": (twin, ("rear drop", "kickdown")),
}  # fmt: skip
ONE_WAY = {
    "hook": lambda: one_rod(only="pull", lost=0.012),
    "hook that drives at once": lambda: one_rod(only="pull"),
    "cup": lambda: pushed(only="push", lost=0.012),
    "cup that never drives": lambda: one_rod(only="push"),
}


@cache
def poses_of(name, share):
    """Return `posed` of a layout by its name, once for all who only look at it."""
    return posed(SLOTTED[name][0]() if name in SLOTTED else ONE_WAY[name](), share)


def posed(layout, share):
    """Return the poses of every view at a share of the travel, and the motion."""
    assembly = assemble(layout)
    working = working_travel(assembly)
    with drawing_style():
        figure = new_figure("a4")
        motion, (index,) = travel_motion(assembly, working, (share,))
        room = (0.3, 0.4, 9.0, 7.0)
        return [
            draw_layout(ax, motion, index, view)
            for view, ax in view_axes(figure, motion, room)
        ]


def holes(pose, name):
    """Return the fixed hole and the slotted one of a rod in space, and its connector."""
    motion = pose.track.motion
    loop = motion.assembly.loop(name)
    ends = [
        frame(motion).pin(h).T[pose.index]
        for h in (loop.link.rod.start, loop.link.rod.end)
    ]
    return (*(ends[::-1] if loop.link.rod.slot_at == "start" else ends), loop)


def data(pose, name):
    return np.asarray(pose.moving[name].get_xydata(), float)


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("name", SLOTTED)
def test_a_slot_is_true_to_scale_with_the_pin_in_it_where_it_is(name, share):
    for pose in poses_of(name, share):
        for one in SLOTTED[name][1]:
            eye, pin, loop = holes(pose, one)
            flat = [pose.view.project(p) for p in (eye, pin)]
            away = np.linalg.norm(pin - eye)
            shown = (flat[1] - flat[0]) / away  # on the picture, a metre of the rod
            half = HALF / points_per_metre(pose.ax)
            along = shown / np.hypot(*shown)
            reach = (data(pose, f"slot {one}") - flat[0]) @ along
            drives = loop.length * np.hypot(*shown)
            deep = loop.link.rod.slot * np.hypot(*shown)
            ends = sorted([drives, drives - loop.carries * deep])
            assert reach.min() == pytest.approx(ends[0] - half, abs=1e-9)
            assert reach.max() == pytest.approx(ends[1] + half, abs=1e-9)
            at = np.hypot(*(flat[1] - flat[0]))
            assert ends[0] - 1e-9 <= at <= ends[1] + 1e-9
            # The bar ends where the slot begins, whatever way the pin has gone.
            bar = data(pose, f"rod {one}")
            bar = bar[::-1] if loop.link.rod.slot_at == "start" else bar
            np.testing.assert_allclose(bar[0], flat[0], atol=1e-12)
            assert np.hypot(*(bar[1] - bar[0])) == pytest.approx(
                max(ends[0] - half, 0), abs=1e-9
            )
            np.testing.assert_allclose(
                data(pose, f"pin {loop.link.rod.end}")[0],
                pose.view.project(frame(pose.track.motion).pin(loop.link.rod.end).T[pose.index]),
                atol=1e-12,
            )  # fmt: skip


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("name", ONE_WAY)
def test_a_hook_holds_the_pin_from_behind_and_a_cup_from_before(name, share):
    for pose in poses_of(name, share):
        eye, pin, loop = holes(pose, "link")
        flat = [pose.view.project(p) for p in (eye, pin)]
        half = HALF / points_per_metre(pose.ax)
        along = (flat[1] - flat[0]) / np.hypot(*(flat[1] - flat[0]))
        outline = data(pose, "slot link")
        reach = (outline - flat[0]) @ along
        motion = pose.track.motion
        if loop.carries > 0:
            assert reach.max() == pytest.approx(loop.length + half, abs=1e-9)
            gaps = [
                np.linalg.norm(p - e)
                for p, e in zip(
                    frame(motion).pin(loop.link.rod.end).T,
                    frame(motion).pin(loop.link.rod.start).T,
                    strict=True,
                )
            ]
            deepest = min(*gaps, loop.length)
            assert reach.min() == pytest.approx(
                deepest - (1 + NECK) * half, abs=1e-9
            )  # the neck keeps off the pin at every position
        else:
            assert reach.min() == pytest.approx(loop.length - half, abs=1e-9)
            assert reach.max() == pytest.approx(loop.length + LIP * half, abs=1e-9)
        assert not np.allclose(outline[0], outline[-1])  # open


@pytest.mark.parametrize("name", SLOTTED)
def test_where_it_is_slack_the_rod_is_thin_and_told_slack(name):
    for share in (0.0, 1.0):
        for pose in poses_of(name, share):
            slack = frame(pose.track.motion).slack
            for one in SLOTTED[name][1]:
                line = pose.moving[f"rod {one}"]
                is_slack = bool(slack[one][pose.index])
                assert line.get_linewidth() == (THIN if is_slack else WIDTH)
                words = [s for s in pose.said if s.startswith(f"rod {one}")]
                assert all((": slack" in s) == is_slack for s in words)


def test_the_label_tells_slot_length_and_what_is_left():
    (pose,) = posed(one_rod(slot=0.03, lost=0.012), 0.0)
    (said,) = (s for s in pose.said if s.startswith("rod link"))
    length = 1e3 * assemble(one_rod(slot=0.03, lost=0.012)).loops[0].length
    assert said.replace("\n", " ") == (
        f"rod link: slack drives in 12.0 mm, {length:.1f} mm c/c driving, slot 30.0 mm"
    )
    (pose,) = posed(one_rod(slot=0.03, lost=0.012), 1.0)
    (said,) = (s for s in pose.said if s.startswith("rod link"))
    assert "rod link: pull" in said
    assert "drives in" not in said
    (pose,) = posed(ONE_WAY["cup"](), 1.0)
    assert any("rod link: push" in s and "can only push" in s for s in pose.said)


@pytest.mark.parametrize("share", [0.0, 1.0])
@pytest.mark.parametrize("name", [*SLOTTED, *ONE_WAY])
def test_no_label_lies_over_a_slot_or_anything_else(name, share):
    layout = SLOTTED[name][0]() if name in SLOTTED else ONE_WAY[name]()
    assembly = assemble(layout)
    ghost = 1.0 if share == 0 else None
    figure = layout_figure(assembly, working_travel(assembly), share=share, ghost=ghost)
    assert faults(figure, figure.axes) == []


@pytest.mark.parametrize("name", [*SLOTTED, *ONE_WAY])
def test_what_reaches_beyond_the_pins_stays_in_the_field(name):
    rods = SLOTTED[name][1] if name in SLOTTED else ("link",)
    for share in (0.0, 1.0):
        for pose in poses_of(name, share):
            left, low, right, high = extent_of(pose.track.motion, pose.view)
            half = (1 + NECK) * HALF / points_per_metre(pose.ax)
            for one in rods:
                x, y = data(pose, f"slot {one}").T
                assert left - half < x.min()
                assert x.max() < right + half
                assert low - half < y.min()
                assert y.max() < high + half


def test_another_position_in_grey_has_its_slot_too():
    assembly = assemble(one_rod(slot=0.03, lost=0.012))
    working = working_travel(assembly)
    with drawing_style():
        figure = new_figure("a4")
        motion, (index, end) = travel_motion(assembly, working, (0.0, 1.0))
        ((view, ax),) = view_axes(figure, motion, (0.3, 0.4, 9.0, 7.0))
        pose = draw_layout(ax, motion, index, view, ghost=end)
        pale = np.asarray(pose.fixed["ghost slot link"].get_xydata())
        pose.update(motion, end)
    np.testing.assert_allclose(pale, data(pose, "slot link"), atol=1e-12)


def test_a_rod_end_on_has_a_round_slot_and_no_bar():
    motion = sweep(assemble(one_rod(slot=0.03, lost=0.012)), np.linspace(0, 0.07, 5))
    loose = loose_rods(motion)["link"]
    spot = np.array([0.1, 0.2])
    bar, outline = outlined(loose, 0, (spot, spot.copy()), 0.002)
    assert np.isfinite(outline).all()
    np.testing.assert_allclose(np.hypot(*(outline - spot).T), 0.002)
    np.testing.assert_allclose(bar, [spot, spot])


@pytest.mark.parametrize("name", ["pulls", "pushes", "slot at from", "upright"])
def test_where_a_rod_is_slack_is_found_between_positions(name):
    assembly = assemble(SLOTTED[name][0]())
    working = working_travel(assembly)
    motion = sweep(assembly, np.linspace(0, working.end, 41))
    ((start, end),) = slack_spans(motion)["link"]
    assert start == 0
    assert end == pytest.approx(working.picked_up, abs=2e-5)


def test_a_rod_that_lets_go_on_the_way_or_throughout_is_slack_to_the_end():
    for only, begins in (("push", 0.0), ("pull", None)):
        assembly = assemble(one_rod(only=only))
        motion = sweep(assembly, np.linspace(0, 0.07, 29))
        spans = slack_spans(motion)
        if begins is None:
            assert spans == {}
            continue
        ((start, end),) = spans["link"]
        assert 0 <= start < 0.0026  # between the first two positions
        assert end == pytest.approx(0.07)


def test_the_spring_card_says_where_a_rod_is_slack():
    assembly = assemble(twin())
    card = spring_card(assembly, working_travel(assembly), points=31)
    figure = springs_figure(card, paper="a4", banner="heavy")
    below = next(t for t in figure.texts if t.get_gid() == "below")
    ((_, end),) = slack_spans(card.motion)["rear drop"]
    assert below.get_text() == (
        f"rod rear drop is slack from 0.0 mm to {1e3 * end:.1f} mm of pad travel"
    )
