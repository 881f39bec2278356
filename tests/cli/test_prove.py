"""`prove`: what to read, a file to fill in, and what the readings tell. All invented."""

import json
from pathlib import Path

import pytest

from linkage import config
from linkage.config.readings import load_readings
from tests.cli.conftest import CONFIGS

TRUCK = CONFIGS / "hanging-pedal.toml"
HAULER = CONFIGS / "bulkhead-cross-shaft.toml"
#: Readings that agree; and as of a vehicle whose lever is shorter, or whose pad is.
SOUND, SHORT = (
    (Path(__file__).parents[1] / "read" / f"{name}.toml").read_text(encoding="utf-8")
    for name in ("agrees", "short-lever")
)


@pytest.fixture
def read(tmp_path):
    """Return a function that writes a file of readings."""

    def write(text):
        path = tmp_path / "read.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_without_readings_it_says_what_to_read(run):
    ran = run("prove", HAULER)
    lines = ran.out.splitlines()
    assert ran.code == 0
    assert lines[0].startswith("to read on the vehicle")
    assert any(
        line.startswith("pad travel at which the throttle is full") for line in lines
    )
    assert any(line.startswith("angle of arm `bell crank.in`") for line in lines)
    assert "Prove it on the vehicle" in lines[-1]


def test_a_blank_is_filled_in_and_read_back(run, tmp_path):
    """With what is predicted in each gap, as if the vehicle were the file."""
    blank = tmp_path / "blank.toml"
    assert run("prove", HAULER, "--blank", blank, "--quiet").code == 0
    text = blank.read_text(encoding="utf-8")
    with_gaps = [line for line in text.splitlines() if "____" in line]
    assert len(with_gaps) == 14
    lines = []
    for line in text.splitlines():
        told = line.partition("predicted ")[2]
        bare = line.removeprefix("# ")
        if told and "N, nine" in told:
            pulls = told.split(" N, nine")[0].split(", ")
            for pull in pulls:
                bare = bare.replace("____", pull, 1)
        elif told:
            bare = bare.replace("____", told.split(",")[0].split(" ")[0].rstrip("°"))
        opens = line.startswith("#") and line.rstrip().endswith(("= [", "# ]"))
        lines.append(bare if told or opens else line)
    filled = tmp_path / "filled.toml"
    filled.write_text("\n".join(lines), encoding="utf-8")
    found = load_readings(filled, config.load(HAULER))
    assert len(found) == 14
    ran = run("prove", HAULER, filled)
    assert ran.code == 0, ran.out
    assert ran.out.startswith("The vehicle AGREES with the file, and it fits")
    assert " outside" not in ran.out


def test_a_blank_as_it_is_has_nothing_read(run, tmp_path):
    blank = tmp_path / "blank.toml"
    run("prove", CONFIGS / "twin-side-draught.toml", "--blank", blank)
    ran = run("prove", CONFIGS / "twin-side-draught.toml", blank)
    assert ran.code == 3
    assert "nothing was read" in ran.err


def test_it_agrees_and_says_so_first(run, read):
    ran = run("prove", TRUCK, read(SOUND))
    assert ran.code == 0
    assert ran.out.startswith("The vehicle AGREES with the file, and it fits")
    assert "with what was read" in ran.out
    assert "friction at `spindle.lever` with the pedal up" in ran.out


def test_it_does_not_agree_and_says_what_to_measure(run, read, tmp_path):
    path = tmp_path / "mended.toml"
    ran = run("prove", TRUCK, read(SHORT))
    assert ran.code == 1
    assert ran.out.startswith("The vehicle DOES NOT AGREE with the file")
    assert "do not tell the first" in ran.out
    ran = run("prove", TRUCK, read(SHORT), "--corrected", path)
    assert ran.code == 2
    assert "`--take N`" in ran.err
    assert not path.exists()
    assert (
        run("prove", TRUCK, read(SHORT), "--take", "1", "--corrected", path).code == 1
    )
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# Yard truck, one rod from a hanging pedal")
    lever = config.load(path).layout.shafts["spindle"].arms["lever"]
    assert lever.length == pytest.approx(30.2e-3, abs=0.5e-3)
    assert run("prove", path, read(SHORT)).code == 0


@pytest.mark.parametrize("suffix", ["png", "svg", "pdf", "json"])
def test_it_is_written(run, read, tmp_path, suffix):
    path = tmp_path / f"proof.{suffix}"
    ran = run("prove", TRUCK, read(SOUND), "-o", path, "--quiet")
    assert (ran.code, ran.out) == (0, "")
    assert path.stat().st_size > 3000
    assert run("prove", TRUCK, read(SOUND), "-o", path).code == 2


def test_it_speaks_the_units_of_the_file_or_both(run, read):
    ran = run("prove", TRUCK, read(SOUND), "--both")
    assert "mm (" in ran.out or " in" in ran.out


def test_data_are_the_same_as_the_words(run, read):
    data = json.loads(run("prove", TRUCK, read(SHORT), "--json").out)
    assert (data["agrees"], data["good"], data["taken"]) == (False, False, None)
    assert data["explanations"][0]["nearer"] == pytest.approx(30.2, abs=0.1)
    assert len(data["measure"]["shows"]) == data["not_told_apart"]
    assert [r["seen"] for r in data["readings"]] == [65.0, 24.6, 47.5, 432.0]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--take", "1"), 2, "needs readings"),
        (("-o", "x.png"), 2, "needs readings"),
        (("-o", "x.gif"), 2, "gif"),
        (("none.toml",), 3, "no file of readings"),
    ],
)
def test_what_is_wrong_is_refused(run, words, code, said):
    ran = run("prove", TRUCK, *words)
    assert ran.code == code
    assert said in ran.err


def test_explanations_are_counted_from_one(run, read):
    ran = run("prove", TRUCK, read(SHORT), "--take", "0")
    assert ran.code == 2
    assert "counted from 1" in ran.err


def test_a_blank_and_readings_together_are_refused(run, read, tmp_path):
    ran = run("prove", TRUCK, read(SHORT), "--blank", tmp_path / "b.toml")
    assert ran.code == 2
    assert not (tmp_path / "b.toml").exists()
