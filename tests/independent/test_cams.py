"""Where a cam holds its roller, against a search for contact among points of its profile.

The profile is walked here point by point from the arcs as the file has them, or laid
through its points by SciPy's root finder of a circle's centre; the roller's arm is turned
until its circle just touches the nearest point. Rates are held to central differences,
the push to the work of the foot.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage.forces import statics
from linkage.model.profile import on, through
from linkage.motion import assemble, frame, sweep, working_travel
from tests.cammed import cam_layout, cam_of
from tests.sprung import bare, torsion_spring, with_springs

#: A base circle, a flank and a nose, and what they push.
ARCS = ((30.0, 20.0), (90.0, 22.0), (12.0, 60.0))
PLACE = {"at": 70.0, "away": (-45.0, 0.0), "reach": 69.5, "angle": 30.8, "opens": 1}


def three_arcs(**more):
    cam = cam_of(30.0, roller=16.0, arcs=ARCS, **more)
    return cam_layout(cam, **PLACE, travel=62.0)


def walked(first, arcs, step=2e-5):
    """Return points of a profile, x along the cam's arm, y in the sense it goes. [mm]."""
    at, place = 0.0, np.array([first, 0.0])
    points = [place]
    for radius, angle in arcs:
        turns = at + np.linspace(
            0, math.radians(angle), round(math.radians(angle) / step)
        )
        centre = place - radius * np.array([math.cos(at), math.sin(at)])
        arc = centre + radius * np.column_stack([np.cos(turns), np.sin(turns)])
        points += [*arc]
        at, place = turns[-1], arc[-1]
    return np.array(points)


def pushed(profile, turn, *, at, away, reach, angle, roller, goes=-1, opens=1):
    """Return the turn of the roller's arm that a search finds; 0 where it is clear."""
    along = math.radians(at) + turn
    e = np.array([math.cos(along), math.sin(along)])
    f = goes * np.array([-e[1], e[0]])
    there = profile[:, :1] * e + profile[:, 1:] * f

    def clear(arm):
        pin = math.radians(angle) + arm
        middle = np.array(away) + reach * np.array([math.cos(pin), math.sin(pin)])
        return np.hypot(*(there - middle).T).min() - roller / 2

    if clear(0.0) >= 0:
        return 0.0
    tries = opens * np.linspace(0.0, 1.5, 61)
    ahead = next(t for t in tries if clear(t) > 0)
    return brentq(clear, ahead - tries[1], ahead, xtol=1e-12)


def test_three_arcs_hold_the_roller_where_a_search_finds_it():
    layout = three_arcs()
    working = working_travel(assemble(layout))
    assert working.end == pytest.approx(math.radians(62))
    turns = np.linspace(0, working.end, 14)
    ours = sweep(assemble(layout), turns).turns["spindle"]
    profile = walked(30.0, ARCS)
    place = {**PLACE, "roller": 16.0}
    theirs = [pushed(profile, float(t), **place) for t in turns]
    np.testing.assert_allclose(ours, theirs, atol=2e-6)
    assert theirs[0] == 0 < theirs[-1]
    assert len({round(x, 3) for x in theirs}) >= 8


POINTS = ((0, 30), (12, 32.5), (25, 37), (40, 44), (55, 52), (68, 59))


@pytest.mark.parametrize("goes", [1, -1])
def test_a_profile_by_points_holds_it_too(goes):
    """Either way round, and mirrored in place: the roller turns the other way."""
    cam = cam_of(30.0, roller=14.0, points=POINTS, goes=goes)
    place = {
        "at": 90 + goes * 20,
        "away": (goes * 45.0, 0.0),
        "reach": 69.0,
        "angle": 90 + goes * 59.5,
        "opens": -goes,
    }
    layout = cam_layout(cam, **place, travel=40.0, presses=-goes)
    pads = np.linspace(0, math.radians(40), 9)
    ours = sweep(assemble(layout), pads).turns["spindle"]
    profile = np.array(
        [
            on(arc, normal)
            for arc in through(cam.points)
            for normal in np.linspace(arc.begins, arc.ends, 4000)
        ]
    )
    here = {**place, "roller": 14.0, "goes": goes}
    theirs = [pushed(1e3 * profile, -goes * float(p), **here) for p in pads]
    np.testing.assert_allclose(ours, theirs, atol=1e-6)
    assert abs(theirs[-1]) > 0.15


def test_the_profile_goes_smoothly_through_its_points():
    """Through each, on circles of its own: each arc's ends lie where the next begins."""
    arcs = through(tuple((math.radians(t), r / 1e3) for t, r in POINTS))
    places = [on(arc, at) for arc in arcs for at in (arc.begins, arc.ends)]
    for before, after in zip(places[1:-1:2], places[2::2], strict=True):
        assert math.dist(before, after) < 1e-12
    for arc, after in pairwise(arcs):
        assert arc.ends == after.begins
    for turn, radius in POINTS:
        way = math.radians(turn)
        point = radius / 1e3 * math.cos(way), radius / 1e3 * math.sin(way)
        assert min(math.dist(point, place) for place in places) < 1e-12


