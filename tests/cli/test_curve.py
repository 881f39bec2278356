"""`curve`: table, CSV, JSON, pictures."""

import csv
import io
import json
import re

import pytest

from tests.cli.conftest import CONFIGS


def test_table(run, configs):
    ran = run("curve", configs / "hanging-pedal.toml")
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert lines[0] == "Yard truck, one rod from a hanging pedal"
    assert "25% at" in ran.out
    assert "full (98.0% of swing) at" in " ".join(ran.out.split())
    assert "Prove it on the vehicle" in lines[-1]


def test_json_columns_are_of_one_length(run, configs):
    ran = run("curve", configs / "hanging-pedal.toml", "--json", "--rows", "7")
    data = json.loads(ran.out)
    columns = data["columns"]
    assert {len(v) for v in columns.values()} == {7}
    assert columns["pad_travel_mm"][0] == 0
    assert columns["throttle_share_pct"][-1] == pytest.approx(100)
    assert set(columns) == {
        "pad_travel_mm", "pad_travel_share_pct", "throttle_angle_deg",
        "throttle_share_pct", "open_area_pct", "local_ratio_deg_per_mm",
    }  # fmt: skip


def test_csv_carries_units_in_its_header(run, configs):
    ran = run("curve", configs / "hanging-pedal.toml", "--csv", "--rows", "5")
    rows = list(csv.DictReader(io.StringIO(ran.out)))
    assert len(rows) == 5
    assert float(rows[-1]["throttle_angle_deg"]) == pytest.approx(76, abs=1e-6)


def test_a_fault_is_said_in_the_table(run, configs):
    assert "full NOT REACHED" in run("curve", configs / "fault-hole-too-long.toml").out
    assert "does not open" in run("curve", configs / "fault-wrong-sense.toml").out


@pytest.mark.parametrize("suffix", ["png", "svg", "pdf"])
def test_pictures_of_several_layouts(run, configs, tmp_path, suffix):
    path = tmp_path / f"curve.{suffix}"
    ran = run(
        "curve", configs / "hanging-pedal.toml", "--over", configs / "fault-hole-too-long.toml",
        "-o", path, "--inches", "--paper", "letter",
    )  # fmt: skip
    assert ran.code == 0
    assert path.stat().st_size > 5000
    assert f"wrote {path}" in ran.err
    assert "Hill farm hauler" in ran.out


def test_files_of_numbers(run, configs, tmp_path):
    table, data = tmp_path / "c.csv", tmp_path / "c.json"
    assert run("curve", configs / "hanging-pedal.toml", "-o", table).code == 0
    assert table.read_text().startswith("pad_travel_mm,")
    assert run("curve", configs / "hanging-pedal.toml", "-o", data, "--quiet").out == ""
    assert json.loads(data.read_text())[0]["stopped_by"] == "full stop of throttle"


def test_several_as_json_are_a_list(run, configs):
    ran = run(
        "curve",
        configs / "hanging-pedal.toml",
        "--over",
        configs / "hanging-pedal.toml",
        "--json",
    )
    assert len(json.loads(ran.out)) == 2


def test_refusals(run, configs, tmp_path):
    old = tmp_path / "c.png"
    old.write_text("old")
    car = configs / "hanging-pedal.toml"
    assert run("curve", car, "-o", old).code == 2
    assert old.read_text() == "old"
    ran = run("curve", car, "-o", tmp_path / "c.gif")
    assert ran.code == 2
    assert ".png" in ran.err
    assert run("curve", car, "-o", tmp_path / "none" / "c.png").code == 2
    assert run("curve", car, "--rows", "1").code == 2
    assert list(tmp_path.iterdir()) == [old]


def _said(path):
    found = re.findall(r"<!-- (.*?) -->", path.read_text(encoding="utf-8"), re.DOTALL)
    return " ".join(" ".join(found).split())


