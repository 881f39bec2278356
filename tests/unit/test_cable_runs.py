"""Free runs of wire to levers, drums and snails, and the cable that is made of two.

Not here: the same against wires laid point by point (`tests/independent/test_cables.py`).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.connect.cable import CableConnector, run_of, sheath_ends
from linkage.connect.snail import snail_run
from linkage.errors import ReachError
from linkage.model.rows import stack
from linkage.motion import assemble
from tests.build import arm, shaft
from tests.cabled import drum
from tests.independent.random_wires import case, push_pull, with_arm

KINDS = ("lever", "drum", "snail")


def made(kind, seed=1):
    """Return the run at the driven end, the sense of its pull, and its turns."""
    found = case(seed, ("lever", kind))
    link = found.layout.links[0]
    run = run_of(found.layout, link.driven, sheath_ends(link)[1])
    return run, found.wire.pulls * np.linspace(0, 1.0, 41)


def pair(turns):
    return np.cos(turns), np.sin(turns)


@pytest.mark.parametrize("kind", KINDS)
def test_a_run_and_its_turn_are_each_others_inverse(kind):
    run, turns = made(kind)
    length = run.length(pair(turns))
    cosine, sine, reach = run.at(length)
    np.testing.assert_allclose(np.arctan2(sine, cosine), turns, atol=1e-9)
    assert (reach > 0).all()
    assert (np.diff(length) < 0).all()
    assert run.ok
    assert run.least < length.min() < length.max() < run.most
    assert length[0] == pytest.approx(float(run.length((1.0, 0.0))))


def test_past_its_longest_and_shortest_a_lever_does_not_reach():
    run, _ = made("lever")
    for length in (run.most * 1.01, run.least * 0.99):
        cosine, _, reach = run.at(np.array([length]))
        assert reach[0] < 0
        assert np.isnan(cosine[0])


@pytest.mark.parametrize("kind", ["drum", "snail"])
def test_a_drum_that_is_unwound_is_a_bare_arm(kind):
    run, turns = made(kind)
    sense = np.sign(turns[-1])
    still = float(run.wound((1.0, 0.0)))
    past = sense * (still + np.array([0.05, 0.3]))
    assert (run.wound(pair(past)) == 0).all()
    found = case(1, ("lever", kind))
    link = found.layout.links[0]
    bare = with_arm(found.layout, "spindle", wound=0, rim=())
    plain = run_of(bare, link.driven, sheath_ends(link)[1])
    # Of a drum to the last digit; a snail keeps what its sheath is aside as at rest.
    near = 1e-12 if kind == "drum" else 1e-5
    np.testing.assert_allclose(run.length(pair(past)), plain.length(pair(past)), atol=near)  # fmt: skip
    foot = run.foot(pair(past))
    np.testing.assert_allclose(foot.radius, found.layout.shafts["spindle"].arms["wire"].length)  # fmt: skip
    assert (np.asarray(foot.turn) == 0).all()
    np.testing.assert_allclose(run.by_radius(pair(past)), plain.by_radius(pair(past)), atol=2e-3)  # fmt: skip


def test_a_sheath_that_ends_within_a_drum_is_not_in_order():
    on = shaft("s", (0, 0, 0), "across", replace(arm("wire", 30, 0), wound=1))
    found = case(1, ("lever", "drum")).layout
    layout = found.with_shaft(replace(on, name="spindle"))
    link = layout.links[0]
    assert not run_of(layout, link.driven, (0.01, 0.0, 0.01)).ok
    assert run_of(layout, link.driven, (0.03, 0.0, 0.01)).ok
    snail = with_arm(layout, "spindle", rim=((0.0, 0.03), (math.pi, 0.06)))
    assert not run_of(snail, link.driven, (0.03, 0.0, 0.01)).ok
    assert run_of(snail, link.driven, (0.09, 0.0, 0.01)).ok


def cable(layout, **more):
    return replace(layout, rods={"wire": replace(layout.rods["wire"], **more)})


@pytest.mark.parametrize("far", [-1, 1])
def test_a_push_pull_cable_that_does_not_reach_says_by_how_much(far):
    layout = push_pull(case(0, ("lever", "lever"))).layout
    loop = assemble(layout).loop("wire")
    ends = loop.runs[0].length(pair(loop.driver_rest)) + np.array([loop.runs[1].least, loop.runs[1].most])  # fmt: skip
    length = ends[0] - 0.01 if far < 0 else ends[1] + 0.02
    with pytest.raises(ReachError) as caught:
        assemble(cable(layout, length=float(length)))
    word = "10.0 mm too short" if far < 0 else "20.0 mm too long"
    assert word in caught.value.message
    assert caught.value.key == ("cables", "wire", "wire_length")


@pytest.mark.parametrize("rim", ["", ", rim = [[0, 29], [100, 31], [300, 34]]"])
def test_a_wire_too_short_by_more_than_half_a_turn_of_its_drum_is_refused(rim):
    """It was put together at a turn that is not so, and told to jam at some pad travel."""
    given = f'angle = 90, wound = "clockwise"{rim} }}'
    layout = drum(**{'angle = 150, wound = "clockwise" }': given})
    fits = assemble(layout).loop("main").rod
    least = fits.runs[1].least
    turns = -np.linspace(0, math.pi, 721)  # clockwise, as a pull turns it
    assert least == pytest.approx(float(fits.runs[1].length(pair(turns)).min()))
    near = fits.runs[0].length((1.0, 0.0))
    layouts = []
    for more in (0.002, -0.003):
        whole = replace(
            layout.rods["main"], length=float(near + least) + more, lost=0.0
        )
        layouts.append(replace(layout, rods={"main": whole}))
    loop = assemble(layouts[0]).loop("main")
    still = np.cos(loop.rest), np.sin(loop.rest)
    assert loop.rod.apart((1.0, 0.0), still) == pytest.approx(loop.length)
    with pytest.raises(ReachError, match=r"3\.0 mm too short for `spindle\.drum`"):
        assemble(layouts[1])
    assert assemble(stack(layouts)).ok[:, 0].tolist() == [True, False]


def test_what_a_wire_weighs_gives_and_bears():
    layout = push_pull(case(0, ("lever", "lever"))).layout
    loop = assemble(layout).loop("wire")
    assert isinstance(loop, CableConnector)
    assert loop.push_limit is None
    whole = loop.length + layout.rods["wire"].way
    metal = 0.76 * math.pi / 4 * 0.0015**2
    assert loop.mass == pytest.approx(7850 * metal * whole)
    assert loop.stretch == pytest.approx(whole / (150e9 * metal))
    told = assemble(cable(layout, push_limit=80.0, mass=0.02, wire=0.003)).loop("wire")
    assert (told.push_limit, told.mass) == (80.0, 0.02)
    assert told.stretch == pytest.approx(loop.stretch / 4)
    rows = assemble(stack([cable(layout, push_limit=p) for p in (0.0, 80.0)]))
    np.testing.assert_array_equal(rows.loop("wire").push_limit[:, 0], [np.nan, 80.0])


@pytest.mark.parametrize("kind", KINDS)
def test_rows_of_a_run_are_taken_alone(kind):
    base = case(1, ("lever", kind)).layout
    radius = base.shafts["spindle"].arms["wire"].length
    layouts = [with_arm(base, "spindle", length=radius * k) for k in (0.98, 1.0, 1.02)]
    some = assemble(stack(layouts)).loop("wire").take(np.array([2, 0]))
    turns = np.linspace(0, 0.3, 7)
    for i, which in enumerate((2, 0)):
        alone = assemble(layouts[which]).loop("wire")
        for ours, theirs in zip(some.rod.runs, alone.rod.runs, strict=True):
            length = np.broadcast_to(ours.length(pair(turns)), (2, len(turns)))
            np.testing.assert_array_equal(length[i], theirs.length(pair(turns)))
            by = np.broadcast_to(ours.by_radius(pair(turns)), (2, len(turns)))
            np.testing.assert_array_equal(by[i], theirs.by_radius(pair(turns)))


@pytest.mark.parametrize("sense", [1, -1])
@pytest.mark.parametrize("radii", [(20, 30, 45), (45, 30, 20)])
def test_corners_take_over_one_after_the_other_wherever_the_nipple_is(sense, radii):
    """With the nipple short of where the wire leaves some edges fell a whole turn behind."""
    rim = tuple(
        (math.radians(turn), radius / 1e3)
        for turn, radius in zip((0, 60, 120), radii, strict=True)
    )
    for angle in range(0, 360, 3):
        snail = replace(
            arm("drum", radii[0], angle), wound=sense, rim=rim, length=radii[0] / 1e3
        )
        spindle = shaft("spindle", (0, 0, 0), "across", snail)
        run = snail_run(spindle, snail, (0.2, 0.0, 0.05))
        assert np.all(np.diff(sense * run.corner_turns) < 0)
