"""`arm`: choose a length, a hole, an angle, two arms; write the choice."""

import json
import re
import tomllib

import pytest


def test_chosen_row_is_marked_and_others_told(run, configs):
    ran = run("arm", configs / "fault-hole-too-long.toml", "spindle.lever")
    assert ran.code == 0
    marked = [line for line in ran.out.splitlines() if line.startswith(">")]
    assert len(marked) == 1
    assert marked[0].split()[1] == "33.50"
    assert "[full-throttle]" in ran.out
    assert ran.err == ""


def test_the_choice_is_written_and_fits(run, configs, tmp_path):
    fault = configs / "fault-hole-too-long.toml"
    out = tmp_path / "cured.toml"
    assert run("arm", fault, "spindle.lever", "-o", out).code == 0
    assert run("check", fault).code == 1
    assert run("check", out).code == 0
    before, after = fault.read_text().splitlines(), out.read_text().splitlines()
    changed = [i for i, (a, b) in enumerate(zip(before, after, strict=True)) if a != b]
    assert len(changed) == 3
    title = after[changed.pop(0)]
    assert title.endswith(', with arm spindle.lever 33.5 mm"')
    assert 'length = "33.5 mm"' in after[changed[0]]
    assert after[changed[1]] == 'stop   = "74.5 mm"'  # the pedal stop is set last


def test_holes_of_a_lever(run, configs):
    ran = run(
        "arm",
        configs / "fault-hole-too-long.toml",
        "spindle.lever",
        "--lengths",
        "28, 32, 1 1/2 in",
        "--json",
    )
    assert ran.code == 1 or json.loads(ran.out)["columns"]["spindle.lever length_mm"]
    ran = run(
        "arm",
        configs / "fault-hole-too-long.toml",
        "spindle.lever",
        "--lengths",
        "28 mm, 32 mm, 38 mm, 45 mm",
        "--json",
    )
    data = json.loads(ran.out)
    assert data["columns"]["spindle.lever length_mm"] == [28, 32, 38, 45]
    assert data["chosen"] == 1
    assert data["columns"]["fits"] == [True, True, False, False]
    assert data["columns"]["reason"][0] is None
    assert data["columns"]["reason"][3].startswith("full-throttle")


def test_inch_steps(run, configs):
    ran = run(
        "arm",
        configs / "fault-hole-too-long.toml",
        "spindle.lever",
        "--lengths",
        "1 to 1 1/2 in",
        "--json",
        "--all",
    )
    tried = json.loads(ran.out)["columns"]["spindle.lever length_mm"]
    assert tried[1] - tried[0] == pytest.approx(25.4 / 16, abs=1e-3)
    assert len(tried) == 9


def test_two_arms_and_an_angle(run, configs):
    ran = run(
        "arm", configs / "fault-hole-too-long.toml", "spindle.lever", "cross shaft.outer",
        "--lengths", "30 to 34 mm by 1 mm", "--lengths", "68 to 74 mm by 2 mm",
        "--angles", "48 to 56 deg by 4 deg", "--json",
    )  # fmt: skip
    data = json.loads(ran.out)
    assert data["arms"] == ["spindle.lever", "cross shaft.outer"]
    assert {len(c) for c in data["columns"].values()} == {5 * 4 * 3}
    assert "rod down length_mm" in data["columns"]


def test_angle_alone_keeps_the_length(run, configs):
    ran = run(
        "arm",
        configs / "hanging-pedal.toml",
        "spindle.lever",
        "--angles",
        "45 to 60 deg by 5 deg",
        "--all",
    )
    assert ran.code == 0
    assert ran.out.count("fits") == 4


def test_picture(run, configs, tmp_path):
    path = tmp_path / "arm.svg"
    ran = run(
        "arm", configs / "fault-hole-too-long.toml", "spindle.lever", "--picture", path
    )
    assert ran.code == 0
    assert b"<svg" in path.read_bytes()


def test_nothing_fits(run, configs, tmp_path):
    out = tmp_path / "o.toml"
    ran = run(
        "arm",
        configs / "fault-hole-too-long.toml",
        "spindle.lever",
        "--lengths",
        "45 to 50 mm",
        "-o",
        out,
    )
    assert ran.code == 1
    assert "None of the 11 tried fits." in ran.out
    assert "not written" in ran.err
    assert not out.exists()


