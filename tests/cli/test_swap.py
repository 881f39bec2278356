"""`swap`: what reverses, cures and their files, refusals."""

import json
import re
from pathlib import Path

import jsonschema
import pytest

from linkage.config import load
from tests.cli.conftest import CONFIGS

#: The scenario's own swap: another carburettor, that opens the other way.
OTHER = ("--carburettor", "replaced", "--opens", "clockwise", "--lever-angle", "52 deg")


@pytest.fixture
def before(configs):
    return configs / "scenario-before.toml"


def test_a_mirrored_carburettor_fits_as_it_is(run, before):
    ran = run("swap", before)
    assert ran.code == 0
    assert "As swapped: FITS" in ran.out
    assert "What reverses:" not in ran.out
    assert "That alone reverses nothing" in " ".join(ran.out.split())
    assert "no cure is needed" in ran.out
    assert "licensed engineer" in ran.out
    assert ran.err == ""


def test_what_reverses_and_the_cures(run, before):
    ran = run("swap", before, *OTHER)
    assert ran.code == 0
    assert "As swapped: DO NOT FIT: the pedal shuts the plate" in ran.out
    words = " ".join(ran.out.split())
    assert "pressing NOW shuts throttle" in words
    assert "Springs of the wrong hand as swapped: `near`, `far`" in words
    assert " 1. lever `spindle.lever` hanging instead of standing: FITS" in ran.out
    assert re.search(r"^ 6\. ", ran.out, re.MULTILINE)
    # Every line that says clockwise names its viewing side.
    for line in re.split(r"\n  - ", ran.out):
        if "clockwise" in line:
            assert "seen from" in " ".join(line.split())
    assert all(len(line) <= 96 for line in ran.out.splitlines())


@pytest.mark.parametrize("name", ["diesel-pump-lever", "kickdown-branch"])
def test_a_rod_that_gives_or_lets_go_is_cured_as_another_is(run, name):
    """As swapped its lever has no stop to lead to: that is told of the lever."""
    ran = run("swap", CONFIGS / f"{name}.toml", "--carburettor", "turned")
    assert ran.code == 0
    assert "As swapped: DO NOT FIT: the pedal shuts the plate" in ran.out
    assert re.search(r"^ 1\. .*: FITS$", ran.out, re.MULTILINE)
    # Of rules that speak of other kinds of rods nothing is said.
    words = " ".join(ran.out.split()).partition("Not judged while that is so:")[2]
    words = words.partition("What reverses")[0]
    assert ("over-travel springs" in words) == (name == "diesel-pump-lever")
    assert ("a lever that sticks" in words) == (name == "kickdown-branch")


def test_every_cure_is_written_as_a_whole_layout(run, before, tmp_path):
    out = tmp_path / "cures"
    ran = run("swap", before, *OTHER, "--out-dir", out, "--json")
    assert ran.code == 0
    data = json.loads(ran.out)
    files = sorted(p.name for p in out.iterdir())
    assert files == sorted(
        [*(c["file"].rpartition("/")[2] for c in data["cures"]), "swapped.toml"]
    )
    assert ran.err.count("wrote") == len(files) == 7
    assert data["file"] == str(out / "swapped.toml")
    assert run("check", out / "swapped.toml").code == 1
    for number, cure in enumerate(data["cures"], start=1):
        path = out / f"{number:02}-{cure['name']}.toml"
        assert cure["file"] == str(path)
        assert run("check", path).code == (0 if cure["fits"] else 1)
        text = path.read_text()
        assert text.startswith("# Hill farm hauler")
        assert "Prove it on the vehicle" in text
        assert cure["title"].replace("`", "") in load(path).layout.title


def test_json(run, configs):
    ran = run(
        "swap",
        configs / "hanging-pedal.toml",
        "--carburettor",
        "turned",
        "--json",
        "--quiet",
    )
    data = json.loads(ran.out)
    assert data["fits"]
    assert not data["fits_as_it_is"]
    assert data["right_way"] is False
    assert data["as_swapped"]["verdict"] == "do not fit"
    assert data["beyond"] == "pedal"
    fact = next(f for f in data["facts"] if f["kind"] == "throttle")
    assert (fact["before"], fact["after"], fact["reverses"]) == (
        "anticlockwise",
        "clockwise",
        True,
    )
    last = data["cures"][-1]
    assert last["check"] is None
    assert "no bell crank" in last["reason"]
    assert data["cures"][0]["check"]["throttle_share_pct"] >= 98
    assert data["cures"][0]["reason"] is None


