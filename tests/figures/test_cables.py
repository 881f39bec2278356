"""Cables and drums on pictures: wire, sheath, rim and what hangs, read back and to scale.

Everything is taken from the artists and held against geometry that is written out here
anew: tangents, arc lengths, the turn of the shaft. Sizes are invented.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.integrate import quad

from linkage.drawing.cables import smooth
from linkage.drawing.ghost import draw_ghost
from linkage.drawing.included import included_angles
from linkage.drawing.layout import draw_layout, layout_figure, travel_motion, view_axes
from linkage.drawing.layout_labels import Sizes
from linkage.drawing.part_labels import _radius_words
from linkage.drawing.pose import SENSE_DASHES, THIN, WIRE
from linkage.drawing.sizing import sizing_figure
from linkage.drawing.springs import springs_figure
from linkage.drawing.style import drawing_style, new_figure
from linkage.drawing.views import _rims, depth, extent_of, views_needed
from linkage.forces.summary import spring_card
from linkage.model import Hole
from linkage.motion import assemble, frame, working_travel
from linkage.search.arm import size_arms
from linkage.search.sized import Choice
from tests.cabled import crossed, drum, push_pull, snail
from tests.figures.clear import faults


def low():
    """Return a pedal whose slack wire hangs lower than anything else."""
    return drum(
        **{
            "angle = -90": "angle = 90",
            "length = 100, angle = 90": "length = 100, angle = -90",
            "[110, 0, 100]": "[110, 0, -100]",
            "slack = 1": "slack = 12",
        }
    )


LAYOUTS = {
    "drum": drum,
    "snail": snail,
    "crossed": crossed,
    "push-pull": push_pull,
    "low": low,
}
SHARES = (0.0, 1.0)


@cache
def posed(name, share):
    """Return the poses of every view of a layout at a share of its travel."""
    assembly = assemble(LAYOUTS[name]())
    working = working_travel(assembly)
    with drawing_style():
        figure = new_figure("a4")
        motion, (index,) = travel_motion(assembly, working, (share,))
        axes = view_axes(figure, motion, (0.3, 0.4, 9.0, 7.0))
        return [draw_layout(ax, motion, index, view) for view, ax in axes]


def data(artist):
    return np.asarray(artist.get_xydata(), float)


def length(points):
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def ends(pose, name):
    """Return, of both ends of a cable, its line, its hole, and its sheath's end."""
    cable = pose.track.motion.assembly.layout.rods[name]
    lines = (data(pose.moving[f"{part} {name}"]) for part in ("rod", "wire"))
    return [
        (line, hole, pose.view.project(np.array(end.point, float)))
        for line, hole, end in zip(
            lines, (cable.start, cable.end), cable.ends, strict=True
        )
    ]


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("name", LAYOUTS)
def test_wire_goes_from_its_nipple_to_its_sheath(name, share):
    for pose in posed(name, share):
        motion = pose.track.motion
        for cable in motion.assembly.layout.rods:
            for line, hole, sheath in ends(pose, cable):
                pin = pose.view.project(frame(motion).pin(hole).T[pose.index])
                np.testing.assert_allclose(line[0], pin, atol=1e-9)
                np.testing.assert_allclose(line[-1], sheath, atol=1e-9)
                dot = pose.moving[f"pin {hole}"]
                np.testing.assert_allclose(data(dot)[0], pin, atol=1e-9)
                assert dot.get_markerfacecolor() == "#000000"


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("name", LAYOUTS)
def test_a_sheath_stands_and_goes_through_its_points(name, share):
    for pose in posed(name, share):
        for cable in pose.track.motion.assembly.layout.rods.values():
            way = data(pose.fixed[f"sheath {cable.name}"])
            np.testing.assert_allclose(way, data(pose.fixed[f"core {cable.name}"]))
            for point in cable.route:
                flat = pose.view.project(np.array(point, float))
                assert np.hypot(*(way - flat).T).min() < 1e-9
            for word, end, at in zip(("from", "to"), cable.ends, (0, -1), strict=True):
                collar = pose.fixed[f"collar {cable.name} {word}"]
                np.testing.assert_allclose(data(collar)[0], way[at])
                black = collar.get_markerfacecolor() == "#000000"
                assert black == (end.on == "engine")


