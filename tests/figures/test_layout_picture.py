"""The layout's picture: artists' data and geometry, not pixels."""

from dataclasses import replace
from math import radians
from pathlib import Path

import numpy as np
import pytest

from linkage.config import load
from linkage.drawing import layout as layout_picture
from linkage.drawing import save
from linkage.drawing.layout import (
    draw_layout,
    layout_figure,
    travel_motion,
    view_axes,
)
from linkage.drawing.part_labels import spring_drafts
from linkage.drawing.plate import draw_plates, plate_line, plates_size
from linkage.drawing.pose import SENSE_DASHES
from linkage.drawing.style import CAUTION, PAPER, drawing_style, new_figure
from linkage.drawing.views import extent_of, set_out, view_along, views_needed
from linkage.model import NAMED, Axis, Hole, Stop, axis_from_vector
from linkage.motion import assemble, frame, sweep, working_travel
from linkage.motion.senses import pulls_and_pushes
from tests.build import arm, hauler
from tests.figures.clear import faults
from tests.figures.odd_views import ODD, three_springs, three_ways

CONFIGS = sorted((Path(__file__).parents[2] / "configs").glob("*.toml"))


def with_springs():
    stops = {"rest": Stop(name="rest", shaft="cross shaft", turn=radians(-2))}
    return replace(three_springs(), stops=stops)


LAYOUTS = {"hauler": with_springs, "three ways": three_ways}


def parts(layout):
    assembly = assemble(layout)
    return assembly, working_travel(assembly)


def check_labels(figure):
    assert faults(figure, figure.axes) == []


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", LAYOUTS)
def test_labels_keep_apart(name, paper, share):
    figure = layout_figure(
        *parts(LAYOUTS[name]()), share=share, ghost=1 - share, paper=paper
    )
    check_labels(figure)
    assert tuple(figure.get_size_inches()) == PAPER[paper]


def test_there_are_shipped_layouts():
    assert len(CONFIGS) >= 8


def test_every_view_is_named_and_to_one_scale():
    figure = layout_figure(*parts(three_ways()))
    figure.draw_without_rendering()
    scales = set()
    names = []
    for ax in figure.axes:
        assert ax.get_aspect() == 1
        if ax.get_gid().startswith("plate"):
            continue
        texts = {t.get_gid(): t.get_text() for t in ax.texts}
        names.append(texts["view name"])
        assert {"compass front", "compass up"} & set(texts)
        box, limits = ax.get_window_extent(), (*ax.get_xlim(), *ax.get_ylim())
        scales.add(round(box.width / (limits[1] - limits[0]), 3))
        scales.add(round(box.height / (limits[3] - limits[2]), 3))
    assert names == ["seen from the right", "seen from behind", "seen from above"]
    assert len(scales) == 1


def test_views_follow_third_angle_projection():
    # ISO 5456-2, third angle: the view from behind stands left, that from above over.
    figure = layout_figure(*parts(three_ways()))
    right, behind, above = (figure.axes[i].get_position() for i in range(3))
    assert behind.x1 <= right.x0 + 1e-9
    assert above.y0 >= right.y1 - 1e-9
    assert (behind.y0, above.x0) == pytest.approx((right.y0, right.x0))


def test_views_in_which_a_shaft_is_square_and_one_for_depth():
    assert [v.axis.name for v in views_needed(hauler())] == ["across", "along"]
    leaning = load(CONFIGS[0].with_name("hanging-pedal.toml")).layout
    assert [v.axis.name for v in views_needed(leaning)] == ["across", "along"]
    assert [v.axis.name for v in views_needed(ODD["six shafts"]())] == ["across"]
    slanted = axis_from_vector((1.0, 1.0, 0.0))
    other = axis_from_vector((0.0, 1.0, 0.0))  # across, but seen from the left
    layout = hauler()
    shafts = {**layout.shafts}
    shafts["spindle"] = replace(shafts["spindle"], axis=other)
    turned = replace(layout, shafts=shafts)
    assert [v.axis.name for v in views_needed(turned)] == ["across", "along"]
    assert views_needed(turned)[0].facing(turned.shafts["spindle"]) == -1
    shafts["spindle"] = replace(shafts["spindle"], axis=slanted)
    assert [v.axis.name for v in views_needed(replace(layout, shafts=shafts))] == [
        "across",
        "vector",
    ]