def test_a_cure_that_fails_is_told_with_its_reason(run, configs, tmp_path):
    ran = run(
        "swap",
        configs / "up-pull-side-draught.toml",
        "--carburettor",
        "replaced",
        "--opens",
        "clockwise",
        "--out-dir",
        tmp_path / "o",
    )
    words = " ".join(ran.out.split())
    assert (
        "DO NOT FIT fails: there is no bell crank" in words
        or "there is no bell crank between" in words
    )
    failing = [p for p in (tmp_path / "o").iterdir() if "not cured by" in p.read_text()]
    for path in failing:
        assert "DO NOT FIT" in path.read_text()


def test_to_a_place_and_across_a_plane(run, before):
    there = json.loads(run("swap", before, "--to", "-180 mm", "--json").out)
    plane = json.loads(run("swap", before, "--plane", "y = 20 mm", "--json").out)
    assert there["plane_mm"] == plane["plane_mm"] == 20
    same = json.loads(run("swap", before, "--to", "y = -180 mm", "--json").out)
    assert (
        same["slides"]
        == there["slides"]
        == [{"arm": "cross shaft.outer", "by_mm": 400}]
    )


def test_beyond_another_shaft(run, before):
    data = json.loads(run("swap", before, "--beyond", "bell crank", "--json").out)
    assert data["moved"] == ["spindle"]


def test_no_cure_gives_status_one(run, configs, tmp_path):
    text = (configs / "hanging-pedal.toml").read_text()
    long = tmp_path / "long.toml"
    assert "length = 32, angle = 52" in text
    long.write_text(text.replace("length = 32, angle = 52", "length = 150, angle = 52"))
    ran = run("swap", long, "--carburettor", "replaced", "--opens", "clockwise")
    assert ran.code == 1
    assert "No cure fits." in ran.out


def test_a_fault_that_the_car_had_hides_no_step(run, before, tmp_path):
    """One spring: it said that no cure fits, and no more."""
    text = before.read_text()
    first, last = text.index("[springs.far]"), text.index("[engine]")
    car, out = tmp_path / "car.toml", tmp_path / "cures"
    car.write_text(text[:first] + text[last:])
    ran = run("swap", car, *OTHER, "--out-dir", out, "--json")
    assert ran.code == run("check", car).code == 1
    data = json.loads(ran.out)
    schema = json.loads((CONFIGS.parent / "docs" / "swap.schema.json").read_text())
    jsonschema.validate(data, schema)
    assert {f["code"] for f in data["was_before"]} == {"energy-sources"}
    assert {f["code"] for f in data["brings"]} == {"opening-sense", "spring-pedal"}
    for cure in data["cures"]:
        assert cure["mends_the_swap"]
        assert cure["work"]
        assert run("check", cure["file"]).code == 1
        assert "# leaves, so before: only spring" in Path(cure["file"]).read_text()
    best = out / data["cures"][0]["file"].rpartition("/")[2]
    assert "mends the swap; DO NOT FIT: only spring" in best.read_text()
    said = " ".join(run("swap", car, *OTHER).out.split())
    assert "Was so before the swap, and must be mended too: - only spring" in said
    assert "do: set arm `spindle.lever`" in said


