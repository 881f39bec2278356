"""Springs with the pedal and against it, told whatever else is wrong. All invented."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linkage.model import Arm, Known, Layout, Spring, stack
from linkage.model.refs import Ref
from linkage.rules import examine, judge
from linkage.search import check
from tests.sprung import line_spring, torsion_spring
from tests.unit.edits import HAULER, edited
from tests.unit.ruled import alone, found_in
from tests.unit.test_rules_forces import layout, pair

CRANK = "arms.in  = { length = 62, angle = -20 }"
#: The same crank turned round: its lower arm on the other side of its shaft.
MIRRORED = "arms.in  = { length = 62, angle = 200 }"


def with_crank_spring(crank: str) -> Layout:
    """Return the hauler with a third spring, at its bell crank."""
    x = edited(HAULER, (CRANK, crank))
    spring = Arm(name="spring", length=0.04, angle=np.radians(110), offset=0.03)
    bell = x.shafts["bell crank"]
    x = x.with_shaft(replace(bell, arms={**bell.arms, "spring": spring}))
    data = {"rate": 200.0, "free_length": 0.09, "greatest_length": 0.17}
    third = line_spring("crank", "bell crank.spring", (195, -50, 175), **data)
    return x.with_spring(third)


def told(x: Layout, name: str):
    """Return what is told of one spring, of all that is found."""
    return next(
        f
        for f in found_in(x)
        if f.code == "spring-pedal" and f.about == Ref("spring", name)
    )


def test_a_mirrored_bell_crank_lets_its_spring_pull_the_pedal_down():
    """The throttle is shut by the pedal, and that is not all that is told."""
    bad = with_crank_spring(MIRRORED)
    codes = {f.code for f in found_in(bad) if f.verdict == "do not fit"}
    assert "opening-sense" in codes
    wrong = told(bad, "crank")
    assert wrong.verdict == "do not fit"
    assert "works with the pedal" in wrong.text
    assert "as pressing does, so it pulls the pedal down" in wrong.text
    assert "pressing lets it out by" in wrong.text
    assert "clockwise seen from the right" in wrong.text
    good = with_crank_spring(CRANK)
    assert "do not fit" not in {f.verdict for f in found_in(good)}
    right = told(good, "crank")
    assert right.text.startswith(
        "spring `crank` on bell crank works against the pedal: pressing stretches it by "
    )


def test_where_pressing_shuts_the_spring_waits_for_what_comes_first():
    result = check(with_crank_spring(MIRRORED))
    one = next(
        f
        for f in result.findings
        if f.code == "spring-pedal" and f.about.name == "crank"
    )
    assert "see first that pressing opens the throttle" in one.cure.text
    assert one.cure.layout is None
    assert result.plan is not None
    after = found_in(result.plan.layout)
    assert not [f for f in after if f.verdict == "do not fit"]


def test_a_spindle_spring_that_shuts_while_the_pedal_shuts_too():
    """The springs of the shipped fault are right for the plate and pull the pedal."""
    x = edited("fault-wrong-sense")
    one = told(x, "near")
    assert one.verdict == "do not fit"
    assert one.text.endswith("; it shuts throttle, as pressing does too")
    result = check(x)
    cures = [f.cure for f in result.findings if f.verdict == "do not fit"]
    assert len(cures) == 3
    assert all(cure.proven for cure in cures)
    assert {cure.text for cure in cures} == {result.plan.text}
    assert told(result.plan.layout, "near").verdict == "fits"


def test_a_spindle_spring_that_holds_the_plate_open_is_never_in_order():
    x = edited("scenario-wrongly-swapped")
    one = told(x, "far")
    assert one.verdict == "do not fit"
    assert "works against the pedal" in one.text
    assert "it holds throttle open: it pulls spindle clockwise" in one.text
    assert told(edited("scenario-before"), "far").verdict == "fits"


def test_a_jam_does_not_silence_it():
    """Too long a travel: a rod runs out before the full stop."""
    far = replace(pair()[1], anchor=(-0.09, -0.136, 0.13))
    x = layout(pair()[0], far, travel_mm=400, swing_deg=170)
    found = {f.about.name: f for f in found_in(x) if f.code == "spring-pedal"}
    assert "reach" in {f.code for f in found_in(x) if f.verdict == "do not fit"}
    assert found["near"].verdict == "fits"
    assert found["far"].verdict == "do not fit"


def test_what_spring_hand_says_is_said_once():
    far = replace(pair()[1], anchor=(-0.09, -0.136, 0.13))
    found = found_in(layout(pair()[0], far))
    bad = {(f.code, f.about.name) for f in found if f.verdict == "do not fit"}
    assert ("spring-hand", "far") in bad
    assert "spring-pedal" not in {code for code, _ in bad}
    assert ("spring-pedal", "near") in {(f.code, f.about.name) for f in found}


@pytest.mark.parametrize(
    ("spring", "works"),
    [
        (torsion_spring("s", "cross shaft", -1, 0.3, 0.4), "winds it up by "),
        (torsion_spring("s", "cross shaft", 1, 0.3, 0.4), "unwinds it by "),
        (
            Spring(name="s", kind="measured", shaft="spindle", arm="lever", known=Known(pull_idle=9.0, pull_full=12.0)),
            "winds it up by ",
        ),
        (
            Spring(name="s", kind="measured", shaft="spindle", arm="lever", known=Known(pull_idle=9.0, pull_full=12.0, shuts=1)),
            "unwinds it by ",
        ),
        (
            Spring(name="s", kind="compression", shaft="spindle", arm="spring", anchor=(-0.09, -0.1, 0.13), known=Known(rate=200.0, free_length=0.3)),
            "presses it together by ",
        ),
        (
            Spring(name="s", kind="compression", shaft="spindle", arm="spring", anchor=(0.194, -0.1, 0.13), known=Known(rate=200.0, free_length=0.3)),
            "lets it out by ",
        ),
    ],
)  # fmt: skip
def test_every_kind_of_spring_is_told(spring, works):
    (one,) = alone(examine(layout(spring)), "spring-pedal")
    against = works.startswith(("winds", "presses"))
    assert one.verdict == ("fits" if against else "do not fit")
    assert f"pressing {works}" in one.text
    assert ("works against" in one.text) == against


def test_a_line_through_the_shaft_neither_helps_nor_hinders():
    near, far = pair()
    pivot, pin = (
        np.array(p)
        for p in (
            layout().shafts["spindle"].pivot,
            layout().shafts["spindle"].pin("spring"),
        )
    )
    through = tuple((pivot + 3 * (pin - pivot)).tolist())
    x = examine(layout(replace(near, anchor=through), far))
    one = alone(x, "spring-pedal")[0]
    assert one.verdict == "look"
    assert "neither against the pedal nor with it" in one.text


def test_a_torsion_spring_without_its_sense_is_not_in_order():
    twist = Spring(name="s", kind="torsion", shaft="cross shaft", known=Known(rate=1.0))
    (one,) = alone(examine(layout(twist)), "spring-pedal")
    assert one.verdict == "look"
    assert "`shuts` says so" in one.text


def test_rows_say_what_each_layout_says_alone():
    good, bad = with_crank_spring(CRANK), with_crank_spring(MIRRORED)
    judged = judge(examine(stack([good, bad])))
    for i, one in enumerate((good, bad)):
        mine = [f for f in judged.findings(i) if f.code == "spring-pedal"]
        alike = [f for f in found_in(one) if f.code == "spring-pedal"]
        assert [f.text for f in mine] == [f.text for f in alike]
        assert [f.verdict for f in mine] == [f.verdict for f in alike]


def test_a_spring_without_its_anchor_is_not_said_to_work_either_way():
    """A layout of Python may lack it; asked for forces it is refused."""
    near, far = pair()
    x = layout(near, replace(far, anchor=None))
    (found,) = [
        f
        for f in judge(examine(x), ("motion",)).findings()
        if f.code == "spring-pedal" and f.about == Ref("spring", "far")
    ]
    assert found.verdict == "look"
    assert "is not known" in found.text