def drawn(layout, labels="sizes", share=0.3, view="across", ghost=None):
    motion, (index, *_) = travel_motion(*parts(layout), (share, 1.0))
    with drawing_style():
        figure = new_figure()
        ((found, ax),) = [
            (v, ax)
            for v, ax in view_axes(figure, motion, (0.3, 0.3, 9, 6))
            if v.axis.name == view
        ]
        return (
            motion,
            index,
            draw_layout(ax, motion, index, found, labels=labels, ghost=ghost),
        )


def test_parts_stand_where_the_motion_puts_them():
    layout = with_springs()
    motion, index, pose = drawn(layout)
    for name, one in layout.rods.items():
        ends = [frame(motion).pin(hole).T[index] for hole in (one.start, one.end)]
        # from the right: x to the right, z up
        expected = np.array([[p[0], p[2]] for p in ends])
        assert pose.artists[f"rod {name}"].get_xydata() == pytest.approx(expected)
    for name, one in layout.shafts.items():
        for arm_name in one.arms:
            pin = frame(motion).pin(Hole(shaft=name, arm=arm_name)).T[index]
            line = pose.artists[f"arm {name}.{arm_name}"].get_xydata()
            assert line == pytest.approx(
                np.array([[one.pivot[0], one.pivot[2]], [pin[0], pin[2]]])
            )
            assert pose.artists[f"pin {name}.{arm_name}"].get_xydata()[
                0
            ] == pytest.approx(pin[[0, 2]])
    spring = pose.artists["spring main"].get_xydata()
    assert spring[-1] == pytest.approx([0.194, 0.13])
    assert spring[0] == pytest.approx(
        frame(motion).pin(Hole(shaft="spindle", arm="spring")).T[index][[0, 2]]
    )
    assert {
        "pivot spindle",
        "ground spindle",
        "turn spindle",
        "anchor main",
        "torsion twist",
        "stop stop rest",
    } <= set(pose.artists)


def test_a_shaft_from_its_side_is_shortened():
    layout = three_ways()
    motion, index, pose = drawn(layout, view="along")
    pin = frame(motion).pin(Hole(shaft="pedal", arm="rod")).T[index]
    assert pose.artists["arm pedal.rod"].get_xydata()[1] == pytest.approx(
        [-pin[1], pin[2]]
    )
    assert "bearing pedal" in pose.artists
    assert not any(str(t).startswith("label rod 70.0 mm") for t in pose.artists)


def test_update_equals_drawing_anew():
    layout = with_springs()
    motion, _, pose = drawn(layout, labels="words")
    for index in (0, 17, len(motion.pad_travel) - 1):
        pose.update(motion, index)
        share = motion.pad_travel[index] / motion.pad_travel[-1]
        other_motion, other, fresh = drawn(layout, labels="words", share=float(share))
        assert other_motion.pad_travel[other] == pytest.approx(motion.pad_travel[index])
        for name, line in fresh.moving.items():
            assert pose.moving[name].get_xydata() == pytest.approx(
                line.get_xydata(), abs=1e-12
            )
            assert pose.moving[name].get_linestyle() == line.get_linestyle()
        assert [t.get_text() for t in pose.words.values()] == [
            t.get_text() for t in fresh.words.values()
        ]


def test_pull_and_push_by_moving_the_driven_end():
    """A rod pulls where, with its driver held, a longer rod would let the plate back.

    Independent of the signed angles: lengthen the rod a hair and see which way
    the driven shaft turns against the way it moves when the pedal goes down.
    """
    for layout in (hauler(), three_ways()):
        assembly = assemble(layout)
        travel = np.linspace(0.005, 0.05, 10)
        motion = sweep(assembly, travel)
        senses = pulls_and_pushes(motion)
        for loop in assembly.loops:
            name, driven = loop.link.rod.name, loop.link.driven.shaft
            fixed = {p.link.rod.name: p.length for p in assembly.loops}
            longer = layout
            for other, length in fixed.items():
                longer = longer.with_rod(other, length + (1e-6 if other == name else 0))
            shift = sweep(assemble(longer), travel).turns[driven] - motion.turns[driven]
            moving = np.gradient(motion.turns[driven])
            assert (
                senses[name].tolist() == (-np.sign(shift * moving)).astype(int).tolist()
            )


