"""`compare`: one screen, pictures, files, exit status, refusals."""

from __future__ import annotations

import json
import re

import pytest

from linkage.config import load
from tests.bad.layouts import _inches, written
from tests.cli.conftest import CONFIGS

PAIRS = [
    ("scenario-before", "scenario-wrongly-swapped"),
    ("scenario-before", "scenario-cured"),
    ("crank-right-hand", "crank-wrong-hand"),
    ("up-pull-side-draught", "down-pull-side-draught"),
    ("bulkhead-cross-shaft", "fault-hole-too-long"),
    ("bulkhead-cross-shaft", "fault-wrong-sense"),
    ("hanging-pedal", "fault-lever-clocked-late"),
    ("hanging-pedal", "twin-side-draught"),
    ("bulkhead-cross-shaft", "fault-springs-too-weak"),
    ("twin-side-draught", "fault-wrong-sense"),
    ("scenario-cured", "twin-side-draught"),
    ("swapped-crossed-pull", "crank-wrong-hand"),
    ("fault-cross-shaft-arm-short", "crank-wrong-hand"),
]
#: Lines and signs of one screen, at its worst.
LINES, SIGNS = 32, 80


def pair(old, new):
    return CONFIGS / f"{old}.toml", CONFIGS / f"{new}.toml"


@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_one_screen_of_80_signs(once, old, new):
    ran = once("compare", *pair(old, new))
    lines = ran.out.splitlines()
    assert len(lines) <= LINES
    assert max(map(len, lines)) <= SIGNS
    assert ran.err == ""
    assert ran.code == once("check", pair(old, new)[1], "--json").code
    assert lines[-1].startswith("Estimate from measurements")
    assert all("seen from" in s for s in _sentences(ran.out) if "clockwise" in s)


def _sentences(out: str) -> list[str]:
    """Return the sentences above the table, each of which names its viewer."""
    above = " ".join(out.partition("Pedal going down")[0].split())
    return re.split(r"(?<=[.:]) (?=[A-Z])", above)


@pytest.mark.parametrize(("old", "new"), PAIRS[:2] + PAIRS[3:7])
def test_the_usual_pair_on_24_lines(run, monkeypatch, old, new):
    monkeypatch.chdir(CONFIGS)
    out = run("compare", f"{old}.toml", f"{new}.toml").out
    assert len(out.splitlines()) <= 24


@pytest.mark.parametrize("width", [40, 60, 100])
def test_the_width_of_the_terminal_is_kept(run, monkeypatch, width):
    monkeypatch.setenv("COLUMNS", str(width))
    monkeypatch.chdir(CONFIGS)
    out = run("compare", "hanging-pedal.toml", "twin-side-draught.toml", "--all").out
    assert max(map(len, out.splitlines())) <= width
    assert "front spindle" in " ".join(out.split())


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("twin-side-draught", "progressive-row"),  # not one throttle of one name
        ("progressive-row", "kickdown-branch"),
        ("kickdown-branch", "diesel-pump-lever"),
        ("diesel-pump-lever", "twin-side-draught"),
    ],
)
def test_layouts_that_have_little_in_common(run, old, new):
    ran = run("compare", *pair(old, new))
    assert ran.code == 0
    assert (
        f"Pressing opens `{load(pair(old, new)[1]).layout.main.name}`, as before."
        in (" ".join(ran.out.split()))
    )
    assert run("compare", *pair(old, new), "--json").code == 0


def test_the_shipped_scenario(run):
    ran = run("compare", *pair("scenario-before", "scenario-wrongly-swapped"))
    assert ran.code == 1
    words = " ".join(ran.out.split())
    assert "the carburettor opens the other way" in words
    assert "Pressing opened `throttle`; now it SHUTS it." in words
    assert re.search(
        r"springs near, far +against it, shuts +against it, OPENS", ran.out
    )
    assert "with a carburettor that opens anticlockwise seen from the right" in words
    assert "throttle-linkage check" in words


def test_all_of_it(run):
    few = run("compare", *pair("crank-right-hand", "crank-wrong-hand")).out
    ran = run("compare", *pair("crank-right-hand", "crank-wrong-hand"), "--all")
    assert len(ran.out) > 2 * len(few)
    assert "Each changed part set back, at a first look:" in ran.out
    assert "spring near" in ran.out
    assert "licensed engineer" in ran.out


def test_in_inches(run, tmp_path):
    """Sentences speak in the new file's units, JSON in millimetres and says so."""
    old, new = pair("scenario-before", "scenario-cured")
    text = new.read_text(encoding="utf-8")
    car = tmp_path / "inches.toml"
    car.write_text(written(_inches_of(text, _inches)), encoding="utf-8")
    ran = run("compare", old, car)
    assert ran.code == 0
    assert " in;" in ran.out or " in " in ran.out
    assert " mm" not in ran.out.partition("Changed")[0]
    data = json.loads(run("compare", old, car, "--json").out)
    assert data["units"]["length"] == "mm"
    assert data["new"]["full_at_mm"] == pytest.approx(71.6, abs=0.5)


def _inches_of(text, inches):
    import tomllib

    table = inches(tomllib.loads(text))
    table["units"]["length"] = "in"
    return table


def test_pictures(run, tmp_path):
    both, curves = tmp_path / "both.svg", tmp_path / "curves.png"
    words = ("--picture", both, "--curves", curves)
    ran = run("compare", *pair("crank-right-hand", "crank-wrong-hand"), *words)
    assert ran.code == 1
    assert ran.err.count("wrote") == 2
    drawn = both.read_text(encoding="utf-8")
    for name in ("mark 1", "mark word 1", "curves", "heading 0", "heading 1", "banner"):
        assert f'id="{name}"' in drawn
    assert curves.read_bytes().startswith(b"\x89PNG")
    again = run("compare", *pair("crank-right-hand", "crank-wrong-hand"), *words)
    assert again.code == 2
    assert again.out == ""
    assert (
        run(
            "compare", *pair("crank-right-hand", "crank-wrong-hand"), *words, "--force"
        ).code
        == 1
    )


def test_a_folder_of_all(run, tmp_path):
    out = tmp_path / "out"
    words = (*pair("crank-right-hand", "crank-wrong-hand"), "--out-dir", out)
    data = json.loads(run("compare", *words, "--json").out)
    assert sorted(p.name for p in out.iterdir()) == [
        "01-set-back.toml",
        "02-set-back.toml",
        "both.svg",
        "curves.svg",
    ]
    assert data["written"]["both"] == str(out / "both.svg")
    assert run("check", out / "02-set-back.toml").code == 0
    assert "bell crank of the other hand" in load(out / "02-set-back.toml").layout.title
    assert run("compare", *words).code == 2
    assert run("compare", *words, "--force").code == 1


def test_refusals(run, configs, tmp_path):
    car = configs / "hanging-pedal.toml"
    assert run("compare", car).code == 2
    assert run("compare", car, tmp_path / "none.toml").code == 3
    assert run("compare", car, car, "--picture", "both.doc").code == 2
    assert run("compare", car, car, "--paper", "a5").code == 2
    short = tmp_path / "short.toml"
    text = car.read_text(encoding="utf-8")
    assert text.count("[rods.link]\n") == 1
    short.write_text(
        text.replace("[rods.link]\n", "[rods.link]\nlength = 60\n"), encoding="utf-8"
    )
    for files in ((car, short), (short, car)):
        ran = run("compare", *files)
        assert ran.code == 4
        assert "short.toml" in ran.err
        assert ran.out == ""
