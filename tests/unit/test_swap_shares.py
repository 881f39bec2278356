"""What was so before a swap and what the swap brings are two lists, by place."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from linkage.config import dump, load, loads
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.report.swap import swap_data, swap_lines
from linkage.rules.engine import judge
from linkage.rules.examine import examine
from linkage.rules.rule import BAD
from linkage.search import check
from linkage.swap import solve, swap_sides
from linkage.swap.cures import solved
from linkage.swap.ground import ground
from linkage.swap.judging import Candidates
from linkage.swap.recipe import Recipe
from linkage.swap.shares import HEAVY, Older

CONFIGS = Path(__file__).parents[2] / "configs"
LEVER = Hole(shaft="spindle", arm="lever")
#: What a carburettor that opens the other way brings; springs as they were go along.
WRONG_WAY = {"opening-sense", "spring-pedal"}


def car(*springs: str):
    """Return the car before its swap, with some of its springs."""
    layout = load(CONFIGS / "scenario-before.toml").layout
    kept = {n: s for n, s in layout.springs.items() if n in springs}
    return replace(layout, springs=kept)


@cache
def swapped(*springs: str, kind: str = "replaced"):
    more = {"opens": -1} if kind == "replaced" else {}
    return solve(swap_sides(car(*springs), carburettor=kind, **more))


def codes(findings) -> set[str]:
    return {f.code for f in findings}


def flat(lines) -> str:
    return " ".join(" ".join(lines).split())


# --- one spring only, and its sound twin ----------------------------------------------


def test_a_fault_that_the_car_had_hides_no_step():
    solution = swapped("near")
    was = check(car("near"), cures=False).reasons
    assert [f.place for f in solution.was_before] == [f.place for f in was] != []
    assert codes(solution.share.brings) == WRONG_WAY
    assert not solution.fits
    for one in solution.cures:
        assert one.layout is not None
        assert one.mends_the_swap
        assert not one.fits
        assert one.changes.work
        assert {f.place for f in one.share.before} == {f.place for f in was}
        again = check(loads(dump(one.layout)).layout, cures=False)
        assert {f.place for f in again.reasons} == {f.place for f in was}


def test_its_twin_with_both_springs_fits_and_leaves_nothing():
    solution = swapped("near", "far")
    assert solution.was_before == ()
    assert codes(solution.share.brings) == WRONG_WAY
    best = solution.cures[0]
    assert best.fits
    assert best.mends_the_swap
    assert (best.share.before, best.share.brings, best.share.unjudged) == ((), (), ())


def test_both_change_the_same_arms():
    """The old fault has no say in how the swap is cured."""
    for one, two in zip(
        swapped("near").cures, swapped("near", "far").cures, strict=True
    ):
        if one.name == two.name == "lever-hanging":
            lever = [c.layout.shafts["spindle"].arms["lever"] for c in (one, two)]
            assert lever[0] == lever[1]
            return
    pytest.fail("the hanging lever is not among them")


def test_the_lists_and_the_steps_are_told():
    text = flat(swap_lines(swapped("near")))
    before, _, after = text.partition("What the swap brings:")
    assert "Was so before the swap, and must be mended too: - only spring" in before
    assert after.startswith(" - the pedal shuts the plate:")
    assert "Not judged while that is so: the reach of rods," in after
    assert ", so before do: set arm" in after
    assert "leaves, so before: only spring" in after
    assert "No cure fits. Those that mend the swap leave what was so before it" in after
    twin = flat(swap_lines(swapped("near", "far")))
    assert "so before" not in twin
    assert "No cure fits." not in twin


def test_the_lists_are_plain_data():
    data = swap_data(swapped("near"))
    assert {f["code"] for f in data["was_before"]} == {"energy-sources"}
    assert {f["code"] for f in data["brings"]} == WRONG_WAY
    assert {"code": "full-throttle", "part": None} in data["not_judged"]
    for cure in data["cures"]:
        assert cure["mends_the_swap"]
        assert not cure["fits"]
        assert cure["work"]
        assert {f["code"] for f in cure["leaves_from_before"]} == {"energy-sources"}
        assert cure["brings"] == cure["not_judged"] == []


def test_a_swap_that_brings_nothing_needs_no_cure_of_it():
    solution = swapped("near", kind="mirrored")
    assert solution.brings_nothing
    assert not solution.fits
    assert solution.cures == ()
    text = flat(swap_lines(solution))
    assert "The swap brings nothing new: no cure of it is needed." in text
    assert "Do not fit before what was so before is mended: two springs." in text
    twin = swapped("near", "far", kind="mirrored")
    assert twin.fits_as_it_is
    assert "It fits as it is" in flat(swap_lines(twin))


# --- by place, never by words -----------------------------------------------------------


def overstretched(name: str, greatest: float = 0.11):
    """Return the car judged with one spring stretched beyond what it stands. [m]."""
    layout = car("near", "far")
    spring = layout.springs[name]
    known = replace(spring.known, greatest_length=greatest)
    return judge(examine(layout.with_spring(replace(spring, known=known))))


def test_the_same_rule_at_another_part_is_new():
    one, two = overstretched("near"), overstretched("far")
    for share, name in (
        (Older(one).share(two), "far"),
        (Older(two).share(one), "near"),
    ):
        (new,) = share.brings
        assert (new.code, new.about) == ("spring-overstretched", Ref("spring", name))
        assert not share.only_older


def test_the_same_place_in_other_words_is_not():
    one, two = overstretched("near", 0.112), overstretched("near", 0.110)
    texts = [
        [f.text for f in x.findings() if f.verdict == "do not fit"] for x in (one, two)
    ]
    assert texts[0] != texts[1]
    share = Older(one).share(two)
    assert share.brings == ()
    assert codes(share.before) == {"spring-overstretched"}
    assert share.only_older


def test_what_is_left_nothing_to_say_counts_as_failing():
    good = judge(examine(car("near", "far")))
    wrong = judge(examine(load(CONFIGS / "scenario-wrongly-swapped.toml").layout))
    share = Older(good).share(wrong)
    assert ("full-throttle", None) in share.unjudged
    assert not share.only_older
    bad, _, _ = Older(good).merits(wrong)
    assert bad[0] >= HEAVY + len(share.unjudged)
    assert Older(good).share(good).unjudged == ()


def test_a_wrong_sense_that_was_there_before_leaves_too_much_unjudged():
    wrong = judge(examine(load(CONFIGS / "scenario-wrongly-swapped.toml").layout))
    share = Older(wrong).share(wrong)
    assert codes(share.before) == WRONG_WAY
    assert share.brings == ()
    assert not share.only_older


def test_a_spring_that_worked_the_wrong_way_did_so_whichever_rule_says_it():
    """Its hand is told before; its line after a cure that turns the shaft less far."""
    wrong = load(CONFIGS / "fault-spring-wrong-hand.toml").layout
    was = Older(judge(examine(wrong)))
    assert {p[0] for p, rank in was.before.told.items() if rank == BAD} == {
        "spring-hand"
    }
    assert was._was(("spring-line", Ref("spring", "near"), ())) == BAD
    assert was._was(("spring-line", Ref("spring", "far"), ())) < BAD


def test_what_another_finding_hid_before_too_is_not_lost():
    """A spring of the wrong hand names what its line and the closing torque would say."""
    wrong = load(CONFIGS / "fault-spring-wrong-hand.toml").layout
    right = replace(wrong.springs["near"], anchor=(0.083, 0.026, 0.005))
    sound, found = (judge(examine(x)) for x in (wrong.with_spring(right), wrong))
    near, plate = Ref("spring", "near"), Ref("throttle", "throttle")
    lost = set(Older(sound).share(found).unjudged)
    assert {("spring-line", near), ("closing-torque", plate)} <= lost
    share = Older(found).share(found)
    assert codes(share.before) == {"spring-hand"}
    assert share.unjudged == ()


def test_springs_that_worked_the_wrong_way_are_hooked_to_close():
    """Swapped back as it is, with the throttle shut by the pedal as before."""
    wrong = load(CONFIGS / "scenario-wrongly-swapped.toml").layout
    solution = solve(swap_sides(wrong))
    assert codes(solution.was_before) == WRONG_WAY
    assert not solution.brings_nothing
    best = solution.cures[0]
    assert best.fits
    hooks = {step.about for step in best.changes.work if step.kind == "arm angle"}
    assert Ref("arm", "spindle", "spring") in hooks


# --- what no cure may bring --------------------------------------------------------------


def offered(angle: float, length: float):
    """Return a cure made of one lever, whatever it does."""
    solution = swapped("near", "far")
    old = examine(solution.swap.before)
    g = ground(solution.swap, old, Older(judge(old)))
    layout = g.layout.with_arm(LEVER, angle=np.radians(angle), length=length)
    one = Candidates(layout=layout, rank=np.zeros(1), reached=np.ones(1))
    recipe = Recipe(name="as-given", title="as given", tiers=(lambda _: [one],))
    return solved(g, [recipe])[0]


def test_a_jam_or_a_wrong_sense_is_not_offered():
    for angle, code in ((-120, "reach"), (52, "opening-sense")):
        cure = offered(angle, 0.032)
        assert cure.layout is None
        assert cure.changes is None
        assert code in cure.reason
        assert "nothing is offered that brings a fault like this" in cure.reason


def test_what_falls_short_is_told_with_its_steps_and_what_it_leaves():
    cure = offered(-65, 0.045)
    assert codes(cure.share.brings) == {"full-throttle"}
    assert cure.changes.parts
    assert not cure.fits
    assert not cure.mends_the_swap
