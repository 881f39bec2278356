"""The exit status of `arm` is that of `check` on the layout that it writes.

Over all shipped layouts and a sample of bad ones, with the usual range of lengths
and with a list of holes; where nothing is written none of the candidates fits.
"""

from __future__ import annotations

import json

import pytest

from linkage.config import load
from linkage.errors import LinkageError
from linkage.search import check
from linkage.search.arm import size_arms
from tests.bad.layouts import bad_text
from tests.cli.conftest import CONFIGS
from tests.thinned import thinned

SHIPPED = sorted(p.stem for p in CONFIGS.glob("*.toml"))
#: A sample of the bad layouts; of each the lever of its main throttle.
SEEDS = range(0, 300, 13)
#: Shares of its length at which the holes of a lever are.
HOLES = (0.8, 0.9, 1.0, 1.1, 1.25)


def _as_check(run, path, tmp_path, holes):
    """Run `arm` on the main throttle's lever and compare with `check`; return how it ended."""
    layout = load(path).layout
    hole = layout.path_to(layout.main.shaft)[-1].driven
    now = layout.shafts[hole.shaft].arms[hole.arm].length
    lengths = [round(now * h * 1e3, 1) for h in holes]
    words = ["--lengths", ", ".join(map(str, lengths)) + " mm"] if holes else []
    out = tmp_path / "out.toml"
    ran = run("arm", path, str(hole), *words, "-o", out, "--json", "--force")
    data = json.loads(ran.out)
    if out.exists():
        assert ran.code == (not _fits(load(out).layout))  # of `check`: test_check
        stop = load(out).layout.pedal.stop
        told = data["pedal_stop_mm"]
        assert (stop is None) == (told is None)
        if stop is not None:
            assert told == pytest.approx(stop * 1e3, abs=1e-3)
    else:
        assert ran.code == 1
        assert "not written: nothing fits" in ran.err
        tried = size_arms(layout, {str(hole): [x * 1e-3 for x in lengths] or [now]})
        assert not any(_fits(row.written) for row in tried.rows)
    if ran.code == 1:
        assert data["chosen"] is None
        assert data["leaves"] or data["nearest"] is None
        assert not any(data["columns"]["fits"])
    return ran.code


def _fits(layout):
    try:
        return check(layout, cures=False).verdict != "do not fit"
    except LinkageError:
        return False


@pytest.mark.parametrize(
    ("name", "holes"),
    [*((n, HOLES) for n in SHIPPED), *thinned([(n, ()) for n in SHIPPED], 3)],
    ids=lambda x: x if isinstance(x, str) else "list" if x else "range",
)
def test_shipped_layouts(run, tmp_path, name, holes):
    _as_check(run, CONFIGS / f"{name}.toml", tmp_path, holes)


def test_bad_layouts_and_some_of_either_outcome(run, tmp_path):
    codes = []
    for seed in SEEDS:
        path = tmp_path / f"{seed}.toml"
        path.write_text(bad_text(seed))
        codes.append(_as_check(run, path, tmp_path, HOLES))
        (tmp_path / "out.toml").unlink(missing_ok=True)
    assert {0, 1} == set(codes)


def test_a_fault_that_no_arm_mends_gives_status_one(run, configs, tmp_path):
    """It said that it fits, as it looked at geometry alone."""
    out = tmp_path / "out.toml"
    fault = configs / "fault-one-spring-only.toml"
    ran = run("arm", fault, "spindle.lever", "-o", out)
    assert ran.code == run("check", out).code == 1
    said = " ".join(ran.out.split())
    assert "It leaves (so before): only spring `near` shuts the plate" in said
    assert "[energy-sources]" in said
    assert "The arm does its part; what was so before must be mended too" in said
    assert "does not fit: only spring `near` shuts the plate" in ran.err
    sound = configs / "hanging-pedal.toml"
    ran = run("arm", sound, "spindle.lever", "-o", out, "--force")
    assert ran.code == run("check", out).code == 0
    assert "It leaves" not in ran.out


def test_the_stop_is_told_and_never_dropped(run, configs, tmp_path):
    car, out = configs / "hanging-pedal.toml", tmp_path / "out.toml"
    ran = run("arm", car, "spindle.lever", "--lengths", "33 mm", "-o", out)
    assert "set the pedal stop to 71.5 mm of pad travel (now 69.5 mm)" in " ".join(
        ran.out.split()
    )
    assert load(out).layout.pedal.stop == pytest.approx(0.0715)
    ran = run("arm", car, "spindle.lever", "--lengths", "35.5 mm", "-o", out, "--force")
    assert ran.code == 0
    assert "pedal stop at 76.0 mm of pad travel, the floor" in " ".join(ran.out.split())
    assert load(out).layout.pedal.stop == pytest.approx(0.076)


def test_a_stop_is_written_where_there_was_none(run, configs, tmp_path):
    out = tmp_path / "out.toml"
    car = configs / "fault-no-pedal-stop.toml"
    ran = run("arm", car, "spindle.lever", "-o", out, "--json")
    stop = load(out).layout.pedal.stop
    assert stop * 1e3 == pytest.approx(json.loads(ran.out)["pedal_stop_mm"])
    assert load(car).layout.pedal.stop is None


def test_a_hole_that_reaches_the_full_stop_is_preferred(run, configs):
    """35.5 mm opens to 99.2 % and fits; 34.5 mm gets there."""
    ran = run(
        "arm", configs / "hanging-pedal.toml", "spindle.lever",
        "--lengths", "34.5, 35.5 mm", "--json",
    )  # fmt: skip
    data = json.loads(ran.out)
    assert data["columns"]["fits"] == [True, True]
    assert data["columns"]["full_at_pad_travel_share_pct"][1] is None
    assert data["chosen"] == 0


def test_a_fixed_arm_is_refused(run, configs, tmp_path):
    text = (configs / "hanging-pedal.toml").read_text()
    line = "arms.lever        = { length = 32, angle = 52, offset = 10 }"
    car = tmp_path / "car.toml"
    car.write_text(text.replace(line, line.replace(" }", ", fixed = true }")))
    ran = run("arm", car, "spindle.lever")
    assert ran.code == 2
    assert "arm `spindle.lever` is fixed" in ran.err
    assert "free arms: pedal.rod" in ran.err
    assert run("arm", car, "pedal.rod", "--lengths", "110, 115 mm").code == 0
    car.write_text(text.replace(line, line.replace(" }", ', clocking = "fixed" }')))
    assert run("arm", car, "spindle.lever", "--lengths", "32 mm").code == 0
    ran = run("arm", car, "spindle.lever", "--angles", "48 to 52 deg")
    assert ran.code == 2
    assert "clocking is fixed" in ran.err
