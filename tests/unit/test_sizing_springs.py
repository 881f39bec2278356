"""Choosing a spring: kept rules first, lightest pad first, each fault with its reason."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linkage.errors import LayoutError, UsageError
from linkage.model import Known
from linkage.search.springs import MOST_TRIES, AtHand, choose_spring
from tests.sprung import torsion_spring, with_springs
from tests.unit.ruled import of_force
from tests.unit.test_rules_forces import RIGHT, WRONG, layout, pair

SOUND = layout(*pair())
MM = 1e-3


def test_rates_from_lightest_pad_to_heaviest_then_those_that_fail():
    rates = (200.0, 450.0, 900.0, 9000.0)
    rows = choose_spring(SOUND, "far", rates=rates)
    kept = [r for r in rows if r.fits]
    assert [r.rate for r in kept] == [200.0, 450.0, 900.0]
    assert [r.pad_force for r in kept] == sorted(r.pad_force for r in kept)
    assert rows[-1].rate == 9000.0
    assert any("pad force" in reason for reason in rows[-1].reasons)
    assert all(r.spring.known.free_length == 0.105 for r in rows)


def test_a_kept_row_is_what_the_check_says_of_its_layout():
    rows = choose_spring(SOUND, "far", radii=(20 * MM, 30 * MM), rates=(300.0, 450.0))
    for r in rows:
        found = of_force(r.layout)
        assert r.fits == all(f.verdict == "fits" for f in found)
        assert r.layout.shafts["spindle"].arms["far"].length == r.radius
        ratio = next(f.value for f in found if f.code == "closing-torque")
        assert r.least_ratio == pytest.approx(ratio)
    assert {r.radius for r in rows} == {20 * MM, 30 * MM}


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
        ],
    )  # fmt: skip
    found = {r.at_hand: r for r in rows}
    assert rows[0].at_hand == "good"
    assert found["good"].first_load == pytest.approx(4 + 400 * (0.1161050591 - 0.1), rel=1e-6)  # fmt: skip
    assert found["good"].last_load > found["good"].first_load
    assert any("slack" in reason for reason in found["long"].reasons)
    assert found["thin"].reasons == (
        "the wire of spring `far` is thicker than its coil",
    )
    assert math.isnan(found["thin"].pad_force)


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
