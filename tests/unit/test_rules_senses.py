"""Rules of sense: which way shafts turn, which rods pull, whether pressing opens."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linkage.model import Hole, axis_from_vector
from linkage.motion import frame, sweep
from linkage.rules import examine, senses
from tests import build
from tests.unit.cured import cure, cured, found, named
from tests.unit.edits import HAULER, PEDAL_ROD, TRUCK, TWIN, edited, lever
from tests.unit.ruled import alone, changed, found_in

BACK = (PEDAL_ROD, "arms.rod = { length = 115, angle = 10 }")


def test_pressing_that_shuts_is_named_with_the_springs_that_pull_the_pedal():
    layout = edited("fault-wrong-sense")
    assert named(layout) == {
        "opening-sense": "do not fit",
        "spring-pedal": "do not fit",
    }
    fault = found(layout, "opening-sense")
    assert fault.limit == 0.0  # the plate must open, if ever so little
    assert "the pedal shuts throttle, which opens clockwise" in fault.text
    assert "seen from the right" in fault.text
    assert fault.value < 0
    assert "on the other side of its shaft" in cured(layout, "opening-sense").text


def test_with_the_wrong_sense_the_travel_is_not_judged():
    found_here = found_in(examine(edited("fault-wrong-sense")))
    senses = {"opening-sense", "shaft-sense", "rod-sense", "spring-pedal"}
    assert {f.code for f in found_here} == senses


def test_one_of_two_plates_the_wrong_way():
    text = (
        'shaft        = "rear spindle"\nopens        = "clockwise"',
        'shaft        = "rear spindle"\nopens        = "anticlockwise"',
    )
    layout = edited(TWIN, text)
    assert found(layout, "opening-sense", "rear").verdict == "do not fit"
    assert found(layout, "opening-sense", "front").verdict == "fits"
    mended = cure(layout, found(layout, "opening-sense", "rear"))
    # The other plate is not turned round with it.
    assert "opening-sense" not in named(mended.layout)
    assert "`rear spindle.lever`" in mended.text
    assert mended.proven
    # Its spring, which then pulls it open, goes across with it.
    assert "move the anchor of spring `rear`" in mended.text
    assert "do not fit" not in named(mended.layout).values()


@pytest.mark.parametrize("name", [TRUCK, HAULER, TWIN])
def test_every_shaft_says_which_way_it_turns_and_for_whom(name):
    layout = edited(name)
    x = examine(layout)
    told = {
        f.where.removeprefix("shaft ").removesuffix(", whole travel"): f
        for f in alone(x, "shaft-sense")
    }
    assert set(told) == set(layout.shafts)
    for shaft, fact in told.items():
        first = (
            sweep(x.assembly, np.array([0.0, 1e-3])).turns[shaft][1]
            - x.assembly.rest[shaft]
        )
        word = "anticlockwise" if first > 0 else "clockwise"
        assert f"° {word} seen from {layout.shafts[shaft].axis.seen_from}" in fact.text


def test_a_shaft_that_stands_still_says_so():
    x = examine(edited(TRUCK))
    still = {n: np.zeros_like(t) for n, t in x.motion.turns.items()}
    motion = replace(x.motion, turns=still)
    assert all(
        "does not turn" in f.text
        for f in alone(changed(x, motion=motion), "shaft-sense")
    )


def test_pull_and_push_by_the_way_the_hole_moves():
    """A rod pulls where its driven hole moves toward its driving hole."""
    for name in ("swapped-push-rod", "swapped-crossed-pull", TRUCK, HAULER):
        x = examine(edited(name))
        for rod, link in ((p.rod.name, p) for p in x.layout.links):
            start = frame(x.motion).pin(link.driver).T
            end = (
                frame(x.motion)
                .pin(Hole(shaft=link.driven.shaft, arm=link.driven.arm))
                .T
            )
            moved = end[1:] - end[:-1]
            toward = np.einsum("ij,ij->i", moved, (start - end)[:-1]) > 0
            assert (senses.pulls(x, rod)[:-1] == toward).all()


def test_a_rod_that_turns_over_on_the_way():
    layout = edited(TRUCK, BACK)
    fault = found(layout, "rod-sense")
    assert fault.verdict == "do not fit"
    assert "pushes at first and turns over at pad" in fault.text
    place = float(fault.text.split("at pad ")[1].split(" mm")[0]) * 1e-3
    inside = [d.pad_travel for d in examine(layout).dead_centres if d.side == "inside"]
    assert min(abs(place - p) for p in inside) < 1e-3
    assert named(cured(layout, "rod-sense").layout).get("opening-sense") is None


@pytest.mark.parametrize("vector", [(0, 0.01, 1), (0, -0.01, 1), (-0.01, 0.002, 1)])
def test_a_shaft_that_leans_by_a_hair_turns_as_the_upright_one(vector):
    def turn(axis):
        pad, out, lever = (
            build.arm(n, m, 100) for n, m in (("pad", 100), ("rod", 50), ("lever", 50))
        )
        pedal = build.shaft("pedal", (0, 0, 0), "upright", pad, out)
        spindle = build.shaft("spindle", (200, 30, 0), axis, lever)
        link = build.rod("link", "pedal.rod", "spindle.lever")
        layout = build.tree([pedal, spindle], [link], travel_mm=40)
        x = examine(layout)
        told = {f.about.name: f for f in alone(x, "shaft-sense")}
        return float(x.motion.turns["spindle"][-1]), told

    leaning, told = turn(axis_from_vector(vector))
    upright, named = turn("upright")
    assert leaning == pytest.approx(upright, abs=0.02)
    assert "count from forward, as nearly as its axis allows" in told["spindle"].text
    assert "count from" not in named["spindle"].text + told["pedal"].text


def turned(name, arm, degrees):
    layout = edited(name)
    shaft, _, of_it = arm.rpartition(".")
    angle = layout.shafts[shaft].arms[of_it].angle + np.radians(degrees)
    return layout.with_arm(arm, angle=angle)


@pytest.mark.parametrize(
    ("name", "degrees"),
    [
        ("down-pull-side-draught", 100),
        ("fault-hole-too-long", 150),
        ("fault-one-spring-only", 120),
    ],
)
def test_a_jam_is_no_turning_over(name, degrees):
    """At the jam itself a rod does neither; before it, it always did the same."""
    x = examine(turned(name, "spindle.lever", degrees))
    jam = x.working.jam
    assert jam is not None
    assert senses.pulls(x, jam.rod)[:-1].all()
    assert not senses.pulls(x, jam.rod)[-1]
    told = {f.about.name: f for f in alone(x, "rod-sense")}
    assert {f.verdict for f in told.values()} == {"fits"}
    assert f"rod `{jam.rod}` pulls" in told[jam.rod].text


def test_a_rod_that_turns_over_before_a_jam_is_refused():
    x = examine(turned("scenario-cured", "cross shaft.outer", 130))
    assert x.working.jammed
    told = {f.about.name: f for f in alone(x, "rod-sense")}
    assert told["down"].verdict == "do not fit"
    assert "turns over" in told["down"].text


def test_the_push_rod_scenario_pushes_and_the_crossed_rod_pulls():
    """Common practice, no source: the two cures of a side-swapped carburettor."""
    push, pull = (edited(n) for n in ("swapped-push-rod", "swapped-crossed-pull"))
    assert any(not senses.pulls(examine(push), r)[0] for r in push.rods)
    assert all(senses.pulls(examine(pull), r)[0] for r in list(pull.rods)[-1:])


def test_opening_sense_fits_where_pressing_opens():
    fault = found(edited(TRUCK, lever()), "opening-sense")
    assert fault.verdict == "fits"
    assert "it opens throttle" in fault.text
