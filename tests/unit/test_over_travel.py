"""Rods with an over-travel spring: stiff up to the stop, then giving against a spring.

Sizes are invented. Work is held against the energy of the springs, added up here.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import simpson

from linkage.config import dump, load, loads
from linkage.errors import LayoutError
from linkage.forces.statics import statics
from linkage.model import Stop
from linkage.model.rows import row, stack
from linkage.motion import assemble, frame, sweep, working_travel
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.search import check
from tests.build import hole, rod
from tests.sprung import bare
from tests.unit.test_lost_motion import FILE, apart, one_rod

PUMP = load(Path(__file__).parents[2] / "configs" / "diesel-pump-lever.toml").layout
SPRING = {"over_travel": 0.012, "over_travel_load": 60.0, "over_travel_rate": 3000.0}


def with_rod(layout, **more):
    return replace(layout, rods={"link": replace(layout.rods["link"], **more)})


def test_it_moves_as_a_plain_rod_up_to_the_stop_and_gives_past_it():
    travel = np.linspace(0, 0.076, 39)
    plain = sweep(assemble(one_rod()), travel).opening("throttle")
    assembly = assemble(one_rod(**SPRING))
    motion = sweep(assembly, travel)
    full = np.radians(76)
    np.testing.assert_allclose(
        motion.opening("throttle"), np.minimum(plain, full), atol=1e-12
    )
    given = frame(motion).given["link"]
    length = apart(0, 0)
    past = [
        apart(s, full) - length if p > full else 0.0
        for s, p in zip(travel, plain, strict=True)
    ]
    np.testing.assert_allclose(given, past, atol=1e-12)
    assert (frame(motion).moving["spindle"][given > 0] == 0).all()


def test_the_stop_no_longer_stops_the_pedal():
    stiff, sprung = (working_travel(assemble(one_rod(**more))) for more in ({}, SPRING))
    assert stiff.stopped_by.kind == "full stop"
    assert sprung.stopped_by.kind == "floor"
    assert sprung.opening_at_end["throttle"] == pytest.approx(np.radians(76))


def test_where_the_spring_is_used_up_the_linkage_jams():
    short = working_travel(assemble(one_rod(**{**SPRING, "over_travel": 0.002})))
    assert short.jammed
    assert apart(short.end, np.radians(76)) - apart(0, 0) == pytest.approx(
        0.002, abs=1e-6
    )


def test_a_rod_that_pushes_gives_by_getting_shorter():
    pushed = one_rod(**SPRING)
    shaft = pushed.shafts["spindle"]
    arm = replace(shaft.arms["lever"], angle=shaft.arms["lever"].angle + np.pi)
    pushed = pushed.with_shaft(replace(shaft, arms={"lever": arm}))
    throttle = replace(pushed.main, opens=-1)
    pushed = replace(pushed, throttles={"throttle": throttle})
    assembly = assemble(pushed)
    # The pin goes back as the pedal goes down, so it pulls here too: turned round.
    assert assembly.loops[0].gives_by == 1
    lifted = replace(pushed, pedal=replace(pushed.pedal, presses=-1))
    lifted = replace(lifted, throttles={"throttle": replace(throttle, opens=1)})
    loop = assemble(lifted).loops[0]
    assert loop.gives_by == -1
    motion = sweep(assemble(lifted), np.array([0.0, 0.076]))
    gap = loop.rod.apart(motion.pair("pedal"), motion.pair("spindle"))
    given = frame(motion).given["link"][1]
    assert given > 0.003
    assert gap[1] == pytest.approx(loop.length - given, abs=1e-12)


def test_the_foot_does_the_work_that_the_springs_take_up():
    layout = bare(PUMP)
    assembly = assemble(layout)
    end = working_travel(assembly).end
    # Where it begins to give the force jumps: the two parts are added up apart.
    begins = working_travel(assemble(with_rod(layout, over_travel=0.0))).end
    before, after = np.linspace(0, begins, 801), np.linspace(begins + 1e-9, end, 801)
    work = 0.0
    for travel in (before, after):
        work += simpson(statics(sweep(assembly, travel)).pad_force, x=travel)
    motion = sweep(assembly, np.array([0.0, begins, end]))
    s = statics(motion)
    given = frame(motion).given["link"][2]
    assert given == pytest.approx(0.0037, abs=2e-4)
    taken = 60 * given + 1500 * given**2 / 2
    for name, length in s.spring_length.items():
        way = length[1] - length[0]
        taken += way * (s.spring_load[name][0] + s.spring_load[name][1]) / 2
    assert work == pytest.approx(taken, rel=1e-5)


def test_the_rod_carries_the_load_of_its_spring_once_that_gives():
    s = statics(sweep(assemble(PUMP), np.linspace(0, 0.066, 67)))
    given = s.lines.frame.given["link"]
    carried = s.rod_pressing["link"][given > 0]
    np.testing.assert_allclose(carried, 60 + 1500 * given[given > 0], rtol=1e-12)
    assert (s.rod_pressing["link"][given == 0] < 40).all()


@pytest.mark.parametrize(
    ("load", "rank"),
    [(30.0, BAD), (36.0, LOOK), (50.0, LOOK), (53.0, FITS), (60.0, FITS)],
)
def test_too_soft_a_spring_gives_before_the_stop(load, rank):
    found = check(with_rod(PUMP, over_travel_load=load), cures=False)
    (finding,) = (f for f in found.findings if f.code == "over-travel-load")
    assert finding.outcome.rank == rank
    assert found.verdict == ("fits", "look", "do not fit")[rank]


def test_a_soft_one_is_mended_by_more_load():
    found = check(with_rod(PUMP, over_travel_load=30.0))
    (finding,) = (f for f in found.findings if f.code == "over-travel-load")
    assert "in with 55.0 N of load instead of 30.0 N" in str(finding.cure.text)


def test_play_is_made_up_by_what_it_has_given():
    worn = with_rod(PUMP, play=1.5e-3)
    assert check(worn, cures=False).verdict == "fits"
    stiff = check(with_rod(worn, over_travel=0.0), cures=False)
    late = replace(PUMP.pedal, stop=0.0608)
    assert "full-throttle" not in [f.code for f in stiff.findings if f.outcome.rank]
    soon = check(replace(worn, pedal=late), cures=False)
    assert "full-throttle" in [f.code for f in soon.findings if f.outcome.rank == BAD]


def test_without_a_stop_it_is_stiff_and_has_nothing_to_give_against():
    """As where a swap turns the lever the other way: that is what is to be told."""
    wrong = replace(PUMP, throttles={"throttle": replace(PUMP.main, opens=-1)})
    (loop,) = assemble(wrong).loops
    assert np.isinf(loop.spares)
    travel = np.linspace(0, 0.06, 7)
    stiff = sweep(assemble(with_rod(PUMP, over_travel=0.0)), travel)
    motion = sweep(assemble(wrong), travel)
    np.testing.assert_array_equal(motion.turns["pump"], stiff.turns["pump"])
    assert (frame(motion).given["link"] == 0).all()
    found = check(wrong, cures=False)
    assert "opening-sense" in [f.code for f in found.reasons]
    # The stop is that of a shaft further on: then too the rod is stiff, and that is told.
    bell = replace(PUMP.shafts["pump"], name="idler")
    idler = replace(bell, pivot=(0.43, -0.03, 0.5))
    far = replace(
        PUMP,
        shafts={**PUMP.shafts, "idler": idler},
        rods={
            "link": replace(PUMP.rods["link"], end=hole("idler.lever")),
            "on": rod("on", "idler.spring", "pump.lever"),
        },
    )
    assert working_travel(assemble(far)).stopped_by.kind in {"full stop", "pedal stop"}
    (finding,) = (
        f for f in check(far, cures=False).findings if f.code == "over-travel-load"
    )
    assert finding.outcome.rank >= LOOK
    assert (
        "nothing to give against, as pressing leads `idler` to no stop" in finding.text
    )
    assert "in [stops]" in finding.rule.advice(finding.outcome)
    what, number = finding.rule.brief(finding.outcome)
    assert what == "the over-travel spring of rod `link` has nothing to give against"
    assert number == "pressing leads `idler` to no stop of its own"


def test_a_stop_of_the_layout_is_spared_as_a_full_stop_is():
    layout = one_rod(**SPRING)
    stop = Stop(name="full", shaft="spindle", turn=np.radians(30))
    assembly = assemble(replace(layout, stops={"full": stop}))
    assert assembly.loops[0].spares == pytest.approx(np.radians(30))


def test_rows_give_as_each_alone():
    layouts = [
        with_rod(PUMP, over_travel_load=load, over_travel=way)
        for load in (30.0, 60.0)
        for way in (0.003, 0.012)
    ]
    many = stack(layouts)
    travel = np.linspace(0, 0.064, 17)
    s = statics(sweep(assemble(many), travel))
    for i in range(4):
        alone = statics(sweep(assemble(row(many, i)), travel))
        np.testing.assert_allclose(
            s.rod_pressing["link"][i], alone.rod_pressing["link"], rtol=1e-9
        )
        np.testing.assert_allclose(
            s.closing_torque["throttle"][i], alone.closing_torque["throttle"], rtol=1e-9
        )


def test_the_file_says_it_and_is_written_again_the_same():
    keys = 'over_travel = 12\nover_travel_load = "60 N"\nover_travel_rate = "3 N/mm"'
    layout = loads(FILE.replace("ROD", keys)).layout
    assert loads(dump(layout)).layout.rods == layout.rods
    assert layout.rods["link"].over_travel_rate == pytest.approx(3000)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("over_travel = 12", "lacks `over_travel_load` and `over_travel_rate`"),
        ("over_travel_load = 12", "lacks `over_travel` and `over_travel_rate`"),
        (
            "over_travel = 12\nover_travel_load = 0\nover_travel_rate = 3",
            "gives at once",
        ),
        ("over_travel = 0\nover_travel_load = 9\nover_travel_rate = 3", "over-travel"),
        (
            "slot = 9\nover_travel = 9\nover_travel_load = 9\nover_travel_rate = 3",
            "loses motion and has an over-travel spring",
        ),
    ],
)
def test_the_file_is_told_what_is_wrong(keys, says):
    with pytest.raises(LayoutError, match=says):
        loads(FILE.replace("ROD", keys))


def test_what_is_said_of_it():
    found = check(PUMP, cures=False)
    (finding,) = (f for f in found.findings if f.code == "over-travel-load")
    assert "gives from 60.0 N on, 1.7 times the 34.5 N" in finding.text
    assert (
        "it has given 3.7 mm of 12.0 mm and holds its lever on the stop" in finding.text
    )
    early = replace(PUMP, pedal=replace(PUMP.pedal, stop=0.05))
    found = check(early, cures=False)
    (finding,) = (f for f in found.findings if f.code == "over-travel-load")
    assert "at the end of the pedal it has not begun to give" in finding.text
    what, number = finding.rule.brief(finding.outcome)
    assert what == "the over-travel spring of rod `link` is stiff enough"
    assert number == "at the end of the pedal it has not begun to give"
    soft = check(with_rod(PUMP, over_travel_load=30.0), cures=False)
    (finding,) = (f for f in soft.findings if f.code == "over-travel-load")
    what, number = finding.rule.brief(finding.outcome)
    assert what == "the over-travel spring of rod `link` gives too soon"
    assert number == "30.0 N, 0.9 times what it carries"


def test_by_how_much_it_fails_to_reach():
    assembly = assemble(one_rod(**{**SPRING, "over_travel": 0.002}))
    (loop,) = assembly.loops
    full, turn = np.radians(76), 0.075 / 0.2
    assert loop.refusal() is None
    assert loop.short_by(0.1) == 0
    past = apart(0.075, full) - apart(0, 0) - 0.002
    assert loop.short_by(turn) == pytest.approx(past)
    motion = sweep(assembly, np.array([0.0, 0.03]))
    pairs = motion.pair("pedal"), motion.pair("spindle")
    np.testing.assert_allclose(loop.rates(*pairs)[0], loop.ratio(*pairs))
    assert loop.push_limit is None
    assert loop.stretch == loop.rod.stretch


def test_one_without_load_is_refused():
    with pytest.raises(LayoutError, match="of rod `link` gives at once"):
        one_rod(**{**SPRING, "over_travel_load": 0.0})
