"""The spring card as a table and as plain data."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.forces import statics
from linkage.forces.summary import spring_card
from linkage.motion import assemble, working_travel
from linkage.report import springs as report
from tests.unit.edits import TRUCK, TWIN, edited

NO_DRAG = [('drag    = "0.06 N·m"   # spring balance, rods and springs off\n', "")]


def card(layout, points=11):
    assembly = assemble(layout)
    return spring_card(assembly, working_travel(assembly), points=points)


GOOD = card(edited(TRUCK))


def text_of(made):
    return "\n".join(report.card_lines(made))


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1.256, "1.26"),
        (-0.001, "0.00"),
        (math.nan, "-"),
        (math.inf, "no friction"),
        (-math.inf, "-"),
    ],
)
def test_numbers_and_what_is_none(value, text):
    assert report.ratio(value) == text


def test_each_failure_in_words():
    words = [r.failure.text for r in GOOD.returns]
    assert words[0] == "nothing failed"
    some = {"spring `near` off", "spring `far` off", "rod `link` parted"}
    assert some <= set(words)
    assert all(w in text_of(GOOD) for w in words)


def test_one_plate_needs_no_column_and_two_have_theirs():
    assert "plate" not in text_of(GOOD)
    twin = text_of(card(edited(TWIN)))
    assert "plate" in twin
    assert "front" in twin
    assert "rear" in twin


def test_drag_that_was_not_measured_is_told():
    told = "No drag was measured: all friction is from usual values."
    assert told not in text_of(GOOD)
    assert report.card_data(GOOD)["drag_measured"] is True
    bare = card(edited(TRUCK, *NO_DRAG))
    assert told in text_of(bare)
    assert report.card_data(bare)["drag_measured"] is False


def test_the_cold_and_estimates_are_said():
    cold = (
        "\n[engine]",
        '\n[vehicle]\ntemperature = "-20 degC"\n\n[friction]\ncold_factor = 3\n\n[engine]',
    )
    said = text_of(card(edited(TRUCK, cold)))
    assert "Friction multiplied by 3 for the cold." in said
    assert "Inertias that are not given were estimated from sizes." in said
    assert "for the cold" not in text_of(GOOD)
    known = [replace(f, estimated=False) for f in GOOD.falls]
    assert "estimated" not in text_of(replace(GOOD, falls=tuple(known)))


def test_a_failure_without_a_fall_has_no_time():
    none = replace(GOOD, falls=())
    times = [f["time_to_idle_s"] for f in report.card_data(none)["failures"]]
    assert times == [None] * len(GOOD.returns)
    assert report.card_data(none)["failures"][0]["estimated"] is None
    assert report.card_data(GOOD)["failures"][0]["time_to_idle_s"] > 0


def test_a_plate_that_never_comes_home_says_so():
    stuck = tuple(replace(f, time=math.inf) for f in GOOD.falls)
    made = replace(GOOD, falls=stuck)
    assert "never" in text_of(made)
    assert report.card_data(made)["failures"][0]["time_to_idle_s"] is None


def test_a_torsion_spring_has_a_torque_and_no_length():
    torsion = '\n[springs.inner]\nkind = "torsion"\nshaft = "spindle"\nrate = "0.002 N·m/deg"\npreload = "0.1 N·m"\n\n[engine]'
    made = card(edited(TRUCK, ("\n[engine]", torsion)))
    data = report.card_data(made)["springs"]
    assert data["inner"]["length_mm"] is None
    assert data["inner"]["load_unit"] == "N·m"
    assert data["inner"]["rate_N_m_per_deg"] == pytest.approx(0.002)
    assert data["near"]["rate_N_per_mm"] == pytest.approx(0.45)
    assert "N·m/°" in text_of(made)


def test_columns_add_up():
    """Pad force pressing is its split by spring and weight plus friction, never less."""
    found = GOOD.columns()
    split = found["pad_force_near_N"] + found["pad_force_far_N"]
    split = split + GOOD.together.weight_share
    assert (found["pad_force_pressing_N"] >= split - 1e-9).all()
    assert (found["pad_force_releasing_N"] <= split + 1e-9).all()
    alone = found["closing_torque_near_only_N_m"] + found["closing_torque_far_only_N_m"]
    none = statics(GOOD.motion, springs=()).closing_torque["throttle"]  # weight alone
    assert alone - none == pytest.approx(found["closing_torque_N_m"])


def test_rows_of_the_table_are_taken_evenly():
    lines = report.card_lines(card(edited(TRUCK), 101), rows=4)
    start = next(i for i, x in enumerate(lines) if x.lstrip().startswith("mm"))
    body = lines[start + 2 : lines.index("", start)]
    assert len(body) == 4
    assert float(body[-1].split()[0]) == pytest.approx(
        GOOD.together.pad_travel[-1] * 1e3, abs=0.06
    )
    assert np.isfinite(GOOD.together.pad_force_pressing).all()


def test_a_column_that_has_no_heading_is_not_shown_under_another():
    with pytest.raises(KeyError, match="spring_force_N"):
        report._words("spring_force_N", {})
    assert report._words("rod_force_{a}_N", {}) == ("rod {}\n{{a}}", "force")
    cable = report._words("rod_force_a_N", {"a": "cable"})
    assert cable == ("cable {}\na", "force")
