"""Laws of the side swap on random linkages."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from linkage.errors import AssemblyError
from linkage.model import NAMED, Cam, Shaft, axis_from_vector
from linkage.model.axes import add
from linkage.model.slide import slide_of
from linkage.motion import assemble, sweep
from linkage.swap import swap_sides
from linkage.swap.moves import half_turn, mirror, moved_shaft
from tests.build import arm, hole, rod, shaft, tree

ANGLE = st.floats(-180, 180)
OFFSET = st.floats(-200, 200)
PLACE = st.tuples(st.floats(-400, 400), st.floats(-400, 400), st.floats(-400, 400))
NAME = st.sampled_from(sorted(NAMED))
PART = st.floats(-1, 1)
VECTOR = st.tuples(PART, PART, PART).filter(lambda v: math.hypot(*v) > 0.1)
AXIS = st.one_of(NAME.map(NAMED.__getitem__), VECTOR.map(axis_from_vector))
MOVE = st.one_of(
    st.floats(-0.3, 0.3).map(mirror),
    st.tuples(PLACE, PLACE).map(
        lambda p: half_turn(tuple(c / 1e3 for c in p[0]), tuple(c / 1e3 for c in p[1]))
    ),
)


@given(
    axis=AXIS, pivot=PLACE, angle=ANGLE, offset=OFFSET, move=MOVE, turn=st.floats(-3, 3)
)
def test_a_moved_shaft_turns_as_its_moved_points_do(
    axis, pivot, angle, offset, move, turn
):
    old = shaft("s", pivot, axis, arm("a", 40, angle, offset))
    new, sense = moved_shaft(old, move)
    assert new.pin("a", sense * turn) == pytest.approx(
        move.point(old.pin("a", turn)), abs=1e-9
    )
    # The viewer is the nearer of the two there are.
    assert np.dot(new.axis.n, old.axis.n) >= -1e-9


def layouts(names):
    """Return random layouts: pedal, cross shaft, crank, spindle, about axes by name."""
    return st.builds(
        _layout,
        st.tuples(*[st.sampled_from(names)] * 2),
        st.lists(ANGLE, min_size=6, max_size=6),
        st.lists(OFFSET, min_size=6, max_size=6),
        st.sampled_from((1, -1)),
    )


def _layout(axes, angles, offsets, opens):
    a, o = angles, offsets
    return tree(
        [
            shaft("pedal", (0, 300, 0), "across", arm("pad", 180, -90), arm("rod", 60, a[0], 0)),
            shaft("cross shaft", (30, 150, 330), "across", arm("in", 55, a[1], -150), arm("out", 60, a[2], o[2])),
            shaft("crank", (90, -60, 130), axes[0], arm("in", 60, a[3], o[3] / 4), arm("out", 60, a[4], o[4] / 4)),
            shaft("spindle", (330, -90, 160), axes[1], arm("lever", 33, a[5], o[5] / 4)),
        ],
        [rod("up", "pedal.rod", "cross shaft.in"), rod("down", "cross shaft.out", "crank.in"), rod("carb", "crank.out", "spindle.lever")],
        travel_mm=40.0,
        opens=opens,
    )  # fmt: skip


ALL = ("across", "along", "upright")
SOME = settings(max_examples=60, suppress_health_check=[HealthCheck.filter_too_much])


def near(one: Shaft, two: Shaft) -> None:
    assert two.pivot == pytest.approx(one.pivot, abs=1e-9)
    assert two.axis == one.axis
    for a in one.arms.values():
        b = two.arms[a.name]
        assert (b.length, b.offset) == pytest.approx((a.length, a.offset), abs=1e-9)
        assert math.remainder(b.angle - a.angle, 2 * math.pi) == pytest.approx(
            0, abs=1e-9
        )


@SOME
@given(
    layout=layouts(ALL),
    plane=st.floats(-0.05, 0.3),
    kind=st.sampled_from(("mirrored", "turned")),
)
def test_swapping_twice_gives_the_first_layout(layout, plane, kind):
    once = swap_sides(layout, beyond="cross shaft", plane=plane, carburettor=kind).after
    twice = swap_sides(once, beyond="cross shaft", plane=plane, carburettor=kind).after
    for name, part in layout.shafts.items():
        near(part, twice.shafts[name])
    assert twice.main == layout.main


def turns_of(layout):
    try:
        motion = sweep(assemble(layout), np.linspace(0, 0.04, 21))
    except AssemblyError:
        assume(False)
    return motion


@SOME
@given(layout=layouts(ALL), plane=st.floats(-0.05, 0.3))
def test_a_mirror_leaves_the_curve_unchanged(layout, plane):
    """The throttle's own opening, jams and all, about axes of every kind."""
    swap = swap_sides(layout, beyond="cross shaft", plane=plane)
    old, new = turns_of(layout), turns_of(swap.after)
    np.testing.assert_allclose(
        new.opening("throttle"), old.opening("throttle"), atol=1e-7
    )
    for name in swap.moved:
        np.testing.assert_allclose(
            new.turns[name], swap.senses[name] * old.turns[name], atol=1e-7
        )