def test_points_of_a_circle_make_that_circle():
    """An eccentric one, 10 mm off its shaft, by the law of cosines."""
    turns = np.radians([0, 20, 45, 80])
    radii = 0.010 * np.cos(turns) + np.sqrt(0.030**2 - (0.010 * np.sin(turns)) ** 2)
    for arc in through(tuple(zip(turns.tolist(), radii.tolist(), strict=True))):
        assert arc[:3] == pytest.approx((0.010, 0.0, 0.030), abs=1e-9)


def test_an_eccentric_is_a_four_bar():
    """The textbook's equivalent linkage: crank from shaft to centre, rod R + r."""
    cam = cam_of(20.0, roller=16.0, arcs=[(30.0, 200.0)], goes=1)
    place = {"at": -30.0, "away": (-80.0, 0.0), "reach": 94.85, "angle": 25.1}
    layout = cam_layout(cam, **place, travel=60.0, presses=-1)
    turns = np.linspace(0, math.radians(60), 9)
    ours = sweep(assemble(layout), turns)
    # Its centre is 10 mm from the shaft, on the other side than the arm.
    crank = np.radians(150.0) - turns
    centre = 10.0 * np.column_stack([np.cos(crank), np.sin(crank)])
    pivot = np.array([-80.0, 0.0])
    gap = centre - pivot
    far = np.hypot(*gap.T)
    corner = (far**2 + 94.85**2 - 38.0**2) / (2 * far * 94.85)
    lever = np.arctan2(gap[:, 1], gap[:, 0]) + np.arccos(corner)
    theirs = np.maximum(lever - math.radians(25.1), 0.0)
    np.testing.assert_allclose(ours.turns["spindle"], theirs, atol=1e-12)
    assert theirs[-1] > 0.05


def test_rates_are_those_of_central_differences():
    """Within arcs; where one goes over into the next the rate's change has a step."""
    layout = three_arcs()
    assembly, step = assemble(layout), 1e-5
    pads = np.linspace(0.53, 1.05, 24)
    here = frame(sweep(assembly, pads))
    back, ahead = (sweep(assembly, pads + s * step).turns["spindle"] for s in (-1, 1))
    now = sweep(assembly, pads).turns["spindle"]
    np.testing.assert_allclose(here.first["spindle"], (ahead - back) / (2 * step), rtol=1e-6)  # fmt: skip
    second = (ahead - 2 * now + back) / step**2
    np.testing.assert_allclose(here.second["spindle"], second, rtol=1e-3, atol=1e-3)


def test_the_foot_does_the_work_that_the_spring_stores():
    """Nothing rubs: the work of the pad is the spring's, all the way up."""
    back = torsion_spring("back", "spindle", -1, 0.8, 0.5)
    layout = with_springs(bare(three_arcs()), back)
    pads = np.linspace(0.0, 1.0, 4001)
    motion = sweep(assemble(layout), pads)
    force = statics(motion).pad_force_pressing
    turn = motion.turns["spindle"]
    picked = turn > 0
    work = np.trapezoid(force[picked], pads[picked])
    first, last = turn[picked][[0, -1]]
    stored = 0.5 * (last - first) + 0.4 * (last**2 - first**2)
    assert work == pytest.approx(stored, rel=1e-6)
    assert stored > 0.03


def test_a_pin_that_rubs_takes_what_it_turns():
    """A loop down and up: both forces differ by the moment of the pin in its roller.

    The roller rolls on the cam: how far it turns on its pin is found from the way of the
    touch along the profile, point by point.
    """
    back = torsion_spring("back", "spindle", -1, 0.8, 0.5)
    layout = with_springs(bare(three_arcs()), back)
    friction, pin, radius = 0.2, 0.006, 0.008
    rubs = {"joint_friction": friction, "joint_diameter": pin}
    layout = replace(layout, rods={"cam": replace(layout.rods["cam"], **rubs)})
    pads = np.linspace(0.3, 0.9, 3001)
    motion = sweep(assemble(layout), pads)
    found = statics(motion)
    lost = np.trapezoid(found.pad_force_pressing - found.pad_force_releasing, pads)

    arm = motion.turns["spindle"]
    at = math.radians(PLACE["angle"]) + arm
    middle = np.array([-0.045, 0.0]) + 0.0695 * np.column_stack(
        [np.cos(at), np.sin(at)]
    )
    profile = 1e-3 * walked(30.0, ARCS, step=1e-4)
    cam = math.radians(PLACE["at"]) + pads
    e = np.column_stack([np.cos(cam), np.sin(cam)])
    x, y = (middle * e).sum(1), middle[:, 1] * -e[:, 0] + middle[:, 0] * e[:, 1]
    seen = np.column_stack([x, y])
    which = [int(np.hypot(*(profile - p).T).argmin()) for p in seen]
    rolled = np.append(0, np.hypot(*np.diff(profile, axis=0).T).cumsum())[which]
    away = seen - profile[which]
    # The normal turns clockwise in the cam as the touch goes on, and so does the roller.
    spun = -(np.unwrap(np.arctan2(away[:, 1], away[:, 0])) + rolled / radius) + pads

    circle = friction * pin / 2
    circle /= math.sqrt(1 - (circle / radius) ** 2)
    push = -(found.rod_pressing["cam"] + found.rod_releasing["cam"])
    turned = spun - arm
    theirs = circle * abs(np.trapezoid(push, turned))
    assert abs(turned[-1] - turned[0]) > 1
    assert lost == pytest.approx(theirs, rel=2e-3)