def test_a_swap_that_cannot_be_put_together(run, configs):
    car = configs / "up-pull-side-draught.toml"
    data = load(car).layout
    rod, spindle = data.shafts["cross shaft"].pin("outer"), data.shafts["spindle"].pivot
    slope = (rod[2] - spindle[2]) / (rod[0] - spindle[0])
    import math

    straight = math.degrees(math.atan(slope))
    words = (
        "--carburettor",
        "replaced",
        "--opens",
        "clockwise",
        "--lever-angle",
        f"{straight:.12f} deg",
    )
    ran = run("swap", car, *words)
    assert "CANNOT BE PUT TOGETHER" in ran.out
    assert "What cannot be told:" in ran.out
    assert ran.code == 0
    data = json.loads(run("swap", car, *words, "--json").out)
    assert data["as_swapped"] is None
    assert "in line" in data["fault"]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--beyond", "cross shft"), 2, "did you mean `cross shaft`?"),
        (("--beyond", "spindle"), 2, "nothing would move"),
        (("--plane", "y = 220 mm"), 2, "leaves nothing to move"),
        (("--plane", "y = 220 mm", "--to", "-220 mm"), 2, "--plane and --to"),
        (("--plane", "x = 20 mm"), 2, "no place across the car"),
        (("--plane", "20 mm"), 2, "no plane along the car"),
        (("--plane", "y = 20"), 3, "unit"),
        (("--to", "220 mm"), 2, "leaves nothing to move"),
        (("--carburettor", "mirored"), 2, "did you mean `mirrored`?"),
        (("--carburettor", "replaced"), 2, "needs the way it opens"),
        (("--opens", "clockwise"), 2, "cannot be told how"),
        (
            ("--carburettor", "turned", "--lever-angle", "52 deg"),
            2,
            "cannot be told how",
        ),
        (
            ("--carburettor", "replaced", "--opens", "clokwise"),
            2,
            "did you mean `clockwise`?",
        ),
        (
            (
                "--carburettor",
                "replaced",
                "--opens",
                "clockwise",
                "--lever-angle",
                "52",
            ),
            3,
            "unit",
        ),
    ],
)
def test_refusals_leave_no_folder(run, before, tmp_path, words, code, said):
    out = tmp_path / "o"
    ran = run("swap", before, *words, "--out-dir", out)
    assert ran.code == code
    assert said in ran.err
    assert ran.out == ""
    assert not out.exists()


def test_files_of_an_earlier_run_are_kept_without_force(run, before, tmp_path):
    out = tmp_path / "o"
    out.mkdir()
    old = out / "03-push-rod.toml"
    old.write_text("mine")
    ran = run("swap", before, *OTHER, "--out-dir", out)
    assert ran.code == 2
    assert "exists already" in ran.err
    assert [p.name for p in out.iterdir()] == [old.name]
    assert old.read_text() == "mine"


def test_force_replaces_and_names_what_is_left(run, before, tmp_path):
    out = tmp_path / "o"
    out.mkdir()
    (out / "swapped.toml").write_text("old")
    (out / "09-push-rod.toml").write_text("mine")
    (out / "notes.txt").write_text("mine")
    ran = run("swap", before, "--out-dir", out, "--force")
    assert ran.code == 0
    assert (out / "swapped.toml").read_text().startswith("# Hill farm hauler")
    assert (out / "09-push-rod.toml").read_text() == "mine"
    assert "left from an earlier run: 09-push-rod.toml" in ran.err


def test_places_where_no_folder_can_be(run, before, tmp_path):
    (tmp_path / "file").write_text("x")
    ran = run("swap", before, "--out-dir", tmp_path / "file")
    assert (ran.code, "is a file" in ran.err) == (2, True)
    ran = run("swap", before, "--out-dir", tmp_path / "no" / "where")
    assert (ran.code, "there is no folder" in ran.err) == (2, True)


@pytest.mark.parametrize(
    "fault", [OSError(28, "No space left on device"), KeyboardInterrupt()]
)
def test_nothing_half_written(run, before, tmp_path, monkeypatch, fault):
    """A full disk, or Ctrl-C, at the third file."""
    from linkage.outside import files

    real = files.os.fsync
    count = []

    def failing(handle):
        count.append(handle)
        if len(count) == 3:
            raise fault
        real(handle)

    monkeypatch.setattr(files.os, "fsync", failing)
    out = tmp_path / "o"
    ran = run("swap", before, *OTHER, "--out-dir", out)
    assert ran.code != 0
    assert [p for p in tmp_path.rglob("*") if p.name != "o"] == []
    assert not out.exists()


def test_a_broken_layout_is_refused_with_its_place(run, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 1\nshaft = 3\n")
    ran = run("swap", bad)
    assert ran.code == 3
    assert "bad.toml:2" in ran.err


def test_help_has_an_example(run):
    ran = run("swap", "--help")
    assert ran.code == 0
    assert "throttle-linkage swap car.toml --carburettor turned" in ran.out
