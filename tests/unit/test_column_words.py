"""Names of parts in columns: none taken for a formula, no two made one."""

from __future__ import annotations

import csv
import io
import json

import pytest

from linkage.config import loads
from linkage.forces.summary import spring_card
from linkage.motion import assemble, sweep, working_travel
from linkage.motion.curve import travel_curve
from linkage.report.curve import curve_csv, curve_data, curve_lines
from linkage.report.springs import card_data, card_lines
from linkage.tabular import column_words, csv_word
from tests.cli.conftest import CONFIGS

TWIN = (CONFIGS / "twin-side-draught.toml").read_text(encoding="utf-8")
TRUCK = (CONFIGS / "hanging-pedal.toml").read_text(encoding="utf-8")


def test_of_two_that_would_be_called_alike_the_second_gets_a_number():
    words = column_words(["a b", "a_b", "a b_2", "c"])
    assert words == {"a b": "a_b", "a_b": "a_b_2", "a b_2": "a_b_2_2", "c": "c"}
    assert column_words(["pressing"], taken=["pressing"]) == {"pressing": "pressing_2"}


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_a_word_is_no_formula(sign):
    assert csv_word(f"{sign}1+1") == f"'{sign}1+1"
    assert csv_word(f"1{sign}1") == f"1{sign}1"


def _twin(one: str, two: str):
    text = TWIN
    first = list(loads(TWIN).layout.throttles)[:2]
    for name, new in zip(first, (one, two), strict=True):
        text = text.replace(f"[throttles.{name}]", f"[throttles.{json.dumps(new)}]")
        text = text.replace(f'[throttles."{name}"]', f"[throttles.{json.dumps(new)}]")
    layout = loads(text).layout
    assert list(layout.throttles)[:2] == [one, two]
    assembly = assemble(layout)
    return assembly, travel_curve(assembly, working_travel(assembly), points=5)


def test_throttles_of_nearly_one_name_have_columns_of_their_own():
    assembly, curve = _twin("a b", "a_b")
    columns = curve.columns()
    assert {"a_b_throttle_angle_deg", "a_b_2_throttle_angle_deg"} <= columns.keys()
    assert len(columns) == len(_twin("a", "b")[1].columns())
    assert curve_data(curve)["columns"].keys() == columns.keys()
    head, *rows = csv.reader(io.StringIO(curve_csv(curve)))
    assert head == list(columns)
    assert len(rows) == 5
    assert curve_lines(curve)
    moved = sweep(assembly, [0.0, 0.01]).columns()
    assert {"a_b_throttle_angle_deg", "a_b_2_throttle_angle_deg"} <= moved.keys()


def test_names_that_a_spreadsheet_would_work_out_are_text_and_numbers_numbers():
    _, curve = _twin("=1+1", "@x")
    head, *rows = csv.reader(io.StringIO(curve_csv(curve)))
    assert "'=1+1_throttle_angle_deg" in head
    assert "'@x_throttle_angle_deg" in head
    assert not [cell for cell in head if cell.startswith(("=", "+", "-", "@"))]
    for row in rows:
        assert all(float(cell) or True for cell in row if cell)
    assert "=1+1_throttle_angle_deg" in curve.columns()  # of JSON and DataFrame


def test_springs_have_columns_of_their_own_beside_pressing_and_releasing():
    text = TRUCK.replace("springs.near", 'springs."a b"').replace(
        "springs.far", "springs.a_b"
    )
    assert text.count("springs.a_b") == 1
    card = _card(text)
    assert len(card.columns()) == len(_card(TRUCK).columns())
    assert {
        "closing_torque_a_b_only_N_m",
        "closing_torque_a_b_2_only_N_m",
    } <= card.columns().keys()
    named = _card(TRUCK.replace("springs.near", "springs.pressing"))
    assert len(named.columns()) == len(card.columns())
    told = named.columns()
    assert (told["pad_force_pressing_N"] > told["pad_force_pressing_2_N"]).all()
    assert card_data(named)["columns"].keys() == told.keys()
    assert card_lines(named)


def _card(text: str):
    assembly = assemble(loads(text).layout)
    return spring_card(assembly, working_travel(assembly), points=5)