def test_the_picture_says_what_the_whole_check_refuses(run, configs, tmp_path):
    weak, sound = configs / "fault-one-spring-only.toml", configs / "hanging-pedal.toml"
    path = tmp_path / "c.svg"
    assert run("curve", weak, "-o", path).code == 0
    assert "DO NOT FIT: only spring near shuts the plate" in _said(path)
    assert run("curve", sound, "--over", weak, "-o", path, "--force").code == 0
    why = "fault-one-spring-only, because only spring near shuts the plate"
    assert f"DO NOT FIT: {why}" in _said(path)
    assert run("curve", sound, "-o", path, "--force").code == 0
    assert "DO NOT FIT" not in _said(path)


def test_a_curve_whose_springs_cannot_be_judged_is_drawn_and_refused(
    run, configs, tmp_path
):
    text = (configs / "hanging-pedal.toml").read_text(encoding="utf-8")
    car, path = tmp_path / "car.toml", tmp_path / "c.svg"
    car.write_text(
        text.replace('rate            = "0.45 N/mm"\n', ""), encoding="utf-8"
    )
    assert run("check", car).code == 3
    assert run("curve", car, "-o", path).code == 0
    assert "DO NOT FIT: it could not be judged: spring near needs its wire" in _said(
        path
    )


def test_more_curves_than_can_be_told_apart(run, configs, tmp_path):
    car, path = configs / "hanging-pedal.toml", tmp_path / "c.svg"
    ran = run("curve", car, *["--over", car] * 6, "-o", path)
    assert ran.code == 2
    assert "draw at most 6" in ran.err
    assert not path.exists()
    assert run("curve", car, *["--over", car] * 6, "-o", tmp_path / "c.csv").code == 0


def test_why_the_open_area_ends_where_it_does(run, configs):
    said = " ".join(run("curve", configs / "hanging-pedal.toml").out.split())
    assert "Open area ends at 73%: the spindle takes the rest of the bore." in said
    said = " ".join(run("curve", configs / "fault-hole-too-long.toml").out.split())
    assert "Open area ends at 51%: the plate is not fully open." in said


def test_the_hand_levers_curve_is_asked_for_by_hand(run, tmp_path):
    both = CONFIGS / "hand-and-foot.toml"
    table = run("curve", both, "--by", "hand")
    assert table.code == 0
    assert table.out.splitlines()[0].endswith(": by hand")
    assert "120.0  100.0      75.8" in table.out
    assert "stopped by the end of its travel" in " ".join(table.out.split())
    assert "pad" not in table.out
    assert "pedal on one" in table.out  # the title, and no other
    assert table.out.count("pedal") == 1
    data = json.loads(run("curve", both, "--by", "hand", "--json").out)
    assert data["input"] == "hand lever"
    assert data["pad_travel_end_mm"] == 120.0
    assert json.loads(run("curve", both, "--json").out)["input"] == "pedal"
    head = run("curve", both, "--by", "hand", "--csv").out.splitlines()[0]
    assert head.startswith("hand_lever_travel_mm,")
    drawn = tmp_path / "c.svg"
    assert run("curve", both, "--by", "hand", "-o", drawn).code == 0
    assert "hand lever travel" in drawn.read_text(encoding="utf-8")
    out = tmp_path / "c.csv"
    assert run("curve", both, "--by", "hand", "-o", out).code == 0
    assert out.read_text().startswith("hand_lever_travel_mm,")


def test_a_hand_levers_curve_that_cannot_be_is_refused(run, tmp_path):
    both = CONFIGS / "hand-and-foot.toml"
    for words, says in (
        ((CONFIGS / "hanging-pedal.toml", "--by", "hand"), "no hand lever"),
        ((both, "--by", "foot"), "`foot` is no input"),
    ):
        ran = run("curve", *words)
        assert ran.code != 0
        assert says in ran.err
        assert ran.out == ""
    assert list(tmp_path.iterdir()) == []
