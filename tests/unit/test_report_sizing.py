"""The arm chooser's table and data."""

from __future__ import annotations

import re

import numpy as np
import pytest

from linkage.motion import assemble, working_travel
from linkage.motion.curve import travel_curve
from linkage.report import sizing as report
from linkage.report.pictures import (
    curve_picture,
    layout_picture,
    refusal,
    sizing_picture,
)
from linkage.search import check
from linkage.search.arm import size_arms
from linkage.search.sized import Choice
from tests.unit.edits import PIVOT, STOP, TRUCK, edited, lever
from tests.unit.test_sizing import LEVER, ROD, sized

MANY = sized(edited(TRUCK), *np.arange(22, 46, 0.5))


def marked(lines):
    return [line for line in lines if line.startswith(">")]


def test_the_chosen_row_and_those_around_it():
    shown = report.shown_rows(MANY, every=False)
    assert len(shown) == 2 * report.NEIGHBOURS + 1
    assert MANY.chosen in shown
    assert shown == list(range(shown[0], shown[-1] + 1))
    assert report.shown_rows(MANY, every=True) == list(range(len(MANY.rows)))
    lines = report.sizing_lines(MANY)
    assert len(marked(lines)) == 1
    assert f"{MANY.rows[MANY.chosen].lengths[0] * 1e3:.2f}" in marked(lines)[0]


@pytest.mark.parametrize("span", [(22, 32.5), (31.5, 46)])
def test_at_either_end_of_the_range_as_many_rows_are_shown(span):
    sizing = sized(edited(TRUCK), *np.arange(*span, 0.5))
    shown = report.shown_rows(sizing, every=False)
    assert len(shown) == 2 * report.NEIGHBOURS + 1
    assert sizing.chosen in shown


def test_why_others_failed_is_told_once_a_reason():
    text = " ".join(" ".join(report.sizing_lines(MANY)).split())
    failed = [r for r in MANY.rows if not r.fits]
    assert f"{len(failed)} failed, for example: the plate opens only" in text
    assert "[full-throttle]" in text


def test_where_nothing_fits_the_nearest_are_shown():
    sizing = sized(edited(TRUCK), *np.arange(45, 60, 0.5))
    shown = report.shown_rows(sizing, every=False)
    assert shown == list(range(9))  # the shortest reach furthest
    lines = report.sizing_lines(sizing)
    assert "None of the 30 tried fits." in lines
    assert marked(lines) == []
    assert report.sizing_data(sizing)["chosen"] is None


def test_two_arms_show_the_rows_nearest_to_the_chosen():
    steps = [tuple(x * 1e-3 for x in np.arange(a, a + 4, 1.0)) for a in (30, 112)]
    choices = [
        Choice(hole=LEVER, lengths=steps[0], angles=(0.9075712110370514,)),
        Choice(hole=ROD, lengths=steps[1], angles=(1.3962634015954636,)),
    ]
    sizing = size_arms(edited(TRUCK), choices)
    shown = report.shown_rows(sizing, every=False)
    assert len(shown) == 9
    assert sizing.chosen in shown
    text = "\n".join(report.sizing_lines(sizing))
    assert "spindle.lever" in text
    assert "pedal.rod" in text
    assert " and `pedal.rod`" in text


def test_angles_have_a_column_where_they_vary_and_lengths_where_they_do_not_alone():
    sizing = sized(edited(TRUCK), 32, angles_deg=[48, 50, 52])
    lines = report.sizing_lines(sizing)
    assert "spindle.lever" in lines[0]
    assert lines[1].split()[0] == "°"
    assert " at 5" in "\n".join(lines)
    both = report.sizing_lines(sized(edited(TRUCK), 31, 32, angles_deg=[50, 52]))
    assert both[0].count("spindle.lever") == 2


def test_a_row_that_cannot_be_assembled_has_dashes_and_nulls():
    pedal = edited(TRUCK).shafts["pedal"].pin("rod")
    level = f"pivot   = [430, -30, {pedal[2] * 1e3}]"
    layout = edited(TRUCK, ("pivot   = [430, -30, 82]", level), lever(offset=0))
    sizing = sized(layout, 32, angles_deg=[52, 180])
    assert sizing.rows[1].reason.startswith("assembly")
    text = report.sizing_lines(sizing)
    row = next(x for x in text if x.rstrip().endswith("assembly"))
    assert " - " in row
    data = report.sizing_data(sizing)["columns"]
    assert data["rod link length_mm"][1] is None
    assert data["full_at_pad_travel_share_pct"][1] is None
    assert data["reason"][1].startswith("assembly: ")