def test_a_smooth_way_turns_no_corner_as_its_points_do():
    route = [(0, 0, 0), (0.2, 0, 0), (0.2, 0.1, 0.2), (0.5, 0.1, 0.2)]
    steps = np.diff(smooth(route), axis=0)
    steps /= np.linalg.norm(steps, axis=1)[:, None]
    turns = np.degrees(np.arccos(np.clip((steps[1:] * steps[:-1]).sum(axis=1), -1, 1)))
    assert turns.max() < 20  # the points turn by 90° and more than 60°
    two = smooth(route[:2])
    np.testing.assert_allclose(two, route[:2])


@pytest.mark.parametrize("share", [0.3, 1.0])
def test_the_free_wire_is_as_long_as_it_is_in_a_flat_layout(share):
    """On the drum an arc, then straight on the tangent: in all what the adjuster left."""
    (pose, *_) = posed("drum", share)
    loop = pose.track.motion.assembly.loop("main")
    lines = [line for line, _, _ in ends(pose, "main")]
    # 73 points of a ring: its corners are within a two thousandth of the circle.
    assert sum(map(length, lines)) == pytest.approx(float(loop.length), rel=5e-4)


@pytest.mark.parametrize("share", [0.3, 1.0])
def test_wire_leaves_a_drum_on_the_tangent_on_its_own_side(share):
    (pose, *_) = posed("drum", share)
    middle = pose.view.project(
        np.array(pose.track.motion.assembly.layout.shafts["spindle"].pivot)
    )
    line, hole, _ = ends(pose, "main")[1]
    assert str(hole) == "spindle.drum"
    foot, sheath = line[-2], line[-1]
    out, way = foot - middle, sheath - foot
    assert np.hypot(*out) == pytest.approx(0.029, abs=1e-9)
    assert abs(out @ way) / np.hypot(*out) / np.hypot(*way) < 1e-6
    # A pull turns it clockwise, as the pedal does.
    assert out[0] * way[1] - out[1] * way[0] < 0
    on = np.hypot(*(line[:-1] - middle).T)
    np.testing.assert_allclose(on, 0.029, atol=1e-9)


def test_less_wire_lies_on_the_drum_the_further_it_turns():
    middle = (0.6, 0.25)
    laid = []
    for share in (0.0, 0.3, 1.0):
        line = ends(posed("drum", share)[0], "main")[1][0]
        on = line[np.isclose(np.hypot(*(line - middle).T), 0.029, atol=1e-6)]
        laid.append(length(on))
    first, between, last = laid
    assert first > between > last > 0
    pose = posed("drum", 1.0)[0]
    turned = abs(float(pose.track.motion.turns["spindle"][pose.index]))
    assert first - last == pytest.approx(0.029 * turned, rel=2e-3)


@pytest.mark.parametrize("name", ["drum", "snail"])
def test_a_rim_turns_with_its_shaft(name):
    still, moved = (posed(name, share)[0] for share in (0.0, 1.0))
    middle = still.view.project(np.array([0.6, -0.2, 0.25]))
    one, two = (data(p.moving["arm spindle.drum"]) - middle for p in (still, moved))
    turn = float(moved.track.motion.turns["spindle"][moved.index])
    assert abs(turn) > 0.5
    c, s = np.cos(turn), np.sin(turn)
    np.testing.assert_allclose(one @ np.array([[c, s], [-s, c]]), two, atol=1e-9)
    np.testing.assert_allclose(one[0], 0, atol=1e-9)  # a spoke to the nipple first


