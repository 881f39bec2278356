"""Shafts along the vehicle that go across, and levers that part any rod on the way.

What a fitter would do is common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from linkage.config import load
from linkage.model import Hole, Known, Spring, Stop
from linkage.model.rows import row, rows_of, same_make_up, stack
from linkage.motion import assemble
from linkage.report.work import job_text
from linkage.rules.engine import judge
from linkage.rules.examine import examine
from linkage.search import check
from linkage.swap import last_body_shaft, solve, swap_sides
from linkage.swap.ground import ground
from linkage.swap.judging import finished, judged, wholly
from linkage.swap.recipes import bell_crank, crossed_pull, lever_over, push_rod
from linkage.swap.reversing import search_lever
from linkage.swap.seats import APART, Plane, seats
from linkage.swap.slides import bearings_across
from tests.build import arm, rod, shaft, tree

CONFIGS = Path(__file__).parents[2] / "configs"


def car(name: str):
    return load(CONFIGS / f"{name}.toml").layout


def jack(y: float = 150.0):
    """Return a pedal, a jack shaft along the vehicle on the body, and a carburettor."""
    return tree(
        [
            shaft("pedal", (0, 300, 0), "across", arm("pad", 180, -90), arm("rod", 70, -11)),
            shaft("jack shaft", (200, y, 260), "along", arm("in", 52, 197, 131), arm("out", 76, 195, -50)),
            shaft("spindle", (250, y + 40, 130), "along", arm("lever", 33, 218)),
        ],
        [rod("up", "pedal.rod", "jack shaft.in"), rod("drop", "jack shaft.out", "spindle.lever")],
        travel_mm=70.0,
        swing_deg=60.0,
    )  # fmt: skip


def test_a_shaft_along_the_vehicle_goes_across_with_its_carburettor():
    before = jack()
    assert last_body_shaft(before) == "pedal"
    swap = swap_sides(before)
    assert swap.moved == ("jack shaft", "spindle")
    assert swap.after.shafts["jack shaft"].pivot == (0.2, -0.15, 0.26)
    (slide,) = swap.slides
    # The pedal's arm goes along its own shaft, as far as the jack shaft goes across.
    assert str(slide.hole) == "pedal.rod"
    old, new = (assemble(x).loop("drop").length for x in (before, swap.after))
    assert new == pytest.approx(old, abs=1e-9)


def test_one_on_the_other_side_stays_and_so_does_one_across():
    # Seen from the plane it lies on the far side of the carburettor.
    assert last_body_shaft(jack(), plane=0.17) == "jack shaft"
    assert last_body_shaft(car("bulkhead-cross-shaft")) == "cross shaft"
    # Whoever names a shaft means it.
    assert swap_sides(jack(), beyond="jack shaft").moved == ("spindle",)


@pytest.mark.parametrize("plane", [0.0, 0.05])
def test_bearings_go_across_and_the_arm_before_slides(plane):
    before = jack()
    swap = swap_sides(before, beyond="jack shaft", plane=plane)
    new = bearings_across(swap.after, "jack shaft", plane)
    by = 2 * (plane - 0.15)
    assert new.shafts["jack shaft"].pivot == pytest.approx((0.2, 0.15 + by, 0.26))
    assert new.shafts["jack shaft"].arms == before.shafts["jack shaft"].arms
    # Seen from the right: an arm's place is positive to the right, against y.
    slid = (
        new.shafts["pedal"].arms["rod"].offset
        - before.shafts["pedal"].arms["rod"].offset
    )
    assert slid == pytest.approx(-by)
    # The rod that drives it lies as it lay; the pad stays under the foot.
    old, now = (assemble(x).loop("up").length for x in (before, new))
    assert now == pytest.approx(old, abs=1e-9)
    assert new.shafts["pedal"].arms["pad"] == before.shafts["pedal"].arms["pad"]


def test_bearings_go_with_those_of_a_shaft_before_that_lies_along_too():
    before = jack()
    first = replace(before.shafts["jack shaft"], name="jack shaft")
    second = replace(first, name="second", pivot=(0.2, 0.15, 0.4))
    up, drop = before.rods["up"], before.rods["drop"]
    into, out = Hole(shaft="second", arm="in"), Hole(shaft="second", arm="out")
    over = replace(
        drop, name="over", start=Hole(shaft="jack shaft", arm="out"), end=into
    )
    chain = replace(
        before,
        shafts={**before.shafts, "second": second},
        rods={"up": up, "over": over, "drop": replace(drop, start=out)},
    )
    assert last_body_shaft(chain) == "pedal"
    new = bearings_across(chain, "second", 0.0)
    for name in ("jack shaft", "second"):
        assert new.shafts[name].pivot[1] == pytest.approx(-0.15)


def test_what_lies_across_or_is_the_pedals_stays():
    assert bearings_across(car("scenario-before"), "cross shaft", 0.0) is None
    assert bearings_across(jack(), "jack shaft", 0.15) is None  # it lies in the plane
    pedal = jack().shafts["pedal"]
    along = replace(pedal, axis=jack().shafts["spindle"].axis)
    assert bearings_across(jack().with_shaft(along), "pedal", 0.0) is None


@cache
def twins():
    """The shipped pair, its jack shaft said to stay."""
    return solve(swap_sides(car("twin-side-draught"), beyond="jack shaft"))


def test_a_jack_shaft_said_to_stay_is_taken_across_as_a_cure():
    solution = twins()
    assert solution.reversal.opens is False
    best = next(c for c in solution.cures if c.name == "shaft-taken-across")
    assert best.mends_the_swap
    assert "y = -240.0 mm" in best.title
    told = [job_text(best.layout, job) for job in best.changes.work]
    assert any(
        t.startswith("move the bearings of jack shaft 480.0 mm to the right")
        for t in told
    )
    assert any(t.startswith("slide arm `pedal.rod`") for t in told)
    left = check(best.layout, cures=False).reasons
    assert {f.place for f in left} <= {f.place for f in solution.was_before}


def test_what_else_hangs_on_a_shaft_is_opened_too():
    """Both carburettors and the kickdown, by every cure that mends the swap."""
    fitting = [c for c in twins().cures if c.mends_the_swap]
    assert len(fitting) >= 4
    for one in fitting:
        x = one.outcome.examined
        for name, throttle in x.layout.throttles.items():
            assert x.motion.opening(name)[-1] >= 0.98 * throttle.swing


def lever_ground(name: str):
    before = car(name)
    swap = swap_sides(before, carburettor="replaced", opens=-before.main.opens)
    return ground(swap, examine(before))


@pytest.mark.parametrize("index", [0, 1])
def test_a_reversing_lever_may_part_any_rod(index):
    g = lever_ground("scenario-before")
    found = search_lever(g, index)
    assert found
    for one in found:
        for i in range(rows_of(one.layout)):
            layout = row(one.layout, i)
            new = "reversing lever"
            path = [p.driven.shaft for p in layout.path_to("spindle")]
            assert path.index(new) == path.index(g.path[index].driven.shaft) - 1
            x = examine(replace(layout, pedal=replace(layout.pedal, stop=None)))
            opened = x.working.opening_at_end["throttle"]
            assert opened / layout.main.swing == pytest.approx(
                min(one.reached[i], 1), abs=1e-6
            )
            assert opened > 0


def test_seats_are_square_half_way_and_turn_the_right_way():
    p = Plane(
        driver_pivot=np.array([0.0, 0.0]),
        pivot=np.array([0.25, 0.0]),
        pin=np.array([0.0, 0.06]),
        pin_way=np.array([0.06, 0.0]),
        lever=np.array([0.25, 0.033]),
        lever_way=np.array([-1.0, 0.0]),
        half_swing=math.radians(38),
        driver_radius=0.06,
        radius=0.033,
    )
    found = seats(p)
    assert len(found) > 100
    assert np.all(np.diff(found.lengths.sum(axis=0)) > -1e-12)
    for k in range(0, len(found), 17):
        place, (near, far) = found.place[:, k], found.lengths[:, k]
        one, two = found.angles[:, k]
        turn = 0.5
        for _ in range(50):  # half its turn moves its hole by half the pin's way
            into, out = (
                r * np.array([math.cos(q), math.sin(q)])
                for r, q in (
                    (near, one + found.sense[k] * turn),
                    (far, two + found.sense[k] * turn),
                )
            )
            first, second = place + into - p.pin, p.lever - place - out
            along = p.pin_way @ first / np.linalg.norm(first)
            turn = math.asin(min(abs(along) / 2 / near, 0.7))
        # Square to a degree or two: arms are set in whole degrees.
        assert abs(first @ into) < 0.04 * np.linalg.norm(first) * near
        assert abs(second @ out) < 0.04 * np.linalg.norm(second) * far
        # Each rod is as long a little later: its two holes move alike along it.
        ways = [found.sense[k] * np.array([-v[1], v[0]]) for v in (into, out)]
        assert (p.pin_way @ first) * (ways[0] @ first) > 0
        assert (ways[1] @ second) * (p.lever_way @ second) > 0
        pushing = int(p.pin_way @ first > 0) + int(p.lever_way @ second > 0)
        assert found.pushes[k] == pushing
        assert abs(math.remainder(one - two, 2 * math.pi)) >= APART - math.radians(1)


def test_candidates_judged_as_rows_are_judged_as_each_alone():
    g = lever_ground("scenario-before")
    found = [maker(g).tiers[0](g) for maker in (lever_over, crossed_pull, push_rod)]
    judged_so = [v for verdicts in judged(g, found) for v in verdicts]
    assert len(judged_so) == 12
    for one, all_rules in zip(judged_so, wholly(judged_so, g), strict=True):
        alone = g.older.merits(judge(examine(one.layout)))
        bad, looks, older = (int(values[0]) for values in alone)
        assert all_rules.merit == (bad, looks)
        assert all_rules.older == older
        # The cheap rules find no more than all of them do.
        assert one.merit <= all_rules.merit
        assert all_rules.row == one.row


def test_candidates_finished_as_rows_are_finished_as_each_alone():
    """Stops, springs and the pedal stop of every row, one of them about its shaft."""
    before = car("scenario-before")
    coil = Spring(
        name="coil",
        kind="torsion",
        shaft="bell crank",
        known=Known(rate=0.1, preload=0.1, shuts=-1),
    )
    stop = Stop(name="crank", shaft="bell crank", turn=math.radians(60))
    before = replace(
        before, springs={**before.springs, "coil": coil}, stops={"crank": stop}
    )
    g = ground(swap_sides(before, carburettor="replaced", opens=-1), examine(before))
    found = [*bell_crank(g).tiers[0](g), *lever_over(g).tiers[0](g)]
    many = stack([c.layout for c in found])
    parts = finished(g, many)
    assert sum(len(rows) for rows, _ in parts) == rows_of(many)
    assert len(parts) == 2  # the coil is of the other hand where the crank is
    for rows, whole in parts:
        for k, i in enumerate(rows):
            ((_, alone),) = finished(g, row(many, int(i)))
            one = row(whole, k) if rows_of(whole) > 1 else whole
            assert same_make_up(one, alone)
            assert one.stops["crank"].turn == alone.stops["crank"].turn
            assert one.pedal.stop == pytest.approx(alone.pedal.stop, abs=1e-12)
            for name, spring in one.springs.items():
                assert spring.known == alone.springs[name].known
            assert one.shafts == alone.shafts