def test_pull_and_push_look_different_without_colour():
    _, _, pose = drawn(hauler())
    senses = {n: int(pose.track.senses[n][pose.index]) for n in ("first", "last")}
    assert set(senses.values()) == {1, -1}
    assert (
        pose.moving["rod first"].get_linestyle()
        != pose.moving["rod last"].get_linestyle()
    )
    assert len({str(d) for d in SENSE_DASHES.values()}) == 4
    texts = [t.get_text() for t in pose.ax.texts]
    assert any(t.startswith("rod first: push") for t in texts)
    assert any(t.startswith("rod last: pull") for t in texts)


def test_turning_words_name_their_viewer():
    _, _, pose = drawn(hauler())
    texts = [t.get_text().replace("\n", " ") for t in pose.ax.texts]
    assert (
        "spindle pedal down: this shaft turns anticlockwise (seen from the right)"
        in texts
    )
    mirrored = hauler()
    left = axis_from_vector((0.0, 1.0, 0.0))
    spindle = replace(
        mirrored.shafts["spindle"],
        axis=left,
        arms={"lever": arm("lever", 34, 180 + 38)},
    )
    mirrored = replace(
        mirrored,
        shafts={**mirrored.shafts, "spindle": spindle},
        throttles={"throttle": replace(mirrored.main, opens=-1)},
    )
    motion, _, pose = drawn(mirrored)
    assert motion.turns["spindle"][-1] < 0  # clockwise for its own viewer, on the left
    texts = [t.get_text().replace("\n", " ") for t in pose.ax.texts]
    assert (
        "spindle pedal down: this shaft turns anticlockwise (seen from the right)"
        in texts
    )


def test_sizes_are_those_of_the_layout():
    motion, index, pose = drawn(hauler())
    texts = [t.get_text() for t in pose.ax.texts]
    angle = -38 + np.degrees(motion.turns["spindle"][index])
    assert f"lever 34.0 mm\nat {angle:.1f}° (-38.0°)".replace("-", "−") in texts
    length = motion.assembly.loop("last").length * 1000
    assert f"rod last: pull\n{length:.1f} mm c/c" in texts


def test_plate_inset_stands_at_its_angle():
    layout = hauler()
    layout = replace(
        layout,
        throttles={
            "throttle": replace(
                layout.main, bore=0.04, spindle=0.008, closed_angle=radians(6)
            )
        },
    )
    motion, (index,) = travel_motion(*parts(layout), (0.5,))
    with drawing_style():
        (pose,) = draw_plates(new_figure(), motion, index, (0, 0, 2, 4))
    opening = float(motion.opening("throttle")[index])
    one, two = pose.plate.get_xydata()
    along = np.degrees(np.arctan2(*(two - one)[::-1]))
    assert along == pytest.approx(6 + np.degrees(opening))
    assert "open area" in pose.words.get_text()
    shut = plate_line(layout.main, 0.0)
    assert np.abs(shut[:, 0]) == pytest.approx([1, 1])  # it just meets both walls
    pose.update(-0.2)
    assert pose.plate.get_xydata() == pytest.approx(shut)
    assert "pushed against its idle stop" in pose.words.get_text()
    pose.update(radians(76))
    assert "on its full stop" in pose.words.get_text()


def test_ghost_is_the_other_position():
    motion, _, pose = drawn(hauler(), ghost=0)
    start = frame(motion).pin(Hole(shaft="pedal", arm="rod")).T[0]
    assert pose.artists["ghost rod first"].get_xydata()[0] == pytest.approx(
        start[[0, 2]]
    )
    assert pose.artists["rod first"].get_xydata()[0] != pytest.approx(start[[0, 2]])


def test_caution_and_banner_and_inches():
    figure = layout_figure(
        *parts(hauler()),
        banner="pressing shuts the plate",
        length_unit="in",
        paper=None,
    )
    words = [t.get_text() for t in figure.texts]
    assert CAUTION in words
    assert "DO NOT FIT: pressing shuts the plate" in words
    texts = [t.get_text() for t in figure.axes[0].texts]
    assert any("1.339 in" in t for t in texts)  # the 34 mm lever
    assert any(t.endswith(" in") for t in texts)  # the scale bar


def test_other_views_can_be_asked_for():
    views = [view_along(NAMED[name]) for name in ("across", "along")]
    figure = layout_figure(*parts(hauler()), views=views)
    check_labels(figure)
    assert [ax.get_gid() for ax in figure.axes[:2]] == [
        "seen from the right",
        "seen from behind",
    ]


