"""`band`: text, pictures, the worst corner as a file, and what it refuses."""

import json

import pytest

from linkage import config
from tests.cli.conftest import CONFIGS

TRUCK = CONFIGS / "hanging-pedal.toml"


def band(run, *words):
    return run("band", TRUCK, "--samples", "40", *words)


def test_it_says_first_how_many_would_fit_and_last_the_caution(run):
    ran = band(run)
    lines = ran.out.splitlines()
    assert ran.code == 0
    assert lines[0] == "All of 40 that would have been measured so would fit"
    assert lines[1] == "Yard truck, one rod from a hanging pedal"
    assert "measure again first" in ran.out
    assert "Prove it on the vehicle" in lines[-1]


@pytest.mark.parametrize("suffix", ["png", "svg", "pdf", "json"])
def test_it_is_written(run, tmp_path, suffix):
    path = tmp_path / f"sure.{suffix}"
    ran = band(run, "-o", path, "--quiet")
    assert (ran.code, ran.out) == (0, "")
    assert path.stat().st_size > 3000


def test_nothing_is_replaced_unasked(run, tmp_path):
    path = tmp_path / "sure.json"
    path.write_text("mine")
    assert band(run, "-o", path).code == 2
    assert path.read_text() == "mine"
    assert band(run, "-o", path, "--force").code == 0
    assert json.loads(path.read_text())["samples"] == 40


def test_the_worst_corner_is_a_layout_that_check_reads(run, tmp_path):
    path = tmp_path / "worst.toml"
    assert band(run, "--worst", path).code == 0
    assert path.read_text(encoding="utf-8").startswith("# Not to be made: Yard truck")
    assert config.load(path).layout.rods["link"].play == pytest.approx(0.2e-3)
    assert run("check", path).code == 0


def test_one_seed_is_one_answer(run):
    assert band(run).out == band(run, "--seed", "1").out
    assert band(run).out != band(run, "--seed", "2").out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--samples", "0"), "at least 2 samples"),
        (("--samples", "1000000000000"), "years"),
        (("-o", "sure.txt"), ".txt"),
        (("--worst", "sure.png"), ".png"),
        (("--seed", "-1"), "seed"),
    ],
)
def test_what_cannot_be_is_refused(run, words, said):
    ran = run("band", TRUCK, *words)
    assert ran.code == 2
    assert said in ran.err
    assert "Traceback" not in ran.err


def test_a_governed_engine_is_refused_with_words(run):
    ran = run("band", CONFIGS / "governed-engine.toml")
    assert ran.code == 2
    assert "governed engine" in ran.err