@SOME
@given(layout=layouts(("across",)), plane=st.floats(-0.05, 0.3))
def test_a_mirror_leaves_the_side_view_unchanged(layout, plane):
    after = swap_sides(layout, beyond="cross shaft", plane=plane).after
    for name, part in layout.shafts.items():
        for a in part.arms:
            x, _, z = part.pin(a)
            u, _, w = after.shafts[name].pin(a)
            assert (u, w) == pytest.approx((x, z), abs=1e-9)
    assert after.main.opens == layout.main.opens


@SOME
@given(layout=layouts(ALL), plane=st.floats(-0.05, 0.3))
def test_turning_reverses_the_opening_sense_but_of_an_upright_spindle(layout, plane):
    """Seen from the right, and from behind; half a turn about its own axis is none."""
    after = swap_sides(
        layout, beyond="cross shaft", plane=plane, carburettor="turned"
    ).after
    upright = layout.shafts["spindle"].axis.name == "upright"
    assert after.main.opens == (1 if upright else -1) * layout.main.opens
    x, _, z = (
        a - b
        for a, b in zip(
            layout.shafts["spindle"].pin("lever"),
            layout.shafts["spindle"].pivot,
            strict=True,
        )
    )
    u, _, w = (
        a - b
        for a, b in zip(
            after.shafts["spindle"].pin("lever"),
            after.shafts["spindle"].pivot,
            strict=True,
        )
    )
    assert (u, w) == pytest.approx((-x, z), abs=1e-9)


POINT = st.tuples(PART, PART, PART)


@given(
    one=POINT,
    two=POINT,
    pins=st.tuples(POINT, POINT),
    seen=AXIS,
    move=MOVE,
    way=st.floats(-0.3, 0.3),
)
def test_a_moved_slide_goes_as_its_moved_pins_do(one, two, pins, seen, move, way):
    """Toward the same end of its guide, whatever the move; its viewer is the nearer one."""
    assume(math.dist(one, two) > 0.05)
    along = np.subtract(two, one) / math.dist(one, two)
    assume(np.linalg.norm(np.cross(along, seen.n)) > 0.2)
    points = {"a": pins[0], "b": pins[1]}
    old = slide_of("bar", guide=(one, two), seen=seen, points=points, mass=0.3)
    new, sense = moved_shaft(old, move)
    assert sense == 1
    for pin, point in points.items():
        there = move.point(old.pin(pin, way))
        assert new.pin(pin, way) == pytest.approx(there, abs=1e-9)
        assert new.points[pin] == pytest.approx(move.point(point), abs=1e-9)
    assert np.dot(new.seen.n, old.seen.n) >= -1e-9
    assert (new.mass, new.guided) == pytest.approx((0.3, old.guided))


def slid_layouts():
    """Return random layouts: pedal, cross shaft, a slide of any direction, spindle."""
    return st.builds(
        _slid,
        st.sampled_from(ALL),
        st.lists(ANGLE, min_size=4, max_size=4),
        st.lists(st.floats(-120, 120), min_size=12, max_size=12),
    )


def _slid(axis, a, o):
    bar = slide_of(
        "bar",
        guide=((0.20, -0.03 + o[0] / 4e3, 0.30), (0.28, -0.03 + o[1] / 4e3, 0.30 + o[2] / 2e3)),
        seen=NAMED["across"],
        points={
            "in": (0.15, -0.03 + o[3] / 4e3, 0.30 + o[4] / 4e3),
            "out": (0.33, -0.03 + o[5] / 4e3, 0.30 + o[6] / 4e3),
        },
    )  # fmt: skip
    return tree(
        [
            shaft("pedal", (0, 300, 0), "across", arm("pad", 180, -90), arm("rod", 60, a[0], 0)),
            shaft("cross shaft", (30, 150, 330), "across", arm("in", 55, a[1], -150), arm("out", 60, a[2], o[7])),
            bar,
            shaft("spindle", (430, -90, 260), axis, arm("lever", 33, a[3], o[8] / 4)),
        ],
        [rod("up", "pedal.rod", "cross shaft.in"), rod("down", "cross shaft.out", "bar.in"), rod("carb", "bar.out", "spindle.lever")],
        travel_mm=40.0,
        opens=1,
    )  # fmt: skip