def test_a_snail_has_the_radii_of_the_file_and_is_closed_to_its_middle():
    pose = posed("snail", 0.0)[0]
    layout = pose.track.motion.assembly.layout
    rim = data(pose.moving["arm spindle.drum"]) - pose.view.project(
        np.array(layout.shafts["spindle"].pivot, float)
    )
    arm = layout.shafts["spindle"].arms["drum"]
    np.testing.assert_allclose(rim[-1], 0, atol=1e-12)
    for turn, radius in arm.rim:  # grows evenly, so that nothing of it is a hollow
        angle = arm.angle + arm.wound * turn
        at = radius * np.array([np.cos(angle), np.sin(angle)])
        assert np.hypot(*(rim - at).T).min() < 1e-9


@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
def test_slack_wire_hangs_as_far_as_it_is_too_long(share):
    pose = posed("drum", share)[0]
    loop = pose.track.motion.assembly.loop("main")
    turns = (pose.track.motion.pair(hole.shaft) for hole in loop.link.holes)
    left = float(np.asarray(loop.slack(*turns))[pose.index])
    assert (left > 1e-4) == (share == 0)
    # From a bare arm: nipple, foot and sheath, and points between where it hangs.
    assert (len(ends(pose, "main")[0][0]) == 3) == (left == 0)
    more = []
    for line, _, _ in ends(pose, "main"):
        if not left:
            continue
        part = line[-11:]  # off the drum
        chord = part[-1] - part[0]
        across = np.array([chord[1], -chord[0]]) / np.hypot(*chord)
        deep = float(np.abs((part - part[0]) @ across).max())
        assert part[5][1] < (part[0] + 0.5 * chord)[1]  # it hangs down
        more.append(longer(deep, float(np.hypot(*chord))))
    # Both lie in planes seen square on, so that nothing of it is foreshortened.
    assert sum(more) == pytest.approx(left, rel=0.02)


def longer(deep, span):
    """Return by how much a parabola of a depth is longer than its chord, by integration."""
    arc, _ = quad(lambda s: np.hypot(span, 4 * deep * (1 - 2 * s)), 0, 1)
    return arc - span


def test_slack_and_push_are_told_by_the_line():
    looks = {}
    for share in (0.0, 1.0):
        pose = posed("drum", share)[0]
        for part in ("rod", "wire"):
            line = pose.moving[f"{part} main"]
            looks[share, part] = (line.get_linewidth(), line.get_linestyle())
    assert {looks[0.0, part] for part in ("rod", "wire")} == {(THIN, "--")}
    assert {looks[1.0, part] for part in ("rod", "wire")} == {(WIRE, "-")}
    pushing = posed("push-pull", 0.3)[0].moving["rod main"]
    assert pushing.get_linestyle() == "--"
    assert SENSE_DASHES[-1] != "-"


def test_labels_say_what_a_cable_and_a_drum_are():
    labels = [n for n in posed("drum", 1.0)[0].artists if n.startswith("label ")]
    said = " | ".join(labels)
    assert "label cable main: pull" in said
    assert "of wire free" in said
    assert "rod" not in said
    assert "drum R 29.0 mm" in said
    rest = " | ".join(posed("drum", 0.0)[0].artists)
    assert "cable main: slack\n1.0 mm hangs loose,\n" in rest
    assert "drum R 22.0 mm to 40.0 mm" in " | ".join(posed("snail", 0.0)[0].artists)
    both = " | ".join(posed("push-pull", 0.0)[0].artists)
    assert "cable main: push\npush-pull\n" in both
    assert "sheath held on the engine" in said
    assert "sheath held on the body" in said


def test_a_snail_of_another_radius_is_told_and_framed_as_large_as_it_is():
    """Its end was told, and given room, as the file had it before it was scaled."""
    hole = Hole(shaft="spindle", arm="drum")
    larger = snail().with_arm(hole, length=0.033)
    assert _radius_words(larger.shafts["spindle"].arms["drum"], Sizes()) == "R 33.0 mm to 60.0 mm"  # fmt: skip
    centre = np.array(larger.shafts["spindle"].centre("drum"))
    (ring,) = _rims(larger)
    np.testing.assert_allclose(np.linalg.norm(ring - centre, axis=1), 0.060)


