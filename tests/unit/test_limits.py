"""Limits that cannot be meant are refused, and told where they are looser."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from linkage import config
from linkage.errors import LayoutError
from linkage.model import LIMIT_ROWS, Limits, row, rows_of, stack
from linkage.model.columns import column
from linkage.model.limit_rows import LESS, MORE
from linkage.model.limits import ORDER
from linkage.report import findings, verdict
from linkage.search import check
from tests.unit.edits import TRUCK, edited, limit

#: What somebody might write to be rid of a finding, and its sound twin beside it.
UNMEANT = {
    "full_throttle": ("0 %", "90 %"),
    "idle_gap": ("20 deg", "0.5 deg"),
    "left_over_travel": ("0 mm", "12 mm"),
    "lost_travel": ("200 mm", "8 mm"),
    "arm_rod_look": ("80 deg", "50 deg"),
    "arm_rod_refuse": ("0 deg", "25 deg"),
    "dead_centre": ("0 deg", "10 deg"),
    "spring_line": ("0 mm", "5 mm"),
    "tip_in": ("100 deg/mm", "2 deg/mm"),
    "throttle_spread": ("360 deg", "5 deg"),
    "idle_clearance": ("0 mm", "0.2 mm"),
    "closing_ratio": ("0", "1"),
    "closing_ratio_one_off": ("0.99", "1"),
    "closing_least": ("0 N.m", "0.1 N.m"),
    "closing_look": ("0 N.m", "0.5 N.m"),
    "closing_least_one_off": ("0 N.m", "0.05 N.m"),
    "dirt_factor": ("0.5", "3"),
    "pin_apart": ("0 mm", "8 mm"),
    "anchor_apart": ("0 mm", "20 mm"),
    "spring_stretch": ("0.5", "2.5"),
    "return_light": ("1000 s", "0.5 s"),
    "return_heavy": ("4 s", "3 s"),
    "return_cold": ("1000 s", "2 s"),
    "pad_force_light": ("0 N", "5 N"),
    "pad_force_look": ("1000 N", "50 N"),
    "pad_force_refuse": ("1000 N", "80 N"),
    "stamp_load": ("0 N", "1000 N"),
    "hand_load": ("0 N", "500 N"),
    "euler_share": ("100 %", "70 %"),
    "over_travel_ratio": ("1", "2"),
    "nipple_clear": ("0 mm", "8 mm"),
    "cable_slack_least": ("0 mm", "0.3 mm"),
    "cable_slack_most": ("100 mm", "5 mm"),
    "sheath_radius_look": ("1 mm", "60 mm"),
    "sheath_radius_refuse": ("1 mm", "40 mm"),
    "sheath_loss_look": ("20", "1.8"),
    "sheath_loss_refuse": ("20", "2.5"),
    "drum_wrap": ("0 deg", "5 deg"),
    "wire_factor": ("1", "3"),
    "guide_share_look": ("90 %", "20 %"),
    "guide_share_refuse": ("100 %", "60 %"),
    "guide_room": ("0 mm", "8 mm"),
    "cam_pressure_look": ("80 deg", "25 deg"),
    "cam_pressure_refuse": ("80 deg", "40 deg"),
    "cam_left": ("0 deg", "5 deg"),
    "gap_fixed": ("0 mm", "3 mm"),
    "gap_moving": ("0 mm", "10 mm"),
    "gap_own_look": ("0 mm", "3 mm"),
    "gap_own_refuse": ("0 mm", "1 mm"),
    "gap_across": ("0 mm", "10 mm"),
    "gap_exhaust": ("0 mm", "25 mm"),
    "engine_rock_look": ("90 deg", "2 deg"),
    "engine_rock_refuse": ("90 deg", "8 deg"),
    "full_throttle_worst": ("0.2", "0.8"),
}


@pytest.mark.parametrize("key", UNMEANT)
def test_a_limit_that_cannot_be_meant_is_refused_where_it_stands(key):
    wrong, good = UNMEANT[key]
    with pytest.raises(LayoutError) as caught:
        edited(TRUCK, limit(key, wrong))
    error = caught.value
    assert error.key == ("limits", key)
    assert error.place is not None
    assert error.place.key == f"limits.{key}"
    assert f'{key} = "{wrong}"' in error.place.text
    assert f"`{key}`" in error.message
    assert "where it is left out" in error.hint
    assert key in edited(TRUCK, limit(key, good)).limits.changed()


def test_all_of_them_are_tried():
    assert {*UNMEANT, "arm_rod_strong"} == set(LIMIT_ROWS)


def _set(key: str, value: float) -> Limits:
    """Return limits with one changed, and those that may not be beyond it with it."""
    with_it = {key: value}
    for less, more in ORDER:
        if less in with_it:
            with_it[more] = max(with_it[less], LIMIT_ROWS[more].default)
    for less, more in reversed(ORDER):
        if more in with_it:
            with_it.setdefault(less, min(with_it[more], LIMIT_ROWS[less].default))
    return Limits(**with_it)


@pytest.mark.parametrize("key", LIMIT_ROWS)
def test_each_may_be_set_up_to_its_bounds_and_no_further(key):
    low, high = LIMIT_ROWS[key].within
    assert 0 < low < high < math.inf
    assert low < LIMIT_ROWS[key].default <= high
    assert getattr(_set(key, low), key) == low
    assert getattr(_set(key, high), key) == high
    for wrong in (low * 0.999, high * 1.001, 0.0, -high, math.nan, math.inf, -math.inf):
        with pytest.raises(LayoutError) as caught:
            Limits(**{key: wrong})
        assert caught.value.key == ("limits", key)


def test_the_sentence_tells_which_way_it_is_wrong():
    def said(**limits: float) -> str:
        with pytest.raises(LayoutError) as caught:
            Limits(**limits)
        return caught.value.message

    loose, strict = "is looser than can be meant", "is stricter than can be meant"
    assert said(closing_ratio=0.9) == f"the limit `closing_ratio` {loose}"
    assert said(closing_ratio=1000.0) == f"the limit `closing_ratio` {strict}"
    assert said(return_light=1000.0) == f"the limit `return_light` {loose}"
    assert said(return_light=0.0) == f"the limit `return_light` {strict}"
    assert said(return_light=math.nan).endswith("is no finite number")
    assert said(dead_centre=math.inf).endswith("is no finite number")


@pytest.mark.parametrize(("less", "more"), ORDER)
def test_a_look_comes_before_a_refusal(less, more):
    one, two = LIMIT_ROWS[less].default, LIMIT_ROWS[more].default
    middle = (one + two) / 2
    assert Limits(**{less: one, more: two})
    with pytest.raises(LayoutError, match=f"`{less}` is more than `{more}`") as caught:
        Limits(**{less: two * 1.01})
    assert caught.value.key == ("limits", less)
    with pytest.raises(LayoutError, match=f"`{less}` is more than `{more}`") as caught:
        Limits(**{more: one * 0.99})
    assert caught.value.key == ("limits", more)
    assert Limits(**{less: middle, more: middle})


def test_one_wrong_row_of_many_is_refused():
    good = Limits(closing_ratio=column([2.0, 3.0]))
    assert rows_of(good) == 2
    for wrong in (0.5, math.nan, math.inf):
        with pytest.raises(LayoutError) as caught:
            Limits(closing_ratio=column([2.0, wrong]))
        assert caught.value.key == ("limits", "closing_ratio")
    with pytest.raises(LayoutError, match="`closing_least` is more than"):
        Limits(closing_least=column([0.2, 0.4]))
    both = Limits(closing_least=column([0.2, 0.4]), closing_look=column([0.3, 0.5]))
    assert row(both, 1) == Limits(closing_least=0.4, closing_look=0.5)


def test_layouts_of_other_limits_are_stacked_and_taken_apart():
    one = edited(TRUCK)
    two = replace(one, limits=Limits(closing_ratio=3.0))
    both = stack([one, two])
    assert np.ravel(both.limits.closing_ratio).tolist() == [2.0, 3.0]
    assert row(both, 1) == two


def test_which_way_is_looser_is_what_its_meaning_says():
    for key, limit_row in LIMIT_ROWS.items():
        first = re.match(r"least|most|longest", limit_row.meaning)
        if first:
            assert limit_row.looser == (LESS if first[0] == "least" else MORE), key
    below = [k for k, r in LIMIT_ROWS.items() if "below which" in r.meaning]
    above = [k for k, r in LIMIT_ROWS.items() if "above which" in r.meaning]
    assert {LIMIT_ROWS[k].looser for k in below} == {LESS}
    assert {LIMIT_ROWS[k].looser for k in above} == {MORE}


def test_looser_limits_are_told_apart_from_stricter_ones():
    limits = Limits(closing_ratio=1.5, dead_centre=0.3, left_over_travel=0.01)
    assert limits.loosened() == ("left_over_travel", "closing_ratio")
    assert set(limits.changed()) == {*limits.loosened(), "dead_centre"}
    assert Limits().loosened() == ()


def test_a_layout_that_fits_by_a_looser_limit_says_so_at_the_verdict():
    plain = verdict.headline(check(edited(TRUCK), cures=False))
    assert plain.startswith("FITS")
    loose = check(edited(TRUCK, limit("full_throttle", "90 %")), cures=False)
    assert verdict.headline(loose) == f"{plain}; loosened: full_throttle"
    assert findings.changed_lines(loose)[:2] == [
        "Limits changed in the file:",
        "  loosened: full_throttle: 90.0% instead of 98.0%",
    ]
    data = findings.check_data(loose)
    assert data["limits_loosened"] == data["limits_changed"] == ["full_throttle"]
    strict = check(edited(TRUCK, limit("full_throttle", "99 %")), cures=False)
    assert verdict.headline(strict) == plain
    assert "  full_throttle: 99.0% instead of 98.0%" in findings.changed_lines(strict)
    data = findings.check_data(strict)
    assert (data["limits_loosened"], data["limits_changed"]) == ([], ["full_throttle"])


def test_a_limit_in_inches_may_stand_on_its_bound():
    text = config.dump(edited(TRUCK))
    bound = LIMIT_ROWS["spring_line"].within[0] / 0.0254
    layout = config.loads(f'{text}\n[limits]\nspring_line = "{bound!r} in"\n').layout
    assert layout.limits.spring_line == pytest.approx(0.002, rel=1e-12)
