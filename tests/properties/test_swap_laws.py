"""Laws of the side swap on random linkages."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from linkage.errors import AssemblyError
from linkage.model import NAMED, Shaft, axis_from_vector
from linkage.motion import assemble, sweep
from linkage.swap import swap_sides
from linkage.swap.moves import half_turn, mirror, moved_shaft
from tests.build import arm, rod, shaft, tree

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
