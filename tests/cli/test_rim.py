"""`rim`: shape a drum, write it, draw its template."""

import json

import numpy as np
import pytest


@pytest.fixture
def car(configs):
    return configs / "cable-drum.toml"


def test_the_rim_is_told_point_by_point(run, car):
    ran = run("rim", car, "spindle.drum")
    assert ran.code == 0
    assert "33% of the throttle at 45% of the pedal, as asked." in ran.out
    assert "things to look at\nTo look at: " in ran.out
    assert "Rim of `spindle.drum`, from its nipple on, clockwise" in ran.out
    assert ran.err == ""


def test_what_is_written_is_what_was_found(run, car, tmp_path):
    """In the file every comment stays; its own check and curve say the same."""
    out = tmp_path / "gentle.toml"
    told = json.loads(run("rim", car, "spindle.drum", "--json").out)
    assert run("rim", car, "spindle.drum", "-o", out).code == 0
    assert "# 3. The cable." in out.read_text()
    curve = json.loads(run("curve", out, "--json", "--rows", "201").out)
    pads, angles = (
        curve["columns"][n] for n in ("pad_travel_mm", "throttle_angle_deg")
    )
    at = np.interp(0.45 * curve["pedal_end_mm"], pads, angles)
    assert at == pytest.approx(80 / 3, abs=0.1)
    assert pads[-1] == pytest.approx(0.965 * curve["pedal_end_mm"], abs=0.1)
    assert told["verdict"] in {"fits", "look"}
    assert run("check", out).code == 0


def test_the_nearest_is_told_where_it_cannot_be_had(run, car):
    ran = run("rim", car, "spindle.drum", "--throttle", "33 %", "--at", "80 %")
    assert ran.code == 0
    assert "is the nearest to 80%" in " ".join(ran.out.split())
    data = json.loads(run("rim", car, "spindle.drum", "--at", "0.8", "--json").out)
    assert data["as_asked"] is False
    assert 0.4 < data["pedal_share_reached"] < 0.6


def test_the_template_of_what_is_there(run, car, tmp_path):
    out = tmp_path / "drum.pdf"
    ran = run("rim", car, "spindle.drum", "--as-it-is", "--template", out)
    assert ran.code == 0
    assert out.read_bytes().startswith(b"%PDF")
    again = run("rim", car, "spindle.drum", "--as-it-is", "--template", out)
    assert again.code == 2
    assert "--force" in again.err


@pytest.mark.parametrize(
    "words",
    [
        ("--throttle", "40 %"),
        ("--at", "50 %"),
        ("--least-radius", "15 mm"),
        ("-o", "with-rim.toml"),
        ("--json",),
    ],
)
def test_what_is_about_a_rim_is_refused_where_none_is_sought(run, car, tmp_path, words):
    out = tmp_path / "drum.pdf"
    ran = run("rim", car, "spindle.drum", "--as-it-is", "--template", out, *words)
    assert ran.code == 2
    assert "--as-it-is seeks none" in ran.err
    assert not out.exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("spindle.spring",), "no rod is joined"),
        (("pedal.cable",), "no drum of a throttle's spindle"),
        (("spindle.drum", "--at", "140 %"), "between 0 and 1"),
        (("spindle.drum", "--throttle", "much"), "much"),
        (("spindle.drum", "--as-it-is"), "nothing is asked for"),
        (("spindle.drum", "--template", "drum.docx"), ".docx"),
        (("spindle.drum", "--paper", "a3", "--template", "drum.pdf"), "a3"),
    ],
)
def test_words_that_cannot_be_are_refused(run, car, words, told):
    ran = run("rim", car, *words)
    assert ran.code in {2, 3}  # 3: a number that cannot be read
    assert told in ran.err
    assert ran.out == ""
