"""Choosing a spring: kept rules, alone too, then most left to shut the plate."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.errors import LayoutError, UsageError
from linkage.forces import INTACT, returns, statics
from linkage.model import Known
from linkage.report.spring_choice import choice_lines
from linkage.rules import examine
from linkage.search.spring_rows import AtHand, SpringRows
from linkage.search.springs import MOST_TRIES, choose_spring
from tests.sprung import torsion_spring, with_springs
from tests.unit.edits import HAULER, edited
from tests.unit.ruled import of_force
from tests.unit.test_rules_forces import RIGHT, WRONG, layout, pair

SOUND = layout(*pair())
MM = 1e-3


def test_the_strongest_that_is_pleasant_comes_first_and_not_the_lightest():
    rates = (10.0, 200.0, 450.0, 700.0, 900.0, 1200.0, 9000.0)
    rows = choose_spring(SOUND, "far", rates=rates)
    kept = [r for r in rows if r.fits]
    pleasant = [r for r in kept if 18 <= r.pad_force <= 36]
    assert len(pleasant) > 1
    assert list(kept[: len(pleasant)]) == pleasant
    left = [r.alone.left for r in pleasant]
    assert left == sorted(left, reverse=True)
    assert rows[0].rate == max(r.rate for r in pleasant) > 200.0
    heavier = kept[len(pleasant) :]
    assert [r.pad_force for r in heavier] == sorted(r.pad_force for r in heavier)
    failed = [r for r in rows if not r.fits]
    assert {r.rate for r in failed} >= {9000.0}
    heavy = next(r for r in failed if r.rate == 9000.0)
    assert any("pad force" in reason for reason in heavy.reasons)
    assert all(r.spring.known.free_length == 0.105 for r in rows)


def test_rates_may_be_an_array():
    rates = np.array([450.0, 700.0])
    found = choose_spring(SOUND, "far", rates=rates)
    assert {r.rate for r in found} == {450.0, 700.0}


def test_a_spring_that_does_not_shut_alone_is_refused():
    """So weak that it passes beside another, and falls short where that is off."""
    weak = {"free_length": 0.112, "initial_tension": 1.5, "greatest_length": 0.2}
    near, far = pair()
    limp = replace(far, known=Known(rate=10.0, **weak))
    rows = choose_spring(layout(near, limp), "far", rates=(10.0, 500.0))
    assert [r.rate for r in rows] == [500.0, 10.0]
    assert [r.fits for r in rows] == [True, False]
    assert any("with spring `near` off" in reason for reason in rows[1].reasons)


def test_with_three_springs_both_others_are_off():
    """Beside one of two others it shuts, so that no single failure tells."""
    near, far = pair()
    third = torsion_spring("third", "spindle", -1, 0.02, 0.2)
    three = layout(_weaker(near), _weaker(far), third)
    weak = {"free_length": 0.112, "initial_tension": 1.5, "greatest_length": 0.2}
    limp = replace(far, known=Known(rate=10.0, **weak))
    rows = choose_spring(three.with_spring(limp), "far", rates=(10.0, 400.0))
    found = {r.rate: r for r in rows}
    assert found[400.0].fits
    assert not found[10.0].fits
    reasons = found[10.0].reasons
    assert all("with spring `near` and `third` off" in reason for reason in reasons)
    bad = [f for f in of_force(found[10.0].layout) if f.verdict == "do not fit"]
    assert bad == []


def _weaker(spring):
    known = replace(spring.known, rate=250.0, initial_tension=2.5)
    return replace(spring, known=known)


def test_what_it_gives_alone_is_what_the_others_off_leave():
    rows = choose_spring(SOUND, "far", rates=(300.0, 600.0))
    for r in rows:
        only = with_springs(r.layout, r.spring)
        x = examine(only)
        (one,) = returns(x.motion, factor=2.0, cases=[(INTACT, "throttle")])
        assert r.alone.torque == pytest.approx(one.closing_torque.min())
        assert r.alone.ratio == pytest.approx(one.ratio.min())
        net = one.closing_torque - one.friction_torque
        assert r.alone.left == pytest.approx(net.min())
        pad = statics(x.motion).pad_force_pressing.max()
        assert r.alone.pad_force == pytest.approx(pad)


def test_a_kept_row_is_what_the_check_says_of_its_layout():
    rows = choose_spring(SOUND, "far", radii=(20 * MM, 30 * MM), rates=(300.0, 450.0))
    for r in rows:
        found = of_force(r.layout)
        kept = [f.verdict for f in found if f.code != "drag-unmeasured"]
        assert r.fits == all(verdict == "fits" for verdict in kept)
        assert r.layout.shafts["spindle"].arms["far"].length == r.radius
        ratio = next(f.value for f in found if f.code == "closing-torque")
        assert r.least_ratio == pytest.approx(ratio)
    assert {r.radius for r in rows} == {20 * MM, 30 * MM}


def test_what_leaves_springs_unjudged_is_told_and_nothing_fits():
    shut = layout(*pair(), opens=-1)
    jam = layout(*pair(), travel_mm=400, swing_deg=170)
    for x, words in ((shut, "the pedal shuts throttle"), (jam, "jams with the pad")):
        rows = choose_spring(x, "far", rates=(300.0, 450.0))
        assert not any(r.fits for r in rows)
        assert all(any(words in t for t in r.reasons) for r in rows)


def test_only_what_fits_is_told_to_be_bought():
    rows = choose_spring(SOUND, "far", rates=(450.0, 9000.0))
    assert [r.fits for r in rows] == [True, False]
    told = choice_lines(rows, every=True)
    (bought,) = [line for line in told if line.startswith("Buy: ")]
    assert f"Buy: {rows[0].buying}".startswith(bought)
    told = choice_lines(SpringRows([rows[1]]), every=True)
    assert not any(line.startswith("Buy: ") for line in told)
    assert any(line.startswith("0 of 1 tried keep every rule") for line in told)


def test_how_far_a_spring_is_pulled_is_asked_of_its_maker():
    near, far = pair()
    bare = replace(far, known=replace(far.known, greatest_length=None))
    rows = choose_spring(layout(near, bare), "far", rates=(450.0,))
    assert rows[0].fits
    assert "to bear 160.0 mm without staying longer" in rows[0].buying
    short = replace(bare, known=replace(bare.known, free_length=0.07, rate=200.0))
    (row,) = choose_spring(layout(near, short), "far")
    assert not row.fits
    assert any("not to be fitted until" in reason for reason in row.reasons)


def test_a_spring_that_no_usual_wire_gives_is_asked_of_its_maker():
    usual, stiff = (choose_spring(SOUND, "far", rates=(r,))[0] for r in (450.0, 9000.0))
    assert "for instance 0.90 mm wire" in usual.buying
    assert "no usual wire" not in usual.buying
    assert (
        "no usual wire gives this rate, free length and initial tension" in stiff.buying
    )
    assert "ask a spring maker" in stiff.buying
    assert "for instance" not in stiff.buying


def test_a_spring_without_its_anchor_says_so_and_is_not_bought():
    bare = replace(pair()[1], anchor=None)
    (row,) = choose_spring(with_springs(SOUND, bare), "far")
    assert row.reasons == ("spring `far` needs its anchor",)
    assert row.buying == ""
    assert not row.fits


def test_the_answer_is_a_line_to_buy_by():
    best = choose_spring(SOUND, "far", rates=(450.0, 600.0))[0]
    text = best.buying
    for words in (
        "extension spring for `far`: rate 0.600 N/mm, free length 105.0 mm",
        "initial tension 5.0 N",
        f"installed {best.first_length * 1e3:.1f} mm with {best.first_load:.1f} N",
        f"at full {best.last_length * 1e3:.1f} mm with {best.last_load:.1f} N",
        "wire EN 10270-1 SM, outside diameter",
        "a full loop at either end, for `spindle.far` and [194, -136, 130] mm",
        f"at least {best.alone.torque:.3f} N·m of closing torque at the spindle",
        f"at most {best.alone.pad_force:.1f} N at the pad",
    ):
        assert words in text
    assert best.longest == pytest.approx(best.last_length)


def test_the_engine_moves_while_a_spring_is_chosen():
    """Anchored on the engine it goes along; on the body it is pulled further, or slack."""
    x = edited(HAULER, ('roll    = "2 deg"', 'roll    = "2 deg"\nlift    = 10'))
    loose = {"rate": 450.0, "free_length": 0.103, "initial_tension": 8.0}
    near = replace(
        x.springs["near"],
        anchor=(0.43, -0.006, 0.24),
        known=Known(**loose, greatest_length=0.17),
    )
    (along,) = choose_spring(x.with_spring(near), "near")
    assert along.fits
    assert along.longest == pytest.approx(along.last_length, abs=0.2 * MM)
    assert "with the engine moved" not in along.buying
    body = x.with_spring(replace(near, anchored_on="body"))
    (row,) = choose_spring(body, "near")
    assert row.longest > row.last_length + 5 * MM
    assert row.shortest < row.first_length - 4 * MM
    assert "with the engine moved: to bear" in row.buying
    assert not row.fits
    assert all(reason.startswith("with the engine ") for reason in row.reasons)


def test_a_spring_that_is_fixed_is_left_as_it_is():
    near, far = pair()
    x = layout(near, replace(far, fixed=True))
    for tried in ({"rates": (300.0,)}, {"radii": (0.02,)}, {"anchors": (far.anchor,)}):
        with pytest.raises(UsageError, match="`far` is fixed"):
            choose_spring(x, "far", **tried)
    (row,) = choose_spring(x, "far")
    assert row.layout == x
    arm = x.shafts["spindle"].arms["far"]
    spindle = x.shafts["spindle"]
    held = replace(spindle, arms={**spindle.arms, "far": replace(arm, fixed=True)})
    y = with_springs(x.with_shaft(held), near, far)
    with pytest.raises(UsageError, match=r"arm `spindle\.far` is fixed"):
        choose_spring(y, "far", radii=(0.02,))
    assert choose_spring(y, "far", rates=(450.0,))[0].fits


def test_one_anchor_of_many_that_cannot_be_says_why():
    hook = SOUND.shafts["spindle"].pin("far")
    good = pair()[1].anchor
    rows = choose_spring(SOUND, "far", anchors=(hook, good))
    assert rows[0].fits
    assert rows[1].reasons == ("the anchor of spring `far` is on its hook",)
    assert rows[1].buying == ""
    assert math.isnan(rows[1].alone.torque)


def test_anchors_on_the_wrong_side_fail_with_that_reason():
    wrong = tuple(c * MM for c in WRONG)
    right = (RIGHT[0] * MM, -0.136, RIGHT[2] * MM)
    rows = choose_spring(SOUND, "far", anchors=(wrong, right))
    assert rows[0].spring.anchor == right
    assert rows[0].fits
    assert any("wrong hand" in reason for reason in rows[1].reasons)


def test_springs_at_hand_by_name_and_impossible_ones_with_their_fault():
    rows = choose_spring(
        SOUND,
        "far",
        at_hand=[
            AtHand(name="long", known=Known(rate=400.0, free_length=0.2)),
            AtHand(name="thin", known=Known(wire=0.01, coil=0.005, turns=9.0), material="A228"),
            AtHand(name="good", known=Known(rate=400.0, free_length=0.1, initial_tension=4.0)),
            AtHand(name="wound", known=Known(wire=0.0013, coil=0.0103, turns=65.0, greatest_length=0.2), material="A228"),
        ],
    )  # fmt: skip
    found = {r.at_hand: r for r in rows}
    assert found["good"].fits
    assert found["good"].first_load == pytest.approx(4 + 400 * (0.1161050591 - 0.1), rel=1e-6)  # fmt: skip
    assert found["good"].last_load > found["good"].first_load
    assert any("slack" in reason for reason in found["long"].reasons)
    assert found["thin"].reasons == (
        "the wire of spring `far` is thicker than its coil",
    )
    assert math.isnan(found["thin"].pad_force)
    assert "`good` for `far`: rate 0.400 N/mm" in found["good"].buying
    assert "wire 1.3 mm, outside diameter 10.3 mm, 65.0 turns" in found["wound"].buying


def test_present_spring_alone_without_ranges():
    (row,) = choose_spring(SOUND, "far")
    assert row.fits
    assert row.layout == SOUND


def test_refuses_what_cannot_be_chosen():
    with pytest.raises(UsageError, match="there is no spring `fra`") as caught:
        choose_spring(SOUND, "fra")
    assert "far" in caught.value.hint
    twist = with_springs(SOUND, torsion_spring("twist", "spindle", -1, 0.1, 0.3))
    with pytest.raises(UsageError, match="no hook and anchor"):
        choose_spring(twist, "twist")
    on_lever = replace(pair()[1], arm="lever")
    with pytest.raises(UsageError, match="carries rod `last` too"):
        choose_spring(with_springs(SOUND, on_lever), "far", radii=(0.02,))
    with pytest.raises(UsageError, match="exclude each other"):
        choose_spring(SOUND, "far", rates=(1.0,), at_hand=[AtHand(name="a")])
    with pytest.raises(UsageError, match="more than zero"):
        choose_spring(SOUND, "far", radii=(0.02, -0.01))
    many = tuple(float(i + 1) for i in range(MOST_TRIES + 1))
    with pytest.raises(UsageError, match="combinations"):
        choose_spring(SOUND, "far", rates=many)
    bad = replace(pair()[1], anchor=None)
    with pytest.raises(LayoutError):
        choose_spring(with_springs(SOUND, bad), "far", rates=(100.0,))


def test_compression_spring_keeps_its_solid_length():
    pushed = replace(
        pair()[1],
        kind="compression",
        anchor=tuple(c * MM for c in WRONG),
        known=Known(rate=200.0, free_length=0.25, solid_length=0.05),
    )
    x = with_springs(SOUND, pair()[0], pushed)
    rows = choose_spring(x, "far", rates=(150.0, 250.0))
    assert all(r.spring.known.solid_length == 0.05 for r in rows)
    assert all(r.spring.known.initial_tension is None for r in rows)
    assert rows[0].first_load > 0
    assert "ends squared" in rows[0].buying
    assert "solid at" in rows[0].buying
