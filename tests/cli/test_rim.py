"""`rim`: shape a drum, write it, draw its template."""

import json

import numpy as np
import pytest

from tests.unit.test_rim_shaping import lines_of


@pytest.fixture
def car(configs):
    return configs / "cable-drum.toml"


@pytest.fixture
def cam(configs):
    return configs / "cam-roller.toml"


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
        (("pedal.cable", "--as-it-is", "--template", "x.pdf"), "no cam begins there"),
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


def test_a_profile_is_told_point_by_point(run, cam):
    ran = run("rim", cam, "cross.cam", "--throttle", "31 %")
    assert ran.code == 0
    said = " ".join(ran.out.split())
    assert "31% of the throttle at 45% of the pedal, as asked." in said
    assert (
        "Profile of cam `main` on `cross.cam`, from its arm on, anticlockwise" in said
    )
    assert "within 0.01° of the curve that was sought" in said
    assert "pad throttle now with the cam" in said
    assert ran.err == ""


def test_a_profile_that_is_written_is_the_one_that_was_found(run, cam, tmp_path):
    """In the file every comment stays; its own check and curve say the same."""
    out = tmp_path / "gentle.toml"
    words = ("rim", cam, "cross.cam", "--throttle", "31 %")
    told = json.loads(run(*words, "--json").out)
    template = tmp_path / "cam.pdf"
    ran = run(*words, "-o", out, "--template", template)
    assert ran.code == 0
    assert template.read_bytes().startswith(b"%PDF")
    text = out.read_text()
    assert "# 4. The rod, and the cam: points of its profile" in text
    assert text.count("profile      =") == 1
    curve = json.loads(run("curve", out, "--json", "--rows", "201").out)
    pads, angles = (
        curve["columns"][n] for n in ("pad_travel_mm", "throttle_angle_deg")
    )
    at = np.interp(0.45 * curve["pedal_end_mm"], pads, angles)
    assert at == pytest.approx(0.31 * 62, abs=0.1)
    shares = told["columns"]["throttle_share"]
    ours = np.interp(np.linspace(0, 1, 11) * curve["pedal_end_mm"], pads, angles) / 62
    assert ours == pytest.approx(shares, abs=1e-3)
    assert run("check", out).code == 0
    again = run("rim", out, "cross.cam", "--as-it-is", "--template", tmp_path / "b.pdf")
    assert again.code == 0
    one, two = (lines_of(p.read_bytes()) for p in (template, tmp_path / "b.pdf"))
    assert len(one) == len(two) > 10
    for line, other in zip(one, two, strict=True):
        np.testing.assert_allclose(line, other, atol=2e-3)


def test_a_cam_in_arcs_is_written_by_points(run, cam, tmp_path):
    text = cam.read_text()
    start = text.index("profile      =")
    line = text[start : text.index("\n", start)]
    arcs = text.replace(line, "arcs = [[42.1, 30], [200, 20]]").replace(
        "length = 42.1, angle = 16", "length = 42.1, angle = 0"
    )
    (tmp_path / "arcs.toml").write_text(arcs)
    out = tmp_path / "out.toml"
    words = (
        "rim",
        tmp_path / "arcs.toml",
        "cross.cam",
        "--throttle",
        "0.2",
        "--at",
        "0.5",
    )
    ran = run(*words, "-o", out)
    assert ran.code in {0, 1}
    assert "arcs" not in out.read_text().split("[cams.main]")[1]
    assert "profile = [[" in out.read_text()


def test_the_nearest_cam_is_told_with_what_bounds_it(run, cam):
    ran = run("rim", cam, "cross.cam", "--throttle", "40 %")
    said = " ".join(ran.out.split())
    assert "is the nearest to 45%: for what is asked, at 100% of the throttle" in said
    assert "the cam would run into the roller's shaft" in said
    words = ("rim", cam, "cross.cam", "--throttle", "40 %", "--json")
    data = json.loads(run(*words).out)
    assert data["as_asked"] is False
    assert data["bounded_by"].endswith("the cam would run into the roller's shaft")


def test_the_roller_of_a_cam_is_no_cam(run, cam):
    ran = run("rim", cam, "spindle.roller")
    assert ran.code == 2
    assert (
        "`spindle.roller` is no cam whose roller is on a throttle's spindle" in ran.err
    )
    assert "did you mean `cross.cam`" in ran.err or "cross.cam" in ran.err