def test_an_arm_by_its_pin_becomes_length_and_angle(run, car, tmp_path):
    text = car.read_text().replace(
        "arms.lever        = { length = 32, angle = 52, offset = 12 }",
        "arms.lever        = { pin = [352, -32, 186] }",
    )
    car.write_text(text)
    out = tmp_path / "out.toml"
    assert run("arm", car, "spindle.lever", "-o", out).code == 0
    lever = tomllib.loads(out.read_text())["shafts"]["spindle"]["arms"]["lever"]
    assert set(lever) == {"length", "angle", "offset"}
    assert run("check", out).code == 0


def test_a_rod_of_given_length_gets_the_new_one(run, car, tmp_path):
    text = car.read_text().replace(
        'from     = "bell crank.out"',
        'length = "238.6 mm"\nfrom     = "bell crank.out"',
    )
    car.write_text(text)
    out = tmp_path / "out.toml"
    assert run("arm", car, "spindle.lever", "--lengths", "31 mm", "-o", out).code == 0
    assert tomllib.loads(out.read_text())["rods"]["carb"]["length"] != "238.6 mm"


def test_three_arms_at_once(run, configs):
    ran = run(
        "arm",
        configs / "bulkhead-cross-shaft.toml",
        *("spindle.lever", "cross shaft.outer", "pedal.rod"),
        *("--lengths", "31 to 33 mm by 1 mm"),
        *("--lengths", "75 to 77 mm by 1 mm"),
        *("--lengths", "69 to 71 mm by 1 mm"),
    )
    assert ran.code == 0
    said = " ".join(ran.out.split())
    arms = ("spindle.lever", "cross shaft.outer", "pedal.rod")
    three = " and ".join(rf"`{arm}` \d\d\.00 mm" for arm in arms)
    assert re.search(f"Chosen: {three};", said)
    assert all(f"rod `{rod}`" in said for rod in ("carb", "down", "up"))


@pytest.mark.parametrize(
    "words",
    [
        ["spindle.levr"],
        ["spindle.spring"],
        ["spindle.lever", "spindle.lever"],
        ["spindle.lever", "cross shaft.outer", "cross shaft.inner", "pedal.rod"],
        ["spindle.lever", "--lengths", "45 to 25 mm"],
        ["spindle.lever", "--lengths", "25 to 45 mm by 0.001 mm"],
        ["spindle.lever", "--lengths", "-5 to 5 mm"],
        ["spindle.lever", "--lengths", "28 mm,, 30 mm"],
        ["spindle.lever", "--lengths", "30 mm", "--lengths", "31 mm"],
        ["spindle.lever", "--angles", "1 to 2 deg", "--angles", "1 to 2 deg"],
        ["spindle.lever", "cross shaft.outer", "--lengths", "20 to 40 mm by 0.05 mm", "--lengths", "50 to 80 mm by 0.1 mm"],
    ],
)  # fmt: skip
def test_refusals(run, configs, words):
    ran = run(
        "arm",
        configs / "hanging-pedal.toml"
        if "cross shaft.outer" not in words
        else configs / "bulkhead-cross-shaft.toml",
        *words,
    )
    assert ran.code == 2
    assert ran.err.startswith("error[L300]")
    assert "hint" in ran.err


def test_wrong_units_are_unit_errors(run, configs):
    ran = run(
        "arm",
        configs / "hanging-pedal.toml",
        "spindle.lever",
        "--lengths",
        "25 to 45 N",
    )
    assert ran.code == 3
    assert "error[L110]" in ran.err


def test_places_are_refused_before_the_search(run, configs, tmp_path):
    old = tmp_path / "old.toml"
    old.write_text("x")
    car = configs / "hanging-pedal.toml"
    assert run("arm", car, "spindle.lever", "-o", old).code == 2
    assert run("arm", car, "spindle.lever", "-o", tmp_path / "a.txt").code == 2
    assert run("arm", car, "spindle.lever", "--picture", tmp_path / "a.gif").code == 2
    assert old.read_text() == "x"
