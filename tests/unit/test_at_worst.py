"""Full throttle and dead centre with every measuring error the unkind way.

Layouts that fit as measured and may not be driven, each beside its sound twin.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from linkage import config
from linkage.band.found import values
from linkage.band.worst import worst_layout
from linkage.errors import ReachError
from linkage.model import stack
from linkage.model.paths import applied, read
from linkage.rules import at_worst, examine
from linkage.rules.at_worst import DEAD_AT_WORST, FULL_AT_WORST
from linkage.rules.corners import WORN, AtWorst, margin, moving, off_by, spare, worn
from linkage.rules.engine import judge
from linkage.rules.examine import COARSE, SAMPLED, stop_set_last
from linkage.search import check
from tests.unit.edits import HAULER, TRUCK, edited, set_to

LATE = "fault-lever-clocked-late"
#: The lever that stands close to its dead centre at full, a little less late.
LEVER = "arms.lever        = { length = 32, angle = 97, offset = 10 }"
NEAR = (
    (LEVER, LEVER.replace("97", "88")),
    ("stop   = 67", "stop   = 75.5"),
)


def of(found, code):
    return [f for f in found.findings if f.code == code]


def exact(layout, *groups):
    """Return a layout of which everything is known to a hair."""
    tolerances = {
        tuple(map(str, m.path)): m.error / 100
        for m in moving(layout)
        if not groups or m.group in groups
    }
    tolerances["throttle", "swing"] = 1e-4
    return replace(layout, tolerances=tolerances)


def test_a_dead_centre_that_is_far_enough_as_measured_may_not_be_as_made():
    layout = edited(LATE, *NEAR)
    (nominal,) = (
        f for f in of(check(layout, cures=False), "dead-centre") if "full" in f.where
    )
    assert nominal.verdict == "fits"
    assert np.degrees(nominal.value) > 15
    (worst,) = of(check(layout, cures=False), "dead-centre-worst")
    assert worst.verdict == "do not fit"
    assert np.degrees(worst.value) < 13
    assert "measure again the " in worst.text
    assert "15.0° is asked" in worst.text


def test_its_twin_that_was_measured_better_fits():
    (worst,) = of(check(exact(edited(LATE, *NEAR)), cures=False), "dead-centre-worst")
    assert worst.verdict == "fits"
    assert np.degrees(worst.value) > 15


def test_far_from_it_no_error_makes_a_doubt_and_nothing_is_said():
    assert not of(check(edited(HAULER), cures=False), "dead-centre-worst")


def test_what_mends_it_leaves_no_doubt_either():
    found = check(edited(LATE, *NEAR))
    assert found.plan is not None
    after = check(found.plan.layout, cures=False)
    assert all(f.verdict != "do not fit" for f in after.findings)


def test_full_throttle_that_is_barely_reached_asks_for_a_look():
    """All the pad's travel is used: a short measure takes the plate's last part away."""
    layout = edited(
        HAULER, ("travel = 76", "travel = 70.7"), ("stop   = 71", "stop   = 70.7")
    )
    found = check(layout, cures=False)
    (nominal,) = of(found, "full-throttle")
    assert nominal.verdict == "fits"
    (worst,) = of(found, "full-throttle-worst")
    assert worst.verdict == "look"
    assert worst.value < 0.85
    assert "measure again the travel of the pedal" in worst.text
    (sound,) = of(check(edited(HAULER), cures=False), "full-throttle-worst")
    assert sound.verdict == "fits"


@pytest.mark.parametrize("name", [HAULER, "cable-drum", "quarter-turn"])
def test_no_other_corner_is_worse(name):
    """Every corner of the eight errors that matter most, the rest as the worst has them."""
    x = examine(edited(name))
    question = ("full", x.layout.main.name)
    worst = AtWorst(x, np.array([0]), [question])
    own = worst.corners[0, :, 0]
    most = np.argsort(-np.abs(worst.effects[0, :, 0]))[:8]
    shifts = np.tile(own, (2**8, 1))
    shifts[:, most] = np.array(list(product((1, -1), repeat=8))) * np.abs(own[most])
    rows = stop_set_last(off_by(worst.layout, worst.measured, shifts))
    assert spare(rows, question[1]).min() >= spare(worst.x, question[1])[0] - 2e-3


def test_rows_say_what_each_layout_says_alone():
    layouts = [
        edited(LATE, (LEVER, LEVER.replace("97", str(a))), NEAR[1])
        for a in (88, 87, 60)
    ]
    layouts = [replace(one, title="") for one in layouts]
    many = judge(examine(stack(layouts)), rules=(DEAD_AT_WORST, FULL_AT_WORST))
    for i, one in enumerate(layouts):
        alone = judge(examine(one), rules=(DEAD_AT_WORST, FULL_AT_WORST))
        for place in alone.ranks:
            assert values(many, place)[i] == pytest.approx(
                values(alone, place)[0], rel=1e-9, nan_ok=True
            )
            assert many.ranks[place][i] == alone.ranks[place][0]


def test_a_rod_of_given_length_is_set_by_as_much_as_one_cut_to_fit():
    rod = 'to       = "spindle.lever"'
    cut, given = edited(TRUCK), edited(TRUCK, (rod, f'{rod}\nlength = "443.6 mm"'))
    found = []
    for layout in (cut, given):
        some = moving(layout)
        shift = np.zeros((1, len(some)))
        shift[0, [m.called for m in some].index("radius of `spindle.lever`")] = 5e-4
        made = off_by(layout, some, shift)
        found.append(examine(made).assembly.loop("link").length)
    was = [examine(one).assembly.loop("link").length for one in (cut, given)]
    assert np.ravel(found[1]) - was[1] == pytest.approx(
        np.ravel(found[0]) - was[0], abs=1e-9
    )


def test_joints_are_worn_and_no_less_than_they_are():
    layout = edited(TRUCK)
    assert worn(layout).rods["link"].play == WORN
    loose = replace(layout.rods["link"], play=5e-4)
    assert worn(replace(layout, rods={"link": loose})).rods["link"].play == 5e-4


@pytest.mark.parametrize("name", [TRUCK, HAULER, "push-pull-cable"])
def test_the_worst_corner_as_a_file_is_judged_as_it_was_told(name):
    layout = edited(name)
    (told,) = of(check(layout, cures=False), "full-throttle-worst")
    worst, what = worst_layout(examine(layout))
    again = config.loads(config.dump(worst)).layout
    (found,) = of(check(again, cures=False), "full-throttle")
    assert what == "full throttle"
    assert found.value == pytest.approx(told.value, abs=1e-4)


def test_the_worst_corner_of_a_near_dead_centre_is_that_of_the_dead_centre():
    layout = edited(LATE, *NEAR)
    (told,) = of(check(layout, cures=False), "dead-centre-worst")
    worst, what = worst_layout(examine(layout))
    assert what == "dead centre"
    hole = layout.hole("spindle.lever")
    assert margin(examine(worst), "link", hole)[0] == pytest.approx(
        told.value, abs=1e-4
    )


def test_a_hole_radius_counts_and_a_pivot_hardly():
    """On a squared-up layout: common practice, no source."""
    layout = edited(TRUCK)
    x = examine(layout)
    base = read(layout, ("shafts", "spindle", "arms", "lever", "length"))
    longer = applied(
        layout, {("shafts", "spindle", "arms", "lever", "length"): base + 1e-3}
    )
    motion = (
        examine(one).unstopped.opening("throttle")[-1] for one in (layout, longer)
    )
    lost = np.degrees(next(motion) - next(motion))
    assert 1.2 < lost < 2.8
    up = read(layout, ("shafts", "spindle", "pivot", 1))
    aside = applied(layout, {("shafts", "spindle", "pivot", 1): up + 5e-3})
    turned = (
        examine(aside).unstopped.opening("throttle")[-1]
        - x.unstopped.opening("throttle")[-1]
    )
    assert abs(np.degrees(turned)) < 0.1


def test_a_corner_that_cannot_be_put_together_is_told_so_and_asks_for_a_look():
    (torn,) = of(check(set_to(TRUCK, 5), cures=False), "full-throttle-worst")
    assert torn.verdict == "look"
    assert "it cannot be put together, as a rod does not reach" in torn.text
    assert "measure again the length of rod `link`" in torn.text
    assert "cannot be put together" in torn.clause
    assert "nan" not in f"{torn.text} {torn.short}"
    known = exact(set_to(TRUCK, 0.1))
    (sound,) = of(check(known, cures=False), "full-throttle-worst")
    assert sound.verdict == "fits"


@pytest.mark.parametrize("grain", [COARSE, SAMPLED])
def test_no_corner_is_solved_of_what_is_looked_at_coarsely(grain, monkeypatch):
    layout = edited(LATE, *NEAR)
    close = judge(examine(layout)).ranks
    assert any(place[0] == FULL_AT_WORST.code for place in close)
    monkeypatch.setattr(at_worst, "AtWorst", None)
    found = judge(examine(layout, grain)).ranks
    assert any(place[0] == DEAD_AT_WORST.code for place in found)
    assert not any(place[0] == FULL_AT_WORST.code for place in found)


@pytest.mark.parametrize("known_to", [10, 40, 60])
def test_a_number_that_is_known_worse_never_looks_better(known_to):
    """Off by 40 mm either way the rod does not reach, which counted as no effect."""
    (found,) = of(
        check(set_to(LATE, known_to, *NEAR), cures=False), "dead-centre-worst"
    )
    assert found.verdict == "do not fit"
    assert "nan" not in f"{found.text} {found.short}"
    assert ("cannot be put together" in found.clause) == (known_to > 10)


def test_a_worst_corner_that_cannot_be_put_together_is_written_for_what_it_is():
    worst, what = worst_layout(examine(set_to(LATE, 40, *NEAR)))
    assert what == "dead centre"
    with pytest.raises(ReachError):
        check(config.loads(config.dump(worst)).layout)


def test_effects_where_one_way_gives_no_answer():
    """Nothing in line one way is held against none off; what tears either way counts."""
    layout = edited(LATE, *NEAR)
    hole = layout.hole("spindle.lever")
    worst = AtWorst(examine(layout), np.array([0]), [("dead", "link", hole)])
    more, less = np.full((2, 1, len(worst.measured), 1), 0.3)
    more[0, :4, 0] = 0.5, np.nan, 0.2, 0.0
    less[0, :4, 0] = 0.1, 0.2, np.nan, 0.0
    worst.__dict__["_single"] = more, less, np.full((1, 1, 1), 0.3)
    assert worst.effects[0, :5, 0] == pytest.approx([0.2, 0.1, -0.1, -0.3, 0.0])


def test_no_corner_is_kinder_than_one_error_alone():
    """All together the foot's lever locks before the dead centre that is asked about."""
    layout = edited("fault-fast-idle-too-far")
    question = ("dead", "fast", layout.hole("spindle.fast"))
    worst = AtWorst(examine(layout), np.array([0]), [question])
    more, less, still = worst._single
    assert np.isnan(more).any()
    assert worst.margins[0, 0] == pytest.approx(np.nanmin([more, less]), abs=2e-3)
    assert worst.margins[0, 0] < still[0, 0, 0]
    assert (worst.corners != 0).sum() == 1
