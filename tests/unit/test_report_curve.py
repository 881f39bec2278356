"""The travel curve as a table, CSV and plain data."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import numpy as np
import pytest

from linkage.motion import assemble, sweep, working_travel
from linkage.motion.curve import travel_curve
from linkage.quantities import QUANTITIES
from linkage.report import curve as report
from tests.unit.edits import TRUCK, TWIN, edited, lever


def curve(layout, points=11):
    assembly = assemble(layout)
    return travel_curve(assembly, working_travel(assembly), points=points)


GOOD = curve(edited(TRUCK))


def test_columns_are_named_after_quantities():
    known = {q.column for q in QUANTITIES.values()}
    assert set(GOOD.columns()) <= known
    assert GOOD.columns()["pad_travel_mm"] == pytest.approx(GOOD.pad_travel * 1e3)


def test_several_throttles_have_columns_of_their_own_and_a_kickdown_no_area():
    twin = curve(edited(TWIN))
    found = twin.columns()
    assert found["front_throttle_angle_deg"] == pytest.approx(
        np.degrees(twin.throttles["front"].throttle_angle)
    )
    assert "rear_open_area_pct" in found
    assert "kickdown_open_area_pct" not in found
    lines = report.curve_lines(twin)
    head = "\n".join(lines[2:6])
    assert "front" in head
    assert "kickdown" in head
    assert lines[0] == twin.title


def test_a_column_of_one_throttle_stands_under_its_name():
    assert report._headings("front_left_throttle_angle_deg") == [
        "front left\nthrottle\n°"
    ]
    with pytest.raises(StopIteration):
        report._headings("spring_arm_mm")


def test_csv_reads_back():
    rows = list(csv.DictReader(io.StringIO(report.curve_csv(GOOD))))
    assert len(rows) == 11
    assert [float(r["throttle_angle_deg"]) for r in rows] == pytest.approx(
        np.degrees(GOOD.main.throttle_angle), abs=1e-3
    )


def test_no_position_is_null_in_data_empty_in_csv_and_a_dash_in_the_table():
    gap = np.array(GOOD.main.local_ratio)
    gap[3] = np.nan
    main = replace(GOOD.main, local_ratio=gap)
    holed = replace(GOOD, main=main, throttles={"throttle": main})
    data = report.curve_data(holed)["columns"]["local_ratio_deg_per_mm"]
    assert data[3] is None
    assert all(v is not None for i, v in enumerate(data) if i != 3)
    assert report.curve_csv(holed).splitlines()[4].endswith(",")
    assert report.curve_lines(holed)[8].rstrip().endswith(" -")


def test_rows_are_taken_evenly_with_both_ends():
    lines = report.curve_lines(curve(edited(TRUCK), 101), rows=5)
    body = [x.split() for x in lines if x[:1].isspace() or x[:1].isdigit()]
    travel = [
        float(x[0]) for x in body if x[0].replace(".", "").isdigit() and len(x) == 6
    ]
    assert len(travel) == 5
    assert travel[0] == 0.0
    assert travel[-1] == pytest.approx(GOOD.end * 1e3, abs=0.06)


def test_what_is_not_reached_is_said():
    lines = "\n".join(report.curve_lines(curve(edited(TRUCK, lever(length=60)))))
    assert "full NOT REACHED" in lines
    data = report.curve_data(curve(edited(TRUCK, lever(length=60))))
    assert data["full_at_mm"] is None
    wrong = curve(edited("fault-wrong-sense"))
    assert "Pressing does not open the plate." in report.curve_lines(wrong)
    assert "25% not reached" in "\n".join(report.curve_lines(wrong))
    assert report.curve_data(wrong)["marks_mm"] == {
        "25%": None,
        "50%": None,
        "75%": None,
    }


def test_no_minus_nought_is_printed():
    text = report.curve_csv(curve(edited("fault-wrong-sense")))
    assert "-0," not in text
    assert "-0.0" not in "\n".join(report.curve_lines(GOOD))


def test_where_each_throttle_starts_and_is_full_is_told_in_the_table_and_as_data():
    rear = 'to       = "rear spindle.lever"\n'
    layout = edited(
        TWIN,
        ("slot     = 36\n", 'only = "push"\n'),
        (rear, rear + "slot = 22\nlost = 8\n"),
    )
    found = curve(layout)
    at = found.throttles["rear"].starts
    # There and no earlier the plate moves.
    assembly = assemble(layout)
    for pad, moves in ((at - 1e-5, False), (at + 1e-5, True)):
        assert (sweep(assembly, np.array([pad])).opening("rear")[0] > 0) == moves
    said = " ".join(" ".join(report.curve_lines(found)).split())
    assert (
        f"Pad travel: front starts at once, 98.0% of swing at {1e3 * found.full_at:.1f} mm; rear "
        f"starts at {1e3 * at:.1f} mm, 78.4% at the end; kickdown never starts." in said
    )
    data = report.curve_data(found)["throttles"]
    assert data["rear"] == {"starts_at_mm": round(1e3 * at, 4), "full_at_mm": None}
    assert data["front"]["starts_at_mm"] == pytest.approx(0, abs=1e-3)
    assert data["kickdown"] == {"starts_at_mm": None, "full_at_mm": None}
    assert "Pad travel:" not in " ".join(report.curve_lines(GOOD))
