"""Results as columns, as a DataFrame, and as a table in a notebook."""

from __future__ import annotations

import csv
import importlib.util
import io
import sys
import types
from dataclasses import replace
from functools import cache
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from linkage.errors import UsageError
from linkage.forces.summary import spring_card
from linkage.model.columns import column
from linkage.motion import assemble, sweep, working_travel
from linkage.motion.curve import travel_curve
from linkage.quantities import say
from linkage.report.curve import curve_csv
from linkage.rules import examine, judge
from linkage.rules.caution import CAUTION
from linkage.search.arm import size_arms
from linkage.search.fitting import check
from linkage.search.sized import Choice
from linkage.search.springs import choose_spring
from linkage.swap import solve, swap_sides
from linkage.tabular import MOST_ROWS, cell, html_table
from tests.unit.edits import TRUCK, TWIN, edited

LAYOUT = edited(TRUCK)
ASSEMBLY = assemble(LAYOUT)
WORKING = working_travel(ASSEMBLY)
LEVER = LAYOUT.hole("spindle.lever")
SHORT = LAYOUT.with_arm(LEVER, length=0.060)
NOW = LAYOUT.shafts["spindle"].arms["lever"]


@cache
def results():
    motion = sweep(ASSEMBLY, np.linspace(0.0, WORKING.end, 7))
    many = assemble(LAYOUT.with_arm(LEVER, length=column([0.030, 0.034])))
    near = next(s for s in LAYOUT.springs.values() if s.kind == "extension")
    rates = (400.0, 500.0)
    choice = Choice(hole=LEVER, lengths=(0.030, 0.034), angles=(NOW.angle,))
    return {
        "curve": travel_curve(ASSEMBLY, WORKING, points=5),
        "card": spring_card(ASSEMBLY, WORKING, points=5),
        "motion": motion,
        "one position": sweep(ASSEMBLY, 0.01),
        "rows": sweep(many, np.linspace(0.0, 0.02, 3)),
        "sizing": size_arms(LAYOUT, [choice]),
        "springs": choose_spring(LAYOUT, near.name, rates=rates),
        "curves": travel_curve(many, working_travel(many), points=3),
        "check": check(SHORT),
        "judged": judge(examine(LAYOUT.with_arm(LEVER, length=column([0.034, 0.06])))),
        "swap": solve(swap_sides(LAYOUT, carburettor="turned")),
    }


NAMES = (
    *("curve", "card", "motion", "one position", "rows", "sizing", "springs", "curves"),
    *("check", "judged", "swap"),
)


def test_each_of_them_is_named():
    assert tuple(results()) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_columns_are_of_one_length_and_one_axis(name):
    found = results()[name].columns()
    assert len({len(c) for c in found.values()}) == 1
    assert all(c.ndim == 1 for c in found.values() if isinstance(c, np.ndarray))


@pytest.mark.parametrize("name", NAMES)
def test_html_is_well_formed_and_as_long_as_the_columns(name):
    result = results()[name]
    found = result.columns()
    made = result._repr_html_()
    table = ET.fromstring(f"<div>{made}</div>").find("table")  # noqa: S314 - our own
    assert table.find("caption").text == repr(result).strip("<>")
    if name != "check":
        assert [th.text for th in table.iter("th")] == list(found)
    length = len(next(iter(found.values())))
    most = length if name == "check" else MOST_ROWS
    assert len(table.findall("tbody/tr")) == min(length, most)


def test_csv_of_a_curve_holds_the_same_columns():
    curve = results()["curve"]
    rows = list(csv.DictReader(io.StringIO(curve_csv(curve))))
    for name, values in curve.columns().items():
        assert [float(r[name]) for r in rows] == pytest.approx(values, rel=1e-5)


def test_a_motion_tells_every_shaft_and_throttle_in_degrees():
    motion, found = results()["motion"], results()["motion"].columns()
    assert found["pad_travel_mm"] == pytest.approx(motion.pad_travel * 1e3)
    for shaft in LAYOUT.shafts:
        key = f"{shaft} shaft_turn_deg".replace(" ", "_")
        assert found[key] == pytest.approx(np.degrees(motion.turns[shaft]))
    opening = np.degrees(motion.between_stops(LAYOUT.main.name))
    assert found["throttle_angle_deg"] == pytest.approx(opening)


def test_a_motion_at_one_position_is_one_row():
    found = results()["one position"].columns()
    alone = sweep(ASSEMBLY, np.array([0.01])).columns()
    assert {k: v.tolist() for k, v in found.items()} == {
        k: v.tolist() for k, v in alone.items()
    }


def test_many_layouts_stand_one_below_the_other():
    found = results()["rows"].columns()
    assert found["row"].tolist() == [0, 0, 0, 1, 1, 1]
    for i, length in enumerate((0.030, 0.034)):
        one = sweep(
            assemble(LAYOUT.with_arm(LEVER, length=length)), np.linspace(0, 0.02, 3)
        )
        part = found["spindle_shaft_turn_deg"][found["row"] == i]
        assert part == pytest.approx(np.degrees(one.turns["spindle"]), rel=1e-12)


def test_several_throttles_have_columns_named_after_them():
    found = sweep(assemble(edited(TWIN)), 0.01).columns()
    assert {"front_throttle_angle_deg", "rear_throttle_angle_deg"} <= set(found)