def test_full_that_is_not_met_at_the_stop_is_said_as_a_share():
    """98 % counts as full although the stop is never met."""
    layout = edited(TRUCK, ("stop   = 69.5\n", ""), ("travel = 76", "travel = 68.5"))
    sizing = sized(layout, 32)
    assert sizing.rows[0].fits
    assert sizing.rows[0].full_share is None
    assert "of swing with the pedal down, the full stop is not met" in " ".join(
        " ".join(report.sizing_lines(sizing)).split()
    )


@pytest.mark.parametrize(
    ("stop", "said"),
    [
        (STOP, "set the pedal stop to 69.0 mm of pad travel (now 69.5 mm);"),
        (
            "stop   = 68.9\n",
            "set the pedal stop to 69.0 mm of pad travel (now 68.9 mm);",
        ),
        ("stop   = 69\n", "; pedal stop at 69.0 mm of pad travel, as it is;"),
        ("", "; fit a pedal stop at 69.0 mm of pad travel; there is none;"),
    ],
)
def test_what_is_to_be_done_about_the_pedal_stop(stop, said):
    sizing = sized(edited(TRUCK, (STOP, stop)), 32)
    assert sizing.rows[0].fits
    assert said in " ".join(" ".join(report.sizing_lines(sizing)).split())


def test_where_nothing_can_be_put_together_no_row_is_the_nearest():
    level = f"pivot   = [430, -30, {edited(TRUCK).shafts['pedal'].pin('rod')[2] * 1e3}]"
    layout = edited(TRUCK, (PIVOT, level), lever(offset=0))
    sizing = sized(layout, 32, angles_deg=[180])
    lines = report.sizing_lines(sizing)
    assert "None of the 1 tried fits." in lines
    assert sizing.best is None
    assert not any(line.startswith(("Chosen", "Nearest")) for line in lines)
    assert any(line.startswith("1 failed: rod `link` and arm") for line in lines)


def test_data_are_columns_of_one_length():
    data = report.sizing_data(MANY)
    assert {len(c) for c in data["columns"].values()} == {len(MANY.rows)}
    assert data["columns"]["spindle.lever length_mm"][0] == 22.0
    assert data["arms"] == ["spindle.lever"]


# --- pictures as bytes ------------------------------------------------------------


def test_pictures_of_each_result():
    svg = sizing_picture(MANY, edited(TRUCK), suffix="svg")
    assert b"<svg" in svg
    curves = []
    for name in (TRUCK, "fault-hole-too-long", "fault-wrong-sense"):
        assembly = assemble(edited(name))
        curves.append((name, travel_curve(assembly, working_travel(assembly))))
    text = curve_picture(curves, suffix="svg").decode()
    assert "DO NOT FIT: pressing does not open the plate" in _words(text)
    assert (
        "DO NOT FIT: the plate opens only 70.7% with the pedal on its stop"
        in _words(text)
    )
    assert "DO NOT FIT: fault-hole-too-long and fault-wrong-sense; why is" in _words(
        text
    )
    bad = check(edited("fault-hole-too-long"), cures=False)
    for share in (0.0, 1.0):
        drawn = layout_picture(bad, share=share, suffix="svg").decode()
        assert "DO NOT FIT" in _words(drawn)
    fine = check(edited(TRUCK), cures=False)
    assert "DO NOT FIT" not in _words(
        layout_picture(fine, share=0.3, suffix="svg").decode()
    )


def test_which_of_several_is_refused_and_why():
    names = ["old", "NEW", "spare"]
    why = "the pedal shuts the plate"
    assert refusal(names, [None, None, None]) is None
    assert refusal(names, [None, why, None]) == f"NEW, because {why}"
    assert refusal(names[:1], [why]) == why
    both = refusal(names, [None, why, "the plate opens only 57%"])
    assert both == f"NEW, because {why}; nor spare, because the plate opens only 57%"
    each = refusal(["a" * 80, "b", "c"], [why] * 3)
    assert each == f"{'a' * 29}…, b and c; why is told of each below"
    one = refusal(["a" * 160, "b"], [why, None])
    assert one == f"{'a' * 29}…, because {why}"


def _words(svg: str) -> str:
    """Return the text of a picture: matplotlib keeps it in comments or text tags."""
    found = re.findall(r"<!-- (.*?) -->|<text[^>]*>(.*?)</text>", svg, re.DOTALL)
    return " ".join(" ".join(a or b for a, b in found).split())