def near_too(one, two):
    """Hold two shafts or slides to be one."""
    if not one.slides:
        return near(one, two)
    for here, there in zip(one.guide, two.guide, strict=True):
        assert there == pytest.approx(here, abs=1e-9)
    for name, point in one.points.items():
        assert two.points[name] == pytest.approx(point, abs=1e-9)
    assert two.seen == one.seen
    return None


@SOME
@given(
    layout=slid_layouts(),
    plane=st.floats(-0.05, 0.3),
    kind=st.sampled_from(("mirrored", "turned")),
)
def test_swapping_slides_twice_gives_the_first_layout(layout, plane, kind):
    once = swap_sides(layout, beyond="cross shaft", plane=plane, carburettor=kind).after
    twice = swap_sides(once, beyond="cross shaft", plane=plane, carburettor=kind).after
    for name, part in layout.shafts.items():
        near_too(part, twice.shafts[name])
    assert twice.main == layout.main


@SOME
@given(layout=slid_layouts(), plane=st.floats(-0.05, 0.3))
def test_a_mirror_leaves_the_curve_of_a_slide_unchanged(layout, plane):
    """The throttle's own opening and the way of the bar, jams and all."""
    swap = swap_sides(layout, beyond="cross shaft", plane=plane)
    old, new = turns_of(layout), turns_of(swap.after)
    np.testing.assert_allclose(
        new.opening("throttle"), old.opening("throttle"), atol=1e-7
    )
    assert swap.senses["bar"] == 1
    np.testing.assert_allclose(new.turns["bar"], old.turns["bar"], atol=1e-7)


#: A profile of points as turns [deg] and radii [mm], and how its roller stands.
POINTS = ((0, 42.1), (15, 44.4), (30, 48.2), (45, 55.1), (60, 66.6), (70, 77.6))


def cam_layouts():
    """Return random layouts with a cam: its shaft and the roller's about any axis by name."""
    return st.builds(
        _cammed,
        st.sampled_from(ALL),
        st.lists(ANGLE, min_size=2, max_size=2),
        st.sampled_from((1, -1)),
        st.floats(-60, 60),
    )


def _cammed(axis, a, goes, offset):
    basis = NAMED[axis]
    away = add((0.0, 0.0, 0.0), basis.u, 60.0)
    pivot = (80.0, -60.0, 130.0)
    cam = Cam(
        name="cam",
        start=hole("cross.cam"),
        end=hole("spindle.roller"),
        roller=0.008,
        goes=goes,
        points=tuple((math.radians(t), r / 1e3) for t, r in POINTS),
        base=0.0421,
    )
    return tree(
        [
            shaft("pedal", (0, 300, 0), "across", arm("pad", 180, -90), arm("rod", 60, a[0], 0)),
            shaft("cross", pivot, axis, arm("in", 55, a[1], -offset), arm("cam", 42.1, goes * 16, offset)),
            shaft("spindle", tuple(map(float, np.add(pivot, away))), axis, arm("roller", 28, goes * 119.5, offset)),
        ],
        [rod("up", "pedal.rod", "cross.in"), cam],
        travel_mm=40.0,
        opens=-goes,
    )  # fmt: skip


@SOME
@given(layout=cam_layouts(), plane=st.floats(-0.05, 0.3))
def test_a_mirror_leaves_the_curve_of_a_cam_unchanged(layout, plane):
    """A cam of the other hand pushes its roller in the mirror as the old one did."""
    swap = swap_sides(layout, beyond="pedal", plane=plane)
    old, new = turns_of(layout), turns_of(swap.after)
    for name in swap.moved:
        np.testing.assert_allclose(
            new.turns[name], swap.senses[name] * old.turns[name], atol=1e-7
        )
    other = swap.senses["cross"] < 0
    assert swap.cams == (("cam",) if other else ())
    before, after = layout.rods["cam"], swap.after.rods["cam"]
    assert after.goes == (-before.goes if other else before.goes)
    assert (after.points, after.roller) == (before.points, before.roller)


@SOME
@given(layout=cam_layouts(), plane=st.floats(-0.05, 0.3))
def test_swapping_a_cam_twice_gives_the_first_layout(layout, plane):
    once = swap_sides(layout, beyond="pedal", plane=plane).after
    twice = swap_sides(once, beyond="pedal", plane=plane).after
    for name, part in layout.shafts.items():
        near(part, twice.shafts[name])
    assert twice.rods["cam"] == layout.rods["cam"]
    assert twice.main == layout.main
