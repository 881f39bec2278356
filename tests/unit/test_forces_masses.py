"""Masses given and estimated, and how weight counts: whole opening, half shutting."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.forces import GRAVITY, failed, force_lines, returns, statics
from linkage.forces.balance import NOTHING
from linkage.forces.masses import guessed, lever_mass, masses
from linkage.model import stack
from linkage.model.refs import Ref
from linkage.motion import assemble, sweep
from tests.build import arm, hauler, rod, shaft, tree
from tests.sprung import NO_MASS, bare, torsion_spring, weightless, with_springs

LAST = frozenset({Ref("rod", "link")})


def level(spindle_deg=0, opens=1, **arms):
    """A level arm to the front on the spindle, that falls clockwise for the viewer."""
    more = [arm(n, length, angle) for n, (length, angle) in arms.items()]
    layout = tree(
        [
            shaft("pedal", (0, 0, 0), "across", arm("pad", 200, 90), arm("rod", 50, 90)),
            shaft("spindle", (200, 0, 0), "across", arm("lever", 50, 90), arm("level", 40, spindle_deg), *more),
        ],
        [rod("link", "pedal.rod", "spindle.lever")],
        travel_mm=40,
        presses=opens,
        opens=opens,
    )  # fmt: skip
    return with_springs(bare(layout), torsion_spring("k", "spindle", -opens, 1e-9, 1.0))


def weighed(layout, name="spindle", **masses_kg):
    one = layout.shafts[name]
    arms = {n: replace(a, mass=masses_kg.get(n, a.mass)) for n, a in one.arms.items()}
    return replace(layout, shafts={**layout.shafts, name: replace(one, arms=arms)})


def at(layout, *travel_mm):
    return sweep(assemble(layout), np.array(travel_mm or (0.0,)) / 1e3)


def of_weight(layout):
    """Return the closing torque of weight at the spindle, pedal at rest."""
    return statics(at(layout)).closing_torque["throttle"][0] - 1.0


# Masses.


def test_masses_that_are_not_given_are_estimated():
    layout = hauler()
    pedal = layout.shafts["pedal"]
    assert lever_mass(pedal, "pad") == pytest.approx(7850 * 0.02 * 0.005 * 0.18)
    found = masses(layout, "pedal", {"first": 0.1, "last": 0.2})
    told = [(m.hole.arm, m.value, m.share, m.rod) for m in found]
    assert told == [
        ("pad", pytest.approx(0.1413), 0.5, None),
        ("pad", 0.3, 1.0, None),
        ("rod", pytest.approx(0.05495), 0.5, None),
        ("rod", 0.05, 1.0, Ref("rod", "first")),
    ]
    # Who weighs the pedal's lever weighs its pad with it.
    known = weighed(layout, "pedal", pad=0.25)
    found = masses(known, "pedal", {"first": 0.1, "last": 0.2})
    assert [m.value for m in found if m.hole.arm == "pad"] == [0.25, 0.0]


def test_what_is_estimated_is_named_unless_it_is_given_in_some_row():
    layout = hauler()
    rods = {Ref("rod", "first"), Ref("rod", "last")}
    assert set(guessed(layout)) == rods | {
        Ref("arm", s.name, a) for s in layout.shafts.values() for a in s.arms
    }
    assert guessed(weightless(layout)) == ()
    known = weighed(layout, "pedal", pad=0.25)
    assert Ref("arm", "pedal", "pad") not in guessed(known)
    assert Ref("arm", "pedal", "pad") not in guessed(stack([known, layout]))
    assert Ref("arm", "pedal", "rod") in guessed(stack([known, layout]))


# How it counts.


@pytest.mark.parametrize(("opens", "share"), [(1, 0.5), (-1, -1.0)])
def test_weight_that_shuts_counts_half_and_weight_that_opens_whole(opens, share):
    # The arm falls clockwise; the plate opens anticlockwise, or clockwise.
    found = of_weight(weighed(level(opens=opens), level=0.3))
    assert found == pytest.approx(share * 0.3 * GRAVITY * 0.020, rel=1e-9)


def test_weight_that_shuts_does_not_make_good_weight_that_opens():
    # In balance on both sides of the shaft, but each side may have been weighed wrong.
    layout = weighed(level(back=(40, 180)), level=0.3, back=0.3)
    assert of_weight(layout) == pytest.approx(-0.5 * 0.3 * GRAVITY * 0.020, rel=1e-9)


def test_weight_counts_by_the_way_it_pulls_at_each_position():
    # Through the top: the arm leans to the front, then to the rear as the plate opens.
    layout = weighed(level(spindle_deg=84), level=0.3)
    motion = at(layout, 0, 10, 20, 21, 30, 40)
    found = statics(motion).closing_torque["throttle"] - 1.0
    angle = math.radians(84) + motion.turns["spindle"]
    shuts = 0.3 * GRAVITY * 0.020 * np.cos(angle)
    assert (shuts > 0).any()
    assert (shuts < 0).any()
    assert np.allclose(found, np.where(shuts > 0, shuts / 2, shuts), atol=1e-8)


def with_rod(layout, mass):
    return replace(layout, rods={"link": replace(layout.rods["link"], mass=mass)})


def falling(rest_deg, opens=1):
    """Both levers of a parallelogram at an angle, so that the rod rises or falls."""
    layout = tree(
        [
            shaft("pedal", (0, 0, 0), "across", arm("pad", 200, 90), arm("rod", 50, rest_deg)),
            shaft("spindle", (200, 0, 0), "across", arm("lever", 50, rest_deg)),
        ],
        [rod("link", "pedal.rod", "spindle.lever")],
        travel_mm=40,
        presses=opens,
        opens=opens,
    )  # fmt: skip
    layout = bare(layout)
    return with_springs(layout, torsion_spring("k", "spindle", -opens, 1e-9, 1.0))


# At 45° to the front anticlockwise lifts the rod, clockwise lets it down.
@pytest.mark.parametrize(
    ("opens", "whole", "parted"), [(1, 0.5, 0.0), (-1, -1.0, -1.0)]
)
def test_a_rod_hangs_on_the_plate_whole_once_it_has_parted_where_that_opens(
    opens, whole, parted
):
    layout = with_rod(falling(45, opens), 0.4)
    torque = 0.4 * GRAVITY * 0.050 * math.cos(math.radians(45))
    # Half the rod is at each end, and the levers turn alike: all of it is felt.
    assert of_weight(layout) == pytest.approx(whole * torque, rel=1e-9)
    # Parted, all of it may hang on the spindle, or none: what opens is what counts.
    motion = at(layout)
    (r,) = returns(motion, cases=[(failed("rod", "link"), "throttle")])
    assert r.closing_torque[0] - 1.0 == pytest.approx(parted * torque, abs=1e-9)


def test_the_weight_on_bearings_is_whole_whichever_way_it_turns():
    for back in (0, 180):
        lines = force_lines(at(weighed(level(spindle_deg=back), level=0.3)))
        places = lines.carries("spindle", NOTHING)[:, 0]
        half = -0.3 * GRAVITY / 2
        assert np.allclose(places, [0, half, 0, half, 0], atol=1e-9)


def test_weights_in_rows_are_those_of_each_alone():
    rng = np.random.default_rng(4)
    rows = [
        with_rod(
            weighed(
                level(spindle_deg=float(rng.uniform(0, 360)), back=(40, 170)),
                level=float(rng.choice([NO_MASS, 0.3])),
                back=float(rng.uniform(0.1, 0.5)),
            ),
            float(rng.uniform(0.1, 0.3)),
        )
        for _ in range(12)
    ]
    lines = force_lines(at(stack(rows), 0, 20))
    for gone in (NOTHING, LAST):
        many = lines.weight_work("spindle", gone)
        for i, one in enumerate(rows):
            alone = force_lines(at(one, 0, 20)).weight_work("spindle", gone)
            assert np.allclose(many[i], alone, rtol=1e-9, atol=1e-12)