def test_all_of_a_sheath_and_a_drum_is_within_the_view():
    for name in LAYOUTS:
        for pose in [*posed(name, 0.0), *posed(name, 1.0)]:
            left, low, right, high = extent_of(pose.track.motion, pose.view)
            lines = [
                a
                for n, a in pose.artists.items()
                if n.startswith(("sheath", "rod ", "wire ", "arm "))
            ]
            points = np.vstack([data(line) for line in lines])
            assert points[:, 0].min() > left - 1e-9
            assert points[:, 0].max() < right + 1e-9
            assert points[:, 1].min() > low - 1e-9
            assert points[:, 1].max() < high + 1e-9


def test_another_position_is_drawn_pale_with_its_wire_and_its_rim():
    pose = posed("snail", 0.0)[0]
    motion = pose.track.motion
    with drawing_style():
        ax = new_figure().add_axes((0, 0, 1, 1))
        ax.set_xlim(-1, 1)
        ax.set_ylim(-1, 1)
        ghost = draw_ghost(ax, motion, len(motion.pad_travel) - 1, pose.view)
    full = posed("snail", 1.0)[0]
    for part, other in (
        ("rod main", "rod main"),
        ("wire main", "wire main"),
        ("arm spindle.drum",) * 2,
    ):
        np.testing.assert_allclose(
            data(ghost[f"ghost {part}"]), data(full.moving[other]), atol=1e-9
        )


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("name", LAYOUTS)
def test_their_pictures_can_be_read(name, share):
    assembly = assemble(LAYOUTS[name]())
    ghost = 0.0 if share > 0.5 else 1.0
    figure = layout_figure(assembly, working_travel(assembly), share=share, ghost=ghost)
    assert faults(figure, figure.axes) == []


def test_a_drum_held_by_its_stop_is_told_of_its_cable():
    """The wire lies the wrong way round: the pedal would shut the plate further."""
    layout = drum(**{'"clockwise" }': '"anticlockwise" }', "279]]": "200]]"})
    assembly = assemble(layout)
    working = working_travel(assembly)
    figure = layout_figure(assembly, working, share=1.0, ghost=0.0)
    said = " | ".join(t.get_text() for ax in figure.axes for t in ax.texts)
    assert "the cable cannot take it along" in said
    assert "the rod" not in said
    assert faults(figure, figure.axes) == []


def test_the_arm_chooser_speaks_of_the_radius_of_a_drum():
    layout = drum()
    angles = (float(layout.shafts["spindle"].arms["drum"].angle),)
    choice = Choice(
        hole=Hole(shaft="spindle", arm="drum"),
        lengths=(0.026, 0.029, 0.033),
        angles=angles,
    )
    figure = sizing_figure(size_arms(layout, [choice]), layout)
    labels = [(ax.get_xlabel(), ax.get_ylabel()) for ax in figure.axes]
    assert (
        "radius of drum spindle.drum [mm]",
        "least angle of\narm and cable [°]",
    ) in labels


def test_the_spring_card_tells_where_a_cable_is_slack():
    assembly = assemble(drum())
    figure = springs_figure(spring_card(assembly, working_travel(assembly)))
    said = " ".join(t.get_text() for t in figure.texts)
    assert "cable main is slack from 0.0 mm to " in said
    assert "rod main" not in said


def test_a_drum_has_no_included_angle():
    layout = crossed()
    assert [one.shaft for one in included_angles(layout)] == ["cross shaft"]
    wound = layout.shafts["cross shaft"].arms["in"]
    shaft = replace(
        layout.shafts["cross shaft"],
        arms={**layout.shafts["cross shaft"].arms, "in": replace(wound, wound=1)},
    )
    layout = replace(layout, shafts={**layout.shafts, "cross shaft": shaft})
    assert included_angles(layout) == []


def test_a_sheath_out_of_the_plane_asks_for_a_second_view():
    layout = push_pull()
    assert depth(layout, views_needed(layout)[0]) == pytest.approx(0.04)
    assert len(views_needed(layout)) == 2
    cable = layout.rods["main"]
    flat = replace(cable, through=tuple((x, 0.0, z) for x, _, z in cable.through))
    assert len(views_needed(replace(layout, rods={"main": flat}))) == 1