def test_rows_of_a_search_are_its_columns():
    sizing, found = results()["sizing"], results()["sizing"].columns()
    assert found["spindle.lever length_mm"].tolist() == [30.0, 34.0]
    assert found["fits"].tolist() == [r.fits for r in sizing.rows]
    assert found["reason"] == [r.reason for r in sizing.rows]
    shares = [r.throttle_share * 100 for r in sizing.rows]
    assert found["throttle_share_pct"] == pytest.approx(shares)


def test_a_check_is_a_row_a_finding_worst_first_in_a_notebook():
    result, found = results()["check"], results()["check"].columns()
    assert found["code"] == [f.code for f in result.findings]
    assert found["text"] == [f.text for f in result.findings]
    records = [f.record() for f in result.findings]
    for name in ("value", "limit"):
        said = np.array([r[name] for r in records], dtype=float)
        assert np.array_equal(found[name], said, equal_nan=True)
    assert found["cure"] == [r["cure"] or "" for r in records]
    made = result._repr_html_()
    assert made.index("do not fit</td>") < made.index("<td>fits</td>")
    bad = result.reasons[0]
    assert say(bad.value, bad.kind) in made
    assert say(bad.limit, bad.kind) in made
    assert CAUTION in made


def test_rows_judged_say_their_verdict_and_what_they_break():
    found = results()["judged"].columns()
    assert found["row"].tolist() == [0, 1]
    for i, layout in enumerate((LAYOUT.with_arm(LEVER, length=0.034), SHORT)):
        alone = check(layout, cures=False)
        codes = tuple(dict.fromkeys(f.code for f in alone.reasons))
        assert found["verdict"][i] == alone.verdict
        assert sorted(found["breaks"][i]) == sorted(codes)
        looks = sum(f.verdict == "look" for f in alone.findings)
        assert found["looks"][i] == looks


def test_cures_of_a_swap_are_its_rows():
    solution, found = results()["swap"], results()["swap"].columns()
    assert found["name"] == [c.name for c in solution.cures]
    assert found["fits"] == [c.fits for c in solution.cures]
    assert len(found["name"]) >= 2


def test_curves_over_rows_are_those_of_each_layout():
    found = results()["curves"].columns()
    for i, length in enumerate((0.030, 0.034)):
        one = assemble(LAYOUT.with_arm(LEVER, length=length))
        alone = travel_curve(one, working_travel(one), points=3).columns()
        part = found["throttle_share_pct"][found["row"] == i]
        assert part == pytest.approx(alone["throttle_share_pct"], rel=1e-12)


def test_springs_tried_are_a_tuple_and_a_table():
    rows = results()["springs"]
    assert isinstance(rows, tuple)
    found = rows.columns()
    assert sorted(found["rate_N_per_mm"]) == pytest.approx([0.4, 0.5])
    assert found["pad_force_N"].tolist() == [r.pad_force for r in rows]


def test_a_long_table_shows_some_rows_evenly():
    curve = travel_curve(ASSEMBLY, WORKING, points=101)
    table = ET.fromstring(curve._repr_html_())  # noqa: S314 - our own
    rows = table.findall("tbody/tr")
    assert len(rows) == MOST_ROWS
    shares = [float(r[1].text) for r in rows]
    assert np.diff(shares) == pytest.approx(shares[-1] / 10, abs=1e-3)


def test_every_word_is_escaped():
    wicked = replace(results()["curve"], title="<script>alert('&')</script>")
    assert "<script>" not in wicked._repr_html_()
    assert "&lt;script&gt;" in wicked._repr_html_()
    one = html_table("<b>", ["<i>"], [["a & b"]], "<u>")
    assert one == (
        "<table><caption>&lt;b&gt;</caption><thead><tr><th>&lt;i&gt;</th></tr></thead>"
        "<tbody><tr><td>a &amp; b</td></tr></tbody></table><p>&lt;u&gt;</p>"
    )


def test_cells():
    values = [-0.0, 1234.5, np.float64(2), np.bool_(False), None, np.nan, [], "x"]  # fmt: skip
    assert list(map(cell, values)) == ["0", "1234.5", "2", "no", "-", "-", "", "x"]


def test_a_frame_is_made_of_the_columns(monkeypatch):
    """A stand-in where pandas is not there, which takes what pandas takes."""
    made = types.ModuleType("pandas")
    made.DataFrame = lambda columns: ("frame", columns)
    monkeypatch.setitem(sys.modules, "pandas", made)
    kind, found = results()["curve"].to_frame()
    assert kind == "frame"
    assert found.keys() == results()["curve"].columns().keys()


def test_without_pandas_the_message_says_what_to_do(monkeypatch):
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(UsageError, match="pandas is not installed") as caught:
        results()["curve"].to_frame()
    assert "columns()" in caught.value.hint


@pytest.mark.parametrize("name", NAMES)
def test_pandas_itself_takes_the_columns_where_it_is_installed(name):
    result = results()[name]
    if importlib.util.find_spec("pandas") is None:
        with pytest.raises(UsageError):
            result.to_frame()
        return
    frame = result.to_frame()
    assert list(frame.columns) == list(result.columns())
    assert len(frame) == len(next(iter(result.columns().values())))
