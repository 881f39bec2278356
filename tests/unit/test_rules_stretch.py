"""How far a spring is worked, and what is not known or is no number. All invented."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.model import Known, Limits, Spring, stack
from linkage.model.columns import column
from linkage.model.refs import Ref
from linkage.rules import examine, judge
from linkage.rules.springs import _nearest
from linkage.springs import spring_laws
from linkage.springs.stress import Stress
from tests.unit.cured import searched
from tests.unit.edits import HAULER, edited
from tests.unit.ruled import alone, found_in
from tests.unit.test_rules_forces import layout, pair

NEAR, FAR = pair()
#: Length to which the hauler stretches `near`. [m]
TO = 0.15197
PUSHED = Spring(
    name="near",
    kind="compression",
    shaft="spindle",
    arm="spring",
    anchor=(-0.09, -0.1, 0.13),
)


def known(**data: float) -> Spring:
    """Return the spring at the spindle with nothing known but this."""
    return replace(NEAR, known=Known(**data))


def loads(first: float, second: float) -> Spring:
    """Return a spring of 105 mm free, measured at two lengths."""
    tension, rate, free = 6.0, 450.0, 0.105
    return known(
        load_1=tension + rate * (first - free),
        length_1=first,
        load_2=tension + rate * (second - free),
        length_2=second,
        initial_tension=tension,
    )


def told(spring: Spring, code: str = "spring-stretch", **more):
    """Return what is told of how far a spring is worked; None if nothing is."""
    x = layout(spring, FAR, **more)
    mine = [f for f in found_in(x) if f.code == code and f.about.name == "near"]
    return mine[0] if mine else None


def test_a_spring_of_unknown_greatest_length_is_looked_at():
    found = told(known(rate=450.0, free_length=0.1))
    assert found.verdict == "look"
    assert found.value == pytest.approx(TO / 0.1, abs=1e-3)
    assert "1.52 times its free length of 100.0 mm" in found.text
    assert "NOT checked" in found.text
    advised = judge(examine(layout(known(rate=450.0, free_length=0.1), FAR)))
    cure = next(f.cure for f in advised.findings() if f.code == "spring-stretch")
    assert "pull it to 160.0 mm five times" in cure.text
    assert "`wire`, `coil`, `turns` and `material`" in cure.text
    # Where it is known it is held against it, and nothing is left to look at.
    sound = known(rate=450.0, free_length=0.1, greatest_length=0.2)
    assert told(sound) is None
    assert told(sound, "spring-overstretched").verdict == "fits"


def test_beyond_twice_its_free_length_it_is_not_fitted_until_it_is_known():
    bad = told(known(rate=100.0, free_length=0.07))
    assert bad.verdict == "do not fit"
    assert bad.limit == Limits().spring_stretch == 2.0
    assert "not to be fitted until its greatest length is known" in bad.text
    assert told(known(rate=100.0, free_length=0.08)).verdict == "look"
    far = replace(Limits(), spring_stretch=2.3)
    assert told(known(rate=100.0, free_length=0.07), limits=far).verdict == "look"
    assert told(known(rate=100.0, free_length=0.07, greatest_length=0.2)) is None
    assert told(known(rate=10.0, free_length=TO / 7)).verdict == "do not fit"


def test_a_spring_that_was_measured_over_too_little():
    bad = told(loads(0.110, 0.120))
    assert bad.verdict == "do not fit"
    assert "measured over 15.0 mm only" in bad.text
    assert "stretched 47.0 mm" in bad.text
    assert told(loads(0.110, 0.130)).verdict == "look"
    assert told(loads(0.130, 0.110)).verdict == "look"


def test_a_measured_spring_that_hangs_slack_is_not_beyond_what_was_measured():
    slack = replace(loads(0.110, 0.120), anchor=(0.1, -0.1, 0.13))
    found = alone(examine(layout(slack, FAR)), "spring-stretch")[0]
    assert found.outcome.facts["worked"] < 0
    assert found.verdict == "look"


def test_known_wire_says_how_far_it_may_go():
    thin = replace(
        NEAR,
        known=Known(wire=0.0012, coil=0.008, turns=60.0, free_length=0.09),
        material="EN 10270-1 SM",
    )
    assert told(thin) is None
    assert told(thin, "spring-stress") is not None
    # Without a material, or with one of which nothing is tabled, nobody knows.
    bought = known(rate=450.0, free_length=0.1, wire=0.0012, coil=0.008, turns=60.0)
    assert told(bought).verdict == "look"
    thick = replace(
        NEAR,
        known=Known(rate=450.0, free_length=0.1, wire=0.0095, coil=0.05, turns=10.0),
        material="A228",
    )
    assert told(thick).verdict == "look"


def test_a_pressed_spring_of_unknown_solid_length():
    data = {"rate": 200.0, "free_length": 0.3}
    found = told(replace(PUSHED, known=Known(**data)))
    assert found.verdict == "look"
    assert "the solid length of spring `near` is not known" in found.text
    assert "pressed together by " in found.text
    assert "of the 300.0 mm it is long when free" in found.text
    solid = replace(PUSHED, known=Known(**data, solid_length=0.05))
    assert told(solid) is None
    assert told(solid, "spring-overstretched").verdict == "fits"
    advised = judge(examine(layout(replace(PUSHED, known=Known(**data)), FAR)))
    cure = next(f.cure for f in advised.findings() if f.code == "spring-stretch")
    assert "until its coils touch" in cure.text


@pytest.mark.parametrize(("short", "verdict"), [(0.27, "do not fit"), (0.2, "look")])
def test_a_pressed_spring_that_was_measured_over_too_little(short, verdict):
    data = {"load_1": 2.0, "length_1": 0.29, "load_2": 200 * (0.3 - short)}
    spring = replace(PUSHED, known=Known(**data, length_2=short))
    found = told(spring)
    assert found.verdict == verdict
    assert "pressed" in found.text
    assert ("over 30.0 mm only" in found.text) == (verdict != "look")


def test_an_anchor_moved_nearer_makes_it_one_to_look_at():
    x = layout(known(rate=100.0, free_length=0.073), FAR)
    assert found_in(x)
    findings, plan = searched(x)
    bad = [f for f in findings if f.verdict == "do not fit"]
    assert [f.code for f in bad] == ["spring-stretch"]
    assert plan is not None
    after = {f.code: f.verdict for f in found_in(plan.layout) if f.verdict != "fits"}
    assert "do not fit" not in after.values()
    assert after["spring-stretch"] == "look"


def test_rows_say_what_each_layout_says_alone():
    free = (0.07, 0.08, 0.1)
    alike = [layout(known(rate=300.0, free_length=f), FAR) for f in free]
    judged = judge(examine(stack(alike)))
    for i, one in enumerate(alike):
        mine = [f for f in judged.findings(i) if f.code == "spring-stretch"]
        same = [f for f in found_in(one) if f.code == "spring-stretch"]
        assert [(f.text, f.verdict) for f in mine] == [
            (f.text, f.verdict) for f in same
        ]
    place = ("spring-stretch", Ref("spring", "near"), ())
    assert judged.ranks[place].tolist() == [2, 1, 1]


@pytest.mark.parametrize(("on", "bad"), [("engine", False), ("body", True)])
def test_the_moved_engine_overstresses_a_spring_anchored_on_the_body(on, bad):
    x = edited(HAULER, ('roll    = "2 deg"', 'roll    = "2 deg"\nlift    = 10'))
    near = replace(
        x.springs["near"],
        anchored_on=on,
        anchor=(0.43, -0.006, 0.24),
        material="EN 10270-1 SM",
        known=Known(
            wire=0.0011, coil=0.0088, turns=50.0, free_length=0.09, initial_tension=6.0
        ),
    )
    found = found_in(x.with_spring(near))
    assert not [f for f in found if f.code == "spring-stress" and f.verdict != "fits"]
    mine = [f.text for f in found if f.code == "engine-springs" and f.verdict != "fits"]
    assert bool(mine) == bad
    assert all("in its hook root" in text for text in mine)


@pytest.mark.parametrize(("on", "bad"), [("engine", False), ("body", True)])
def test_the_moved_engine_stretches_a_spring_of_unknown_greatest_length(on, bad):
    x = edited(HAULER, ('roll    = "2 deg"', 'roll    = "2 deg"\nlift    = 10'))
    near = replace(
        x.springs["near"],
        anchored_on=on,
        anchor=(0.43, -0.006, 0.24),
        known=Known(rate=300.0, free_length=0.0707, initial_tension=2.0),
    )
    found = found_in(x.with_spring(near))
    verdict = {f.code: f.verdict for f in found if f.about == Ref("spring", "near")}
    assert verdict["spring-stretch"] == "look"
    assert (verdict.get("engine-springs") == "do not fit") == bad


# --- what is no number --------------------------------------------------------------


def test_a_length_that_is_not_known_is_no_slack_spring():
    law = spring_laws(layout(NEAR, FAR))["near"]
    pull = law.pull(np.array([0.1, math.nan, 0.12]))
    assert np.isnan(pull).tolist() == [False, True, False]
    assert pull[0] == 0.0


@pytest.mark.parametrize("kind", ["rate", "free_length"])
def test_a_spring_that_cannot_be_fits_in_no_row(kind):
    good = getattr(NEAR.known, kind)
    spring = replace(
        NEAR, known=replace(NEAR.known, **{kind: column([good, math.nan])})
    )
    judged = judge(examine(layout(spring, FAR)))
    assert judged.verdicts.tolist() == [0, 2]
    hand = ("spring-hand", Ref("spring", "near"), ())
    assert judged.ranks[hand].tolist() == [0, 2]
    assert "could not be worked out" in judged.finding(hand, 1).text
    sense = judged.x.forces.springs[0]
    assert sense.known.ravel().tolist() == [True, False]
    assert not (sense.shuts | sense.opens)[1, 0]


@pytest.mark.parametrize("place", range(3))
def test_a_stress_that_is_no_number_is_the_one_that_counts(place):
    values = [3e8, 2e8, 1e8]
    values[place] = math.nan
    found = tuple(
        Stress(place=f"p{i}", value=v, allowed=9e8, share=0.5, source="made up")
        for i, v in enumerate(values)
    )
    assert math.isnan(_nearest(found)["value"])
    columns = tuple(replace(s, value=column([s.value, 1.0])) for s in found)
    assert np.isnan(_nearest(columns)["value"]).ravel().tolist() == [True, False]
