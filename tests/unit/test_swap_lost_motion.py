"""A swap of rods that lose motion: what they then must do is told, and never kept.

The rod lies across, between two shafts along the vehicle, so that one that pulled to
the one side pushes to the other. Sizes are invented.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from linkage.config import dump, loads
from linkage.model import Hole
from linkage.motion import assemble
from linkage.report.reverses import fact_data
from linkage.report.work import job_text
from linkage.rules.examine import examine
from linkage.search import check
from linkage.search.at_rest import lost_at_rest
from linkage.swap import solve, swap_sides
from linkage.swap.ground import ground
from linkage.swap.recipes import crossed_pull, other_rod, push_rod
from linkage.swap.reversing import with_lever
from linkage.swap.seats import Seats
from tests.unit.edits import TO, TRUCK, edited

FILE = """
format = 1
title = "A pedal along the vehicle"
units = { length = "mm", angle = "deg", force = "N" }
[shafts.pedal]
pivot = [0, 0, 0]
axis = "along"
bearing = 12
arms.pad = { length = 200, angle = -90 }
arms.rod = { length = 115, angle = 80 }
[shafts.spindle]
pivot = [0, -430, 82]
axis = "along"
bearing = 8
drag = "0.06 N·m"
arms.lever = { length = 32, angle = 52 }
arms.spring = { length = 28, angle = 70, offset = -22 }
arms."far spring" = { length = 28, angle = 70, offset = 26 }
[rods.link]
from = "pedal.rod"
to = "spindle.lever"
joints = "ball with clip"
diameter = 8
ROD
[pedal]
shaft = "pedal"
pad = "pad"
presses = "anticlockwise"
travel = 76
stop = 69.5
[throttle]
shaft = "spindle"
opens = "anticlockwise"
swing = 76
bore = 38
spindle = 8
closed_angle = 8
[springs.near]
hook = "spindle.spring"
anchor = [22, -545, 105]
anchored_on = "engine"
rate = "0.45 N/mm"
free_length = 82
initial_tension = 5
greatest_length = 160
[springs.far]
hook = "spindle.far spring"
anchor = [-26, -545, 105]
anchored_on = "engine"
rate = "0.45 N/mm"
free_length = 82
initial_tension = 5
greatest_length = 160
[engine]
carries = ["spindle"]
"""


def across(keys):
    return loads(FILE.replace("ROD", keys)).layout


@cache
def solved(keys):
    """Return the swap to the other side, of a carburettor that opens the same way."""
    layout = across(keys)
    assert check(layout, cures=False).verdict != "do not fit"
    return solve(swap_sides(layout, beyond="pedal", carburettor="replaced", opens=1))


def told(solution, kind, part):
    facts = fact_data(solution.swap, solution.reversal)
    return next(f for f in facts if (f["kind"], f["part"]) == (kind, part))


def test_a_slotted_rod_that_now_pushes_is_told_with_the_end_of_its_slot():
    solution = solved("slot = 30\nlost = 1")
    fact = told(solution, "rod", "link")
    assert (fact["before"], fact["after"]) == ("pulls", "pushes")
    assert fact["text"].endswith("its pin drives at the inner end of its slot now")
    best = solution.cures[0]
    assert best.fits
    cut = [job_text(best.layout, j) for j in best.changes.work if j.kind == "rod cut"]
    assert cut[0].endswith(
        "from the joint at `pedal.rod` to the pin at the inner end of its slot"
    )
    again = assemble(loads(dump(best.layout)).layout)
    assert again.loop("link").carries == -1
    assert lost_at_rest(again)["link"] == pytest.approx(0.001, abs=1e-6)


def test_a_rod_that_can_only_pull_is_not_kept_where_it_would_have_to_push():
    solution = solved('only = "pull"')
    assert solution.reversal.idle == ("link",)
    assert solution.reversal.opens is False
    assert not solution.fits_as_it_is
    fact = told(solution, "rod", "link")
    assert "can only pull, and would have to push `spindle.lever`" in fact["text"]
    assert "it lets go" in fact["text"]
    fact = told(solution, "pedal", "throttle")
    assert (fact["before"], fact["after"]) == ("opens", "does not move")
    assert fact["text"] == "pressing NOW does not move throttle; before it opened it"
    for cure in solution.cures:
        if cure.outcome is None:
            continue
        x = cure.outcome.examined
        assert x.throttle_share > 0.9  # one that lets go opens nothing
        turned = cure.layout.rods["link"].only == "push"
        assert turned == (cure.name == "rod-the-other-way")
    names = {c.name for c in solution.cures if c.fits}
    assert {"crossed-pull-rod", "rod-the-other-way"} <= names
    other = next(c for c in solution.cures if c.name == "rod-the-other-way")
    assert other.title == "rod `link` of a kind that can push instead of pull"
    made = [job_text(other.layout, job) for job in other.changes.parts]
    kind = "a rod in a cup instead of a chain, a wire or an open hook"
    assert made == [f"rod `link` one that can push: {kind}"]


def test_the_one_way_rod_asks_for_what_it_can_do():
    layout = across('only = "pull"')
    swap = swap_sides(layout, beyond="pedal", carburettor="replaced", opens=1)
    g = ground(swap, examine(layout))
    assert push_rod(g).reason == "rod `link` can only pull"
    assert not crossed_pull(g).reason
    keys = 'only = "pull"\nlength = "429.8 mm"\nfixed = true'
    layout = across(keys)
    swap = swap_sides(layout, beyond="pedal", carburettor="replaced", opens=1)
    g = ground(swap, examine(layout))
    assert "may not be made anew: fixed" in other_rod(g, ["link"]).reason


def test_a_slotted_rod_of_given_length_loses_what_it_lost_and_is_cut_again():
    layout = across("slot = 30\nlength = 432.5")
    lost = lost_at_rest(assemble(layout))["link"]
    assert lost > 0.002
    swap = swap_sides(layout, beyond="pedal", carburettor="replaced", opens=1)
    assert swap.recut == ("link",)
    after = assemble(swap.after)
    assert lost_at_rest(after)["link"] == pytest.approx(lost)
    # By a push it drives where its pins are so much nearer to each other.
    holes = (("pedal", "rod"), ("spindle", "lever"))
    pins = [np.array(swap.after.shafts[s].pin(a), float) for s, a in holes]
    apart = float(np.linalg.norm(pins[1] - pins[0]))
    assert after.loop("link").length == pytest.approx(apart - lost)


def test_a_rod_that_goes_on_to_pull_as_it_did_keeps_its_length():
    layout = edited(TRUCK, (TO, f"{TO}\nslot = 30\nlength = 432.5"))
    swap = swap_sides(layout)
    assert swap.recut == ()
    assert swap.after.rods["link"].length == pytest.approx(0.4325)


@pytest.mark.parametrize(
    ("keys", "first", "second"),
    [
        ("slot = 30\nlost = 2", 0.0, 0.03),
        ('slot = 30\nlost = 2\nslot_at = "from"', 0.03, 0.0),
    ],
)
def test_a_reversing_lever_leaves_a_slot_at_its_own_hole(keys, first, second):
    layout = edited(TRUCK, (TO, f"{TO}\n{keys}"))
    seat = Seats(
        place=np.array([[0.3], [0.1]]),
        lengths=np.array([[0.05], [0.05]]),
        angles=np.array([[1.5], [-1.6]]),
        pushes=np.array([0]),
        sense=np.array([1.0]),
    )
    new, one, two = with_lever(layout, layout.links[0], seat)
    assert (one.rod.slot, two.rod.slot) == (first, second)
    slotted = one.rod if first else two.rod
    at = slotted.start if slotted.slot_at == "start" else slotted.end
    assert at in {Hole(shaft="pedal", arm="rod"), Hole(shaft="spindle", arm="lever")}
    assert sorted([one.rod.lost, two.rod.lost]) == [0.0, 0.002]
    assert [r.loose for r in new.rods.values()].count(True) == 1


def test_a_reversing_lever_leaves_one_of_two_rods_that_can_only_pull():
    layout = edited(TRUCK, (TO, f'{TO}\nonly = "pull"'))
    solution = solve(swap_sides(layout, carburettor="turned"))
    (lever,) = [c for c in solution.cures if c.name == "reversing-lever"]
    assert lever.fits
    assert [r.only for r in lever.layout.rods.values()] == ["pull", ""]
    again = check(loads(dump(lever.layout)).layout, cures=False)
    assert again.verdict != "do not fit"
    (push,) = [c for c in solution.cures if c.name == "push-rod"]
    assert push.reason == "rod `link` can only pull"


def test_a_reversing_lever_leaves_an_over_travel_spring_next_to_the_throttle():
    keys = 'over_travel = 8\nover_travel_load = 60\nover_travel_rate = "2 N/mm"'
    layout = edited(TRUCK, (TO, f"{TO}\n{keys}"))
    solution = solve(swap_sides(layout, carburettor="turned"))
    (lever,) = [c for c in solution.cures if c.name == "reversing-lever"]
    assert lever.fits
    read = loads(dump(lever.layout)).layout
    assert [r.gives for r in read.rods.values()] == [False, True]
    assert check(read, cures=False).verdict != "do not fit"
