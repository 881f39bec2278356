"""Cures of a swap: each opens, reaches full and keeps every limit, or says why not."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from linkage.config import dump, load, loads
from linkage.model import Hole, Known, Spring, Stop
from linkage.model.rows import row
from linkage.motion import assemble, sweep
from linkage.report.work import job_text
from linkage.rules.angles import square
from linkage.rules.examine import examine
from linkage.search import check
from linkage.search.arms import search
from linkage.search.spans import ANYWHERE, Vary
from linkage.swap import changes, solve, swap_sides
from linkage.swap.cures import nothing, solved
from linkage.swap.ground import ground
from linkage.swap.judging import Candidates, finished
from linkage.swap.recipe import Recipe
from linkage.swap.recipes import bell_crank, lever_over
from linkage.swap.rehook import rehooked
from tests.unit.test_swap_reverses import lengthwise

CONFIGS = Path(__file__).parents[2] / "configs"
#: Layout, what becomes of the carburettor: each solved once.
CASES = (
    ("scenario-before", "replaced"),
    ("bulkhead-cross-shaft", "turned"),
    ("up-pull-side-draught", "replaced"),
    ("hanging-pedal", "turned"),
)


def car(name: str):
    return load(CONFIGS / f"{name}.toml").layout


#: How far each was, as it was told: cures done, and all of them.
TOLD: dict[tuple[str, str], list[tuple[int, int]]] = {}


@cache
def swapped(name: str, kind: str):
    layout = car(name)
    more = {"opens": -layout.main.opens} if kind == "replaced" else {}
    told = TOLD[name, kind] = []
    return solve(
        swap_sides(layout, carburettor=kind, **more),
        progress=lambda *done: told.append(done),
    )


def words(one, jobs: str):
    """Return what is made for a cure, or done, as the report tells it."""
    return [job_text(one.layout, job) for job in getattr(one.changes, jobs)]


def cure(solution, name: str):
    return next(c for c in solution.cures if c.name == name)


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_every_cure_keeps_every_limit_or_says_why_not(case):
    solution = swapped(*case)
    assert solution.reversal.opens is False
    assert not solution.fits_as_it_is
    assert solution.fits
    names = [c.name for c in solution.cures]
    assert len(set(names)) == len(names) == 6
    for one in solution.cures:
        if one.layout is None:
            assert one.reason
            continue
        # From its file, so that what is written is what is judged.
        outcome = check(loads(dump(one.layout)).layout, cures=False)
        bad = [f for f in outcome.findings if f.verdict == "do not fit"]
        assert one.fits == (not bad)
        if bad:
            assert all(f.code in one.reason for f in bad)
            continue
        x = outcome.examined
        main = x.layout.main
        assert main.opens * x.speeds.first[main.shaft][0] > 0
        assert x.working.opening_at_end[main.name] >= 0.98 * main.swing
        least = min(
            float(np.min(square(a)))
            for line in x.lines.values()
            for a in (line.driver_angle, line.driven_angle)
        )
        assert least >= math.radians(30)
        assert all(
            tilt.max() < math.radians(15)
            for line in x.lines.values()
            for tilt in (line.driver_tilt, line.driven_tilt)
        )


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_how_far_the_search_is_is_told_as_cures_are_done(case):
    solution = swapped(*case)
    total = len(solution.cures)
    done = [n for n, of in TOLD[case] if of == total]
    assert len(done) == len(TOLD[case])
    assert done == sorted(done)
    assert done.count(total) == 1
    assert done[-1] == total
    if case[0] == "hanging-pedal":
        assert done == [5, 6]  # one is searched on


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_cures_stand_in_their_order(case):
    solution = swapped(*case)
    keys = []
    for one in solution.cures:
        if one.outcome is None:
            keys.append((3, 0, 0, 0))
            continue
        verdict = {"fits": 0, "look": 1, "do not fit": 2}[one.outcome.verdict]
        keys.append((verdict, one.looks, len(one.changes.parts), one.pushes))
    assert keys == sorted(keys)


def test_the_shipped_scenario_is_what_the_program_finds():
    """before, swapped with another carburettor, is wrongly-swapped; its best cure is cured."""
    solution = swapped("scenario-before", "replaced")
    for found, name in (
        (solution.swap.after, "scenario-wrongly-swapped"),
        (solution.cures[0].layout, "scenario-cured"),
    ):
        shipped = car(name)
        assert found.shafts.keys() == shipped.shafts.keys()
        for shaft in shipped.shafts.values():
            other = found.shafts[shaft.name]
            assert other.pivot == pytest.approx(shaft.pivot, abs=1e-9)
            for a in shaft.arms.values():
                b = other.arms[a.name]
                assert (b.length, b.angle, b.offset) == pytest.approx(
                    (a.length, a.angle, a.offset), abs=1e-9
                )
        assert found.main == shipped.main
        assert found.pedal == shipped.pedal
        assert {n: s.anchor for n, s in found.springs.items()} == {
            n: pytest.approx(s.anchor, abs=1e-9) for n, s in shipped.springs.items()
        }


def test_the_shipped_scenario_fits_shuts_and_fits():
    assert check(car("scenario-before"), cures=False).verdict == "fits"
    wrong = check(car("scenario-wrongly-swapped"), cures=False)
    springs = ["spring-pedal"] * 2  # left as they were they hold the plate open
    assert [f.code for f in wrong.reasons] == ["opening-sense", *springs]
    assert not [f for f in wrong.findings if f.verdict == "look"]
    assert check(car("scenario-cured"), cures=False).verdict == "fits"


def test_springs_left_as_they_were_are_of_the_wrong_hand():
    """The cure but for its springs: common practice, no source."""
    solution = swapped("scenario-before", "replaced")
    layout = solution.cures[0].layout
    for name in ("spring", "far spring"):
        hole = Hole(shaft="spindle", arm=name)
        layout = layout.with_arm(
            hole, angle=solution.swap.after.shafts["spindle"].arms[name].angle
        )
    bad = {
        f.code for f in check(layout, cures=False).findings if f.verdict == "do not fit"
    }
    assert bad == {"spring-line", "spring-pedal"}
    for f in check(layout, cures=False).reasons:
        line = f.code == "spring-line"
        words = "the opening way from the start: it is on the wrong side"
        assert (words if line else "works with the pedal") in f.text


def test_springs_hooked_over_are_as_long_as_before():
    solution = swapped("scenario-before", "replaced")
    before, after = solution.swap.before, solution.cures[0].layout
    for name in before.springs:
        lengths = []
        for layout, turn in ((before, before.main.swing), (after, -after.main.swing)):
            spring = layout.springs[name]
            shaft = layout.shafts[spring.shaft]
            lengths.append(
                [
                    math.dist(shaft.pin(spring.arm, q), spring.anchor)
                    for q in (0.0, turn)
                ]
            )
        # A hook is set to whole degrees: half a degree of 28 mm is 0.25 mm.
        assert lengths[0] == pytest.approx(lengths[1], abs=0.25e-3)


def test_lever_hanging_changes_the_lever_alone():
    one = cure(swapped("scenario-before", "replaced"), "lever-hanging")
    old, new = swapped("scenario-before", "replaced").swap.after, one.layout
    assert one.changes.parts == ()
    assert new.shafts["spindle"].pin("lever")[2] < new.shafts["spindle"].pivot[2]
    assert old.shafts["spindle"].pin("lever")[2] > old.shafts["spindle"].pivot[2]
    assert new.shafts["bell crank"] == old.shafts["bell crank"]
    assert new.shafts["cross shaft"] == old.shafts["cross shaft"]


def test_a_hanging_lever_is_made_to_stand():
    names = [c.name for c in swapped("up-pull-side-draught", "replaced").cures]
    assert "lever-standing" in names


def test_pull_and_push_are_what_they_are_called():
    for case in CASES:
        for name, pushes in (("crossed-pull-rod", 0), ("push-rod", 1)):
            assert cure(swapped(*case), name).pushes == pushes


def test_a_crossed_rod_crosses_the_line_of_the_pivots():
    one = cure(swapped("scenario-before", "replaced"), "crossed-pull-rod")
    crank, spindle = one.layout.shafts["bell crank"], one.layout.shafts["spindle"]

    def side(point) -> float:
        (x1, _, z1), (x2, _, z2) = crank.pivot, spindle.pivot
        return (x2 - x1) * (point[2] - z1) - (z2 - z1) * (point[0] - x1)

    assert side(crank.pin("out")) * side(spindle.pin("lever")) < 0


def test_the_arm_is_on_the_other_side_of_its_shaft():
    solution = swapped("scenario-before", "replaced")
    one = cure(solution, "arm-on-the-other-side")
    old = solution.swap.after.shafts["cross shaft"].arms["outer"].angle
    new = one.layout.shafts["cross shaft"].arms["outer"].angle
    assert math.cos(new - old) < 0
    x, y = examine(solution.swap.after), one.outcome.examined
    assert x.speeds.first["bell crank"][0] * y.speeds.first["bell crank"][0] < 0


def test_a_bell_crank_of_the_other_hand_turns_the_other_way():
    solution = swapped("scenario-before", "replaced")
    one = cure(solution, "bell-crank-of-the-other-hand")
    x, y = examine(solution.swap.after), one.outcome.examined
    assert x.speeds.first["bell crank"][0] * y.speeds.first["bell crank"][0] < 0
    arms = [
        layout.shafts["bell crank"].arms for layout in (solution.swap.after, one.layout)
    ]
    turns = [math.remainder(a["out"].angle - a["in"].angle, 2 * math.pi) for a in arms]
    assert turns[0] * turns[1] < 0
    assert any(p.startswith("bell crank with arms") for p in words(one, "parts"))
    # The driving arm of the cross shaft is as it was.
    assert one.layout.shafts["cross shaft"] == solution.swap.after.shafts["cross shaft"]


def test_without_a_bell_crank_there_is_none_of_the_other_hand():
    one = cure(swapped("hanging-pedal", "turned"), "bell-crank-of-the-other-hand")
    assert one.layout is None
    assert "there is no bell crank between" in one.reason
    assert swapped("hanging-pedal", "turned").cures[-1] is one


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_a_reversing_lever_lies_between_its_rods(case):
    solution = swapped(*case)
    one = cure(solution, "reversing-lever")
    lever = one.layout.shafts["reversing lever"]
    apart = math.remainder(
        lever.arms["in"].angle - lever.arms["out"].angle, 2 * math.pi
    )
    assert abs(apart) >= math.radians(105)
    path = one.layout.path_to(one.layout.main.shaft)
    assert [p.driven.shaft for p in path][-2:] == [
        "reversing lever",
        one.layout.main.shaft,
    ]
    x = one.outcome.examined
    last, before = path[-2].driver.shaft, one.layout.main.shaft
    assert x.speeds.first["reversing lever"][0] * x.speeds.first[last][0] != 0
    # Some place is a see-saw: one of its two rods' holes moves against the other.
    assert "reversing lever" in one.layout.engine.carries
    assert len(one.layout.rods) == len(solution.swap.after.rods) + 1
    assert any(p.startswith("reversing lever, pivot at") for p in words(one, "parts"))
    # Neither half passes through the spindle or the driver's pivot.
    for link, pivot in ((path[-2], before), (path[-1], last)):
        a = one.layout.shafts[link.driver.shaft].pin(link.driver.arm)
        b = one.layout.shafts[link.driven.shaft].pin(link.driven.arm)
        c = one.layout.shafts[pivot].pivot
        p, q, r = (np.array([v[0], v[2]]) for v in (a, b, c))
        t = np.clip(np.dot(r - p, q - p) / np.dot(q - p, q - p), 0, 1)
        assert np.linalg.norm(p + t * (q - p) - r) > 0.025


def test_a_swap_that_fits_asks_for_no_cure():
    solution = solve(swap_sides(car("scenario-before")))
    assert solution.fits_as_it_is
    assert solution.fits
    assert solution.cures == ()


def test_a_lever_badly_clocked_but_opening_is_clocked_anew():
    swap = swap_sides(
        car("bulkhead-cross-shaft"),
        carburettor="replaced",
        opens=1,
        lever_angle=math.radians(95),
    )
    calls = []
    solution = solve(swap, progress=lambda done, total: calls.append((done, total)))
    assert solution.reversal.opens
    assert not solution.fits_as_it_is
    (one,) = solution.cures
    assert one.name == "clocked-anew"
    assert one.fits
    assert calls == [(1, 1)]


def test_a_swap_that_cannot_be_put_together_is_cured_too():
    before = car("up-pull-side-draught")
    rod, spindle = (
        before.shafts["cross shaft"].pin("outer"),
        before.shafts["spindle"].pivot,
    )
    straight = math.atan2(rod[2] - spindle[2], rod[0] - spindle[0])
    solution = solve(
        swap_sides(before, carburettor="replaced", opens=-1, lever_angle=straight)
    )
    assert solution.outcome is None
    assert not solution.fits_as_it_is
    assert solution.fits
    assert words(solution.cures[0], "work")[-1].startswith("cut rod")


def test_a_stop_on_a_reversed_shaft_goes_to_its_other_side():
    before = car("scenario-before")
    stop = Stop(name="crank", shaft="bell crank", turn=math.radians(60))
    solution = solve(
        swap_sides(
            replace(before, stops={"crank": stop}), carburettor="replaced", opens=-1
        )
    )
    assert (
        cure(solution, "bell-crank-of-the-other-hand").layout.stops["crank"].turn
        == -stop.turn
    )
    assert cure(solution, "lever-hanging").layout.stops["crank"].turn == stop.turn


def test_a_stop_on_the_shaft_that_stays_stays_as_it_is():
    before = car("scenario-before")
    stops = {
        name: Stop(name=name, shaft=name, turn=math.radians(60))
        for name in ("bell crank", "cross shaft")
    }
    before = replace(before, stops=stops)
    g = ground(swap_sides(before, carburettor="replaced", opens=-1), examine(before))
    crank = bell_crank(g).tiers[0](g)[0].layout
    ((_, layout),) = finished(g, row(crank, 0))
    turns = {n: np.ravel(s.turn).tolist() for n, s in layout.stops.items()}
    same = stops["cross shaft"].turn
    assert turns == {"bell crank": [-same], "cross shaft": [same]}


def test_springs_that_cannot_be_hooked_over_are_anchored_or_exchanged():
    before = car("scenario-before")
    near = before.springs["near"]
    springs = {
        # On the lever itself: its anchor must move, as the rod needs the arm.
        "near": replace(near, arm="lever", anchor=(0.451, 0.234, 0.228)),
        "far": before.springs["far"],
        # A second on the same arm: the arm is turned for the first.
        "same": replace(
            before.springs["far"], name="same", anchor=(0.445, 0.160, 0.18)
        ),
        "coil": Spring(
            name="coil",
            kind="torsion",
            shaft="spindle",
            known=Known(rate=0.1, preload=0.1, shuts=-1.0),
        ),
    }
    before = replace(before, springs=springs)
    swap = swap_sides(before, carburettor="replaced", opens=-1)
    lever = Hole(shaft="spindle", arm="lever")
    over = swap.after.with_arm(lever, angle=math.radians(-65)).with_rod("carb", None)
    over = replace(over, pedal=replace(over.pedal, stop=None))
    ((_, new),) = rehooked(examine(before), examine(over))
    assert new.springs["near"].anchor != over.springs["near"].anchor
    assert new.springs["far"].anchor == over.springs["far"].anchor
    assert new.springs["coil"].known.shuts == 1.0
    good = {
        f.where.split(",")[0]
        for f in check(new, cures=False).findings
        if f.code == "spring-line" and f.verdict == "fits"
    }
    assert {"spring near", "spring far", "spring same"} <= good
    told = [job_text(new, j) for j in changes(over, new, clamped="cross shaft").work]
    assert any(t.startswith("anchor spring `near`") for t in told)
    assert "fit spring `coil` of the other hand" in told


def test_the_search_agrees_with_the_solver():
    """Turns found for many candidates at once are those of each layout alone."""
    solution = swapped("scenario-before", "replaced")
    g = ground(solution.swap, examine(solution.swap.before))
    varies = [Vary(), Vary(driver=ANYWHERE, driven=ANYWHERE)]
    found = search(g.layout, g.path, varies, g.aims(varies))
    assert len(found) == 4
    whole = found.layout(g.layout)
    for i in range(len(found)):
        layout = row(whole, i)
        layout = replace(layout, pedal=replace(layout.pedal, stop=None))
        x = examine(layout)
        main = layout.main
        assert x.working.opening_at_end[main.name] / main.swing == pytest.approx(
            min(found.reached[i], 1.0), abs=1e-6
        )
        assert found.rank[i] < 5  # nothing is short of its aims


def test_no_way_to_open_is_said_so():
    # A lever so long that no arm of the linkage can swing it as far.
    before = car("hanging-pedal")
    long = before.with_arm(Hole(shaft="spindle", arm="lever"), length=0.15)
    solution = solve(swap_sides(long, carburettor="replaced", opens=-1))
    assert all(c.reason for c in solution.cures)
    assert not solution.fits


def test_changes_name_what_is_new():
    before = car("scenario-before")
    longer = before.with_arm(
        Hole(shaft="cross shaft", arm="outer"), length=0.08, offset=0.0
    )
    made = changes(before, longer, clamped="cross shaft")
    assert [job_text(longer, j) for j in made.parts] == [
        "arm `cross shaft.outer` of 80.0 mm instead of 71.0 mm"
    ]
    assert (
        job_text(longer, made.work[0])
        == "slide arm `cross shaft.outer` to 0.0 mm along its shaft"
    )
    same = changes(before, before, clamped="cross shaft")
    assert (same.parts, same.work) == ((), ())
    assert assemble(longer)


def test_a_lengthwise_shaft_that_pushed_the_lever_shut_is_cured():
    solution = solve(swap_sides(lengthwise()))
    assert solution.reversal.opens is False
    assert solution.cures[0].mends_the_swap
    assert {f.code for f in solution.was_before} == {"energy-sources"}  # no springs
    best = solution.cures[0].outcome.examined
    assert best.speeds.first["spindle"][0] < 0  # clockwise seen from behind: opens


def test_twin_carburettors_on_one_shaft_are_set_alike():
    before = car("twin-side-draught")
    solution = solve(
        swap_sides(before, carburettor="replaced", opens=before.main.opens)
    )
    one = cure(solution, "lever-standing")
    assert one.mends_the_swap
    front, rear = one.layout.shafts["front spindle"], one.layout.shafts["rear spindle"]
    assert front.arms["lever"] == rear.arms["lever"]
    x = one.outcome.examined
    assert x.motion.opening("front") == pytest.approx(
        x.motion.opening("rear"), abs=1e-9
    )
    # What reverses the shaft itself has the kickdown's rod set anew too.
    crank = cure(solution, "bell-crank-of-the-other-hand")
    assert "kickdown" not in crank.reason
    x = crank.outcome.examined
    assert x.motion.opening("kickdown")[-1] > 0
    assert any(s.about.name == "gearbox" for s in crank.changes.work)
    # A reversing lever in the rod of one leaves the other to be set by itself.
    lever = cure(solution, "reversing-lever")
    assert lever.title.startswith("reversing lever between ")
    assert "opening-sense" not in lever.reason


def test_what_cannot_be_put_together_is_no_candidate():
    before = car("scenario-before")
    swap = swap_sides(before, carburettor="turned")
    g = ground(swap, examine(before))
    last = g.path[-1].rod.name
    short = swap.after.with_rod(last, 0.001)
    zero = np.zeros(1)
    tries = [Candidates(layout=short, rank=zero, reached=zero + r) for r in (0.2, 0.97)]
    recipe = Recipe(name="none", title="none", tiers=(lambda _: tries,))
    (one,) = solved(g, [recipe])
    assert (one.layout, one.outcome) == (None, None)
    # The best of the search says why: it opened far enough.
    assert one.reason == nothing(0.97)


def test_a_stop_of_the_carburettor_stays_with_it():
    before = car("scenario-before")
    stop = Stop(name="own", shaft="spindle", turn=before.main.opens * 1.6)
    before = replace(before, stops={"own": stop})
    swap = swap_sides(before, carburettor="turned")
    g = ground(swap, examine(before))
    (one,) = solved(g, [lever_over(g)])
    assert one.layout is not None
    assert one.layout.stops["own"] == swap.after.stops["own"]
    assert swap.after.stops["own"].turn == pytest.approx(swap.after.main.opens * 1.6)


def test_a_rod_that_would_jam_past_the_full_stop_before_the_swap_is_no_hindrance():
    """Only the shafts up to the one that stays are followed to the floor."""
    before = car("scenario-before").with_arm(
        "spindle.lever", length=0.028, angle=math.radians(60)
    )
    floor = sweep(assemble(before), before.pedal.travel)
    assert np.isnan(floor.turns["spindle"])
    assert check(before, cures=False).verdict != "do not fit"
    solution = solve(swap_sides(before, carburettor="turned"))
    assert not solution.fits_as_it_is
    assert sum(c.fits for c in solution.cures) >= 4