def test_a_small_field_still_holds_the_drawing():
    motion, _ = travel_motion(*parts(three_ways()))
    views = views_needed(three_ways())
    sheet = set_out(views, [extent_of(motion, v) for v in views], (0, 0, 3, 2))
    assert sheet.scale > 0


def test_turned_about_the_view_axis_nothing_is_lost():
    odd = Axis(name="vector", u=(0, 1, 0), v=(0, 0, 1), n=(1, 0, 0), seen_from="ahead")
    fallen = view_along(odd).project(np.array([[1.0, 2.0, 3.0]]))
    assert fallen.tolist() == [[2.0, 3.0]]


@pytest.mark.parametrize("suffix", [".svg", ".pdf"])
def test_same_bytes_on_a_second_run(suffix):
    one, two = (save(layout_figure(*parts(with_springs())), suffix) for _ in range(2))
    assert one == two


def test_a_shaft_that_does_not_turn_has_no_arrow():
    def arrows(*pad: float) -> set[str]:
        motion = sweep(assemble(hauler()), np.array(pad))
        with drawing_style():
            figure = new_figure("a4")
            ((view, ax), *_) = view_axes(figure, motion, (0.3, 0.3, 11, 7))
            pose = draw_layout(ax, motion, 0, view)
        return {name for name in pose.fixed if name.startswith("turn ")}

    assert arrows(0.0, 0.03) == {f"turn {name}" for name in hauler().shafts}
    assert arrows(0.02, 0.02) == set()


def test_plates_stand_beside_or_under_three_views_where_their_corner_is_too_small():
    """What was drawn to find that out is taken away again."""
    layout = three_ways()
    motion = sweep(assemble(layout), np.linspace(0, 0.05, 5))
    views = [*views_needed(layout)]
    assert [v.axis.name for v in views] == ["across", "along", "upright"]
    wide = (0.3, 0.4, 11.0, 7.0)

    def fields(room):
        figure = new_figure("a4")
        drawn, side = layout_picture._fields(figure, motion, room, views)
        assert figure.axes == [ax for _, ax in drawn]
        assert [view for view, _ in drawn] == views
        return drawn, side

    with drawing_style():
        drawn, (_, low, width, height) = fields(wide)
        above = drawn[2][1].get_position()
        assert low >= above.y0 * new_figure("a4").get_size_inches()[1] - 1e-6
        assert plates_size(1, (width, height)) is not None
        small = (0.3, 0.4, 3.2, 2.6)
        _, (_, low, width, height) = fields(small)
    # As wide or as high as the whole room, not in a corner of it.
    assert width == pytest.approx(small[2]) or height == pytest.approx(small[3])


def test_a_list_that_finds_no_room_is_written_all_the_same_in_the_end(monkeypatch):
    asked = []

    def too_long(_figure, _poses, foot, *, last):
        asked.append((foot, last))
        return foot + 2.0

    monkeypatch.setattr(layout_picture, "write_keys", too_long)
    figure = layout_figure(*parts(hauler()))
    assert [last for _, last in asked] == [False] * (len(asked) - 1) + [True]
    feet = [foot for foot, _ in asked]
    assert feet[0] == 0.0
    assert feet == sorted(feet)
    assert feet[-1] <= figure.get_size_inches()[1] / 2
    assert any(ax.lines for ax in figure.axes)


def test_springs_without_an_anchor_are_named_at_their_arm_or_shaft():
    layout = ODD["torsion alone"]()
    motion = sweep(assemble(layout), np.linspace(0, 0.03, 3))
    with drawing_style():
        figure = new_figure("a4")
        axes = view_axes(figure, motion, (0.3, 0.3, 11, 7))
        pose = next(
            draw_layout(ax, motion, 0, view)
            for view, ax in axes
            if view.axis.name == "across"
        )
        drafts = {d.owners: d for d in spring_drafts(pose)}
    hook = drafts["arm cross shaft.outer",]
    twist = drafts["spring twist",]
    x, _, z = layout.shafts["cross shaft"].pin("outer")
    assert hook.spots[0] == pytest.approx((x, z))
    x, _, z = layout.shafts["spindle"].pivot
    assert twist.spots[0] == pytest.approx((x, z))
