"""A slide on the command line: what knows it, and what says that it does not."""

import json

import pytest

from tests.slides import slid


@pytest.fixture
def car(tmp_path):
    path = tmp_path / "slid.toml"
    path.write_text(slid(), encoding="utf-8")
    return path


def test_its_check_tells_what_the_bar_does(run, car):
    ran = run("check", car, "--all")
    assert ran.code == 0
    text = " ".join(ran.out.split())
    assert (
        "pedal down: slide bar goes 36.9 mm toward the first end of its guide" in text
    )
    assert "the guide of slide `bar` takes 0.9% of what rod `one` puts on it" in text
    assert "throttle with slide `bar` out of its guide (rod `one` and rod `two`" in text
    assert "pin `bar.far` keeps 23.1 mm from the end of its guide" in text
    assert "slides weighed as bars twice as long as their guides: `bar`" in text
    assert "slides: bars that come out of their guides" in text
    assert "of rod `one` at pin `bar.near` from square to its guide" in text
    for word in ("arm `bar", "clamp of `bar", "shaft `bar`", "bearing of 12 mm: `bar`"):
        assert word not in text


def test_a_guide_too_short_is_named_with_how_long_it_would_have_to_be(run, tmp_path):
    path = tmp_path / "short.toml"
    text = slid(
        ("[[250, 0, 95], [330, 0, 95]]", "[[318, 0, 45], [330, 0, 45]]"),
        ("pins.near = [210, 0, 95]", "pins.near = [150, 0, 45]"),
        ("pins.far = [390, 0, 95]", "pins.far = [390, 0, 45]"),
        ("friction = 0.15", "friction = 0.3"),
    )
    path.write_text(text, encoding="utf-8")
    ran = run("check", path, "--why", "guide-jam")
    assert ran.code == 1
    said = " ".join(ran.out.split())
    assert (
        "slide `bar` jams in its guide however hard rod `one` pulls or pushes" in said
    )
    assert "hold slide `bar` in a guide" in said
    ran = run("check", path, "--why", "pad-force")
    said = " ".join(ran.out.split())
    assert "friction in a bearing or a guide locks the linkage" in said


def test_columns_of_its_curve_are_ways(run, car):
    ran = run("curve", car, "--json")
    assert ran.code == 0
    assert json.loads(ran.out)


@pytest.mark.parametrize("kind", ["png", "svg"])
def test_it_is_drawn(run, car, tmp_path, kind):
    out = tmp_path / f"p.{kind}"
    assert run("check", car, "--picture", out).code == 0
    assert out.stat().st_size > 10_000


def test_arms_beside_it_are_chosen_and_its_pins_are_none(run, car):
    ran = run("arm", car, "spindle.lever", "--lengths", "29 to 32 mm by 1 mm")
    assert ran.code == 0
    assert "Chosen: `spindle.lever`" in ran.out
    ran = run("arm", car, "bar.near")
    assert ran.code != 0
    assert "`bar.near` is a pin of a slide, which has no length and no angle" in ran.err
    assert "arms with rods: pedal.rod, spindle.lever" in ran.err


def test_a_spring_on_it_is_chosen_by_rate_and_has_no_radius(run, tmp_path):
    path = tmp_path / "own.toml"
    spring = '\n[springs.own]\nhook = "bar.own"\nanchor = [500, 90, 150]\nrate = "0.3 N/mm"\nfree_length = 60\ngreatest_length = 200\n'
    pin = ("pins.far = ", "pins.own = [380, 0, 95]\npins.far = ")
    path.write_text(slid(pin, more=spring), encoding="utf-8")
    ran = run("springs", path)
    assert ran.code == 0
    (row,) = (line for line in ran.out.splitlines() if line.startswith("own "))
    assert row.split()[-6:-4] == ["-", "-"]  # no torque arm
    ran = run("springs", path, "--choose", "own", "--radii", "20 to 30 mm by 5 mm")
    assert ran.code != 0
    assert "`bar.own` is a pin of a slide, which has no radius" in ran.err
    ran = run(
        "springs", path, "--choose", "own", "--rates", "0.3 to 0.4 N/mm by 0.1 N/mm"
    )
    rows = [line.split() for line in ran.out.splitlines() if " own " in line]
    assert rows
    assert all("-" in row for row in rows if "0.300" in row)


def test_it_is_compared_and_drawn(run, car, tmp_path):
    new = tmp_path / "new.toml"
    over = ("arms.rod = { length = 100, angle = 82 }", "arms.rod = { length = 100, angle = -95 }")  # fmt: skip
    new.write_text(slid(over), encoding="utf-8")
    out = tmp_path / "both.png"
    ran = run("compare", car, new, "--picture", out)
    assert ran.code == 1
    assert "slide `bar` went rearward, now forward" in " ".join(ran.out.split())
    assert "bar goes" in ran.out
    assert out.stat().st_size > 10_000


def test_it_goes_across_and_is_written_as_it_is_then(run, car, tmp_path):
    """What is written is what was judged: guide and pins on the other side."""
    out = tmp_path / "out"
    ran = run("swap", car, "--plane", "y = 100 mm", "--out-dir", out)
    assert ran.code == 0
    assert "As swapped: FITS" in ran.out
    text = (out / "swapped.toml").read_text(encoding="utf-8")
    assert "guide = [[250, 200, 95], [330, 200, 95]]" in text
    again = run("check", out / "swapped.toml", "--json")
    assert again.code == 0
    told = json.loads(run("check", car, "--json").out)
    there = json.loads(again.out)
    assert there["pad_travel_end_mm"] == pytest.approx(
        told["pad_travel_end_mm"], abs=1e-3
    )


def test_what_does_not_know_it_says_so_by_name(run, car):
    ran = run("band", car)
    assert ran.code not in {0, 70}
    assert "`band` knows of no slides, and there is slide `bar`" in ran.err
    assert "Traceback" not in ran.err
