"""Closing torque by ratio and by itself, doubled friction, drag: each with its twin.

Floors and ratios are common practice, no source. All layouts are invented.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from linkage.model.columns import column
from linkage.rules import Outcome, Rule, examine, judge
from linkage.rules.order import RULES
from linkage.rules.rule import BAD, FITS
from linkage.search import check
from tests.unit.edits import TRUCK, edited, limit


def scaled(share, layout=None):
    """Return the truck with both springs at a share of their load."""
    layout = edited(TRUCK) if layout is None else layout
    for spring in layout.springs.values():
        known = spring.known
        known = replace(
            known,
            rate=share * known.rate,
            initial_tension=share * known.initial_tension,
        )
        layout = layout.with_spring(replace(spring, known=known))
    return layout


def found(layout, *codes):
    return [f for f in judge(examine(layout)).findings() if f.code in codes]


def bad(layout):
    return {
        f.code for f in judge(examine(layout)).findings() if f.verdict == "do not fit"
    }


@pytest.mark.parametrize("share", [0.01, 0.1, 0.25])
def test_springs_far_too_weak_do_not_fit(share):
    assert {"closing-torque", "closing-torque-one-off"} <= bad(scaled(share))
    assert check(scaled(share), cures=False).verdict == "do not fit"


def test_their_twins_at_full_load_fit():
    assert bad(scaled(1.0)) == set()
    assert bad(scaled(1.3)) == set()


def nearly_free(share):
    """Return the truck with hardly any friction, so that no ratio is ever short."""
    layout = scaled(share)
    shafts = {
        n: replace(s, friction=0.001, drag=0.0001) for n, s in layout.shafts.items()
    }
    rods = {n: replace(r, joint_friction=0.001) for n, r in layout.rods.items()}
    return replace(layout, shafts=shafts, rods=rods)


def test_a_floor_whatever_the_friction():
    """Torque a hundred times friction and yet too little to shut a plate."""
    weak = found(nearly_free(0.2), "closing-torque", "closing-torque-one-off")
    ratios = [f for f in weak if f.kind == "ratio"]
    assert all(f.verdict == "fits" and f.value > 10 for f in ratios)
    (floor,) = [f for f in weak if f.kind == "torque" and f.code == "closing-torque"]
    assert floor.verdict == "do not fit"
    assert floor.value < floor.limit == 0.25
    assert "too weak, whatever the friction" in floor.text
    ones = [
        f for f in weak if f.kind == "torque" and f.code == "closing-torque-one-off"
    ]
    assert {f.part[0].text for f in ones} == {"spring `near` off", "spring `far` off"}
    assert all(f.value < f.limit == 0.1 for f in ones)
    assert not [
        f for f in found(nearly_free(1.0), "closing-torque") if f.kind == "torque"
    ]


def test_between_the_floor_and_what_is_usual_it_asks_for_a_look():
    def least(share):
        (intact,) = examine(nearly_free(share)).forces.intact
        return intact.closing_torque.min()

    low, high = least(0.3), least(0.4)  # springs and weight: a straight line
    layout = nearly_free(0.3 + 0.1 * (0.27 - low) / (high - low))
    (floor,) = [f for f in found(layout, "closing-torque") if f.kind == "torque"]
    assert floor.verdict == "look"
    assert 0.25 < floor.value < 0.3 == floor.limit


def test_friction_counts_twice_with_any_one_part_failed():
    (one,) = [
        f
        for f in found(scaled(1.0), "closing-torque-one-off")
        if f.part[0].text == "spring `near` off"
    ]
    (clean,) = [
        f
        for f in found(
            edited(TRUCK, limit("dirt_factor", "1")), "closing-torque-one-off"
        )
        if f.part[0].text == "spring `near` off"
    ]
    # Not quite half: friction also takes load off the bearings further on.
    assert one.value == pytest.approx(clean.value / 2, rel=0.1)
    # One that would pass if friction were as clean as in a workshop.
    dirty = edited(TRUCK, limit("closing_ratio_one_off", f"{clean.value * 0.7:.4f}"))
    assert "closing-torque-one-off" in bad(dirty)


def test_a_ratio_a_hair_too_small_is_told_with_the_digits_that_show_it():
    """Where 2.0 times is asked, nobody is told that it is only 2.0 times."""
    sound = scaled(1.0)
    (ratio,) = [f for f in found(sound, "closing-torque") if f.kind == "ratio"]
    asked = {
        way: replace(
            sound, limits=replace(sound.limits, closing_ratio=ratio.value * way)
        )
        for way in (1.002, 0.998)
    }
    (bad_one,) = [
        f for f in found(asked[1.002], "closing-torque") if f.verdict == "do not fit"
    ]
    for words in (bad_one.text, bad_one.short):
        times = re.search(r"(\d+\.\d+) times the friction", words)
        limit = re.search(r"(\d+\.\d+) (?:times )?is asked", words)
        assert float(times[1]) < float(limit[1]), words
    twin = found(asked[0.998], "closing-torque")
    assert {f.verdict for f in twin} == {"fits"}


def test_what_a_spring_balance_shows_is_told():
    (f,) = found(scaled(1.0), "closing-torque")
    facts = f.outcome.facts
    r = 0.032
    x = examine(scaled(1.0))
    (intact,) = x.forces.intact
    for end, i in (("idle", 0), ("full", -1)):
        more, less = facts[end]
        torque, lost = intact.closing_torque[i], intact.friction_torque[i]
        assert more == pytest.approx((torque + lost) / r)
        assert less == pytest.approx((torque - lost) / r)
    assert (
        "a spring balance square to the lever, 32.0 mm from the spindle: at idle"
        in f.text
    )


def test_drag_that_nobody_measured_asks_for_a_look():
    drag = 'drag    = "0.06 N·m"   # spring balance, rods and springs off\n'
    (f,) = found(edited(TRUCK, (drag, "")), "drag-unmeasured")
    assert f.verdict == "look"
    assert "spring balance" in f.cure.text
    (f,) = found(edited(TRUCK), "drag-unmeasured")
    assert f.verdict == "fits"
    assert "`spindle`" in f.text


def test_the_time_with_nothing_failed_is_never_infinite_in_words():
    for share in (0.2, 0.4, 0.6, 1.0):
        for f in found(scaled(share), "time-to-idle"):
            assert "inf" not in f.text
            assert "nan" not in f.text


def _odd(value):
    def judged(x):
        del x
        from linkage.model.refs import Ref

        yield Outcome(about=Ref("pedal"), rank=FITS, value=value, limit=1.0)

    return Rule(code="odd", judge=judged, words=str, meaning="A value as it comes.")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_value_that_is_not_finite_never_fits(value):
    judged = judge(examine(edited(TRUCK)), rules=(*RULES, _odd(value)))
    assert [r[0] for p, r in judged.ranks.items() if p[0] == "odd"] == [BAD]
    column_ = column([1.0, value])
    many = edited(TRUCK).with_arm("spindle.lever", length=[0.032, 0.032001])
    judged = judge(examine(many), rules=(*RULES, _odd(column_)))
    assert [r.tolist() for p, r in judged.ranks.items() if p[0] == "odd"] == [
        [FITS, BAD]
    ]


def test_no_spring_is_do_not_fit_yet():
    layout = replace(edited(TRUCK), springs={})
    (f,) = found(layout, "energy-sources")
    assert f.verdict == "do not fit"
    assert f.text.startswith("do not fit yet: no spring is given")
    assert check(layout, cures=False).verdict == "do not fit"


def test_floors_over_rows_are_those_of_each_layout_alone():
    shares = np.array([0.05, 0.2, 0.28, 0.5, 1.0])
    layout = edited(TRUCK)
    known = {n: s.known for n, s in layout.springs.items()}
    for name, spring in layout.springs.items():
        rates = column(shares * known[name].rate)
        tension = column(shares * known[name].initial_tension)
        layout = layout.with_spring(
            replace(
                spring,
                known=replace(known[name], rate=rates, initial_tension=tension),
            )
        )
    many = judge(examine(layout))
    for i, share in enumerate(shares):
        alone = judge(examine(scaled(share)))
        assert many.verdicts[i] == alone.verdicts[0]
        codes = {p[0] for p, r in many.ranks.items() if r[i] == BAD}
        assert codes == {p[0] for p, r in alone.ranks.items() if r[0] == BAD}
