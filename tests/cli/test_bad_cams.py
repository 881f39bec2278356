"""Cams that cannot be, on the command line: status, place, a hint, no traceback."""

from __future__ import annotations

import pytest

from tests.cli.conftest import CONFIGS

GOOD = (CONFIGS / "cam-roller.toml").read_text(encoding="utf-8")
PROFILE = (
    "[[0, 42.1], [15, 44.4], [30, 48.2], [45, 55.1], [60, 66.6], [70, 77.6], [78, 88]]"
)
POINTS = f"profile      = {PROFILE}"

#: What is changed, the exit status, the code, and words of the error with its key.
FAULTS = {
    "no points": (POINTS, "", 3, "L100", "or neither", "cams.main.profile"),
    "points and arcs": (POINTS, POINTS + "\narcs = [[42.1, 90]]", 3, "L100", "or neither", "cams.main.arcs"),
    "too few points": (PROFILE, "[[0, 42.1], [15, 44.4]]", 3, "L100", "three steps or more", "cams.main.profile"),
    "points that fall back": (PROFILE, "[[0, 42.1], [15, 44.4], [10, 48]]", 3, "L100", "three steps or more", "cams.main.profile"),
    "hollow": ("[45, 55.1]", "[45, 50.1]", 3, "L100", "flat or hollow between 30 and 45 degrees", "cams.main.profile"),
    "hollow for a small roller too": (("[45, 55.1]", "roller       = 16"), ("[45, 50.1]", "roller       = 1"), 3, "L100", "flat or hollow", "cams.main.profile"),
    "beside its arm": ("[[0, 42.1]", "[[0, 41]", 3, "L100", "begins at 41.0 mm", "cams.main.profile"),
    "radius of nothing": ("[15, 44.4]", "[15, 0]", 3, "L100", "radius of the profile is none", "cams.main.profile"),
    "arc of nothing": (POINTS, "arcs = [[42.1, 20], [0, 40]]", 3, "L100", "none that a roller could run on", "cams.main.arcs"),
    "more than a turn": (POINTS, "arcs = [[42.1, 300], [50, 90]]", 3, "L100", "more than a whole turn", "cams.main.arcs"),
    "point of three": ("[15, 44.4]", "[15, 44.4, 1]", 3, "L100", "a point of a profile has two", "cams.main.profile.1"),
    "point of one": ("[15, 44.4]", "[15]", 3, "L100", "a point of a profile has two", "cams.main.profile.1"),
    "no list of points": (PROFILE, "42.1", 3, "L100", "a point of a profile has two", "cams.main.profile"),
    "arc of one": (POINTS, "arcs = [[42.1]]", 3, "L100", "an arc has two", "cams.main.arcs.0"),
    "roller of no size": ("roller       = 16", "roller = 0", 3, "L100", "more than zero", "cams.main.roller"),
    "unknown key": (POINTS, POINTS + "\nlift = 3", 3, "L100", "unknown key `lift`", "cams.main.lift"),
    "no unit": ("roller       = 16", 'roller = "16 deg"', 3, "L110", "deg", "cams.main.roller"),
    "name of a rod": ("[cams.main]", "[cams.first]", 3, "L100", "a rod and a cam are both named `first`", "cams.first"),
    "no such arm": ('"cross.cam"', '"cross.kam"', 3, "L100", "has no arm `kam`", "cams.main.from"),
    "askew": ('120, "60 ± 0.2 mm"]\naxis    = "across"', '120, "60 ± 0.2 mm"]\naxis    = [0.1, -1, 0]', 4, "L200", "not parallel", "shafts.spindle.axis"),
    "one on the engine": ('carries = ["cross", "spindle"]', 'carries = ["spindle"]', 4, "L200", "one alone moves with the engine", "engine.carries"),
    "beside each other": ("arms.roller       = { length = 28, angle = 119.5 }", "arms.roller = { length = 28, angle = 119.5, offset = 12 }", 4, "L200", "beside cam `main`", "cams.main.to"),
    "before it begins": ("length = 42.1, angle = 16", "length = 42.1, angle = 76", 4, "L200", "does not face cam `main`", "cams.main.round"),
    "deep in it": ("length = 42.1, angle = 16", "length = 42.1, angle = -40", 4, "L200", "does not face cam `main`", "cams.main.round"),
}  # fmt: skip


def _changed(old, new):
    text = GOOD
    pairs = [(old, new)] if isinstance(old, str) else zip(old, new, strict=True)
    for one, other in pairs:
        assert one in text
        text = text.replace(one, other, 1)
    return text


@pytest.mark.parametrize("case", FAULTS)
def test_what_no_cam_can_be_ends_with_its_place_and_what_to_do(run, tmp_path, case):
    old, new, status, code, words, key = FAULTS[case]
    path = tmp_path / "car.toml"
    path.write_text(_changed(old, new), encoding="utf-8")
    ran = run("check", path)
    assert ran.code == status
    assert ran.out == ""
    assert ran.err.startswith(f"error[{code}]: ")
    assert words in ran.err
    assert f"{path}" in ran.err
    assert key in ran.err
    assert "hint: " in ran.err


def test_a_roller_that_would_drive_its_cam_is_refused(run, tmp_path):
    """Cam and roller change places: the roller is then nearer the pedal."""
    text = GOOD.replace('"cross.cam"', '"@"').replace('"spindle.roller"', '"cross.cam"')
    text = text.replace('"@"', '"spindle.roller"').replace(POINTS, "arcs = [[28, 90]]")
    path = tmp_path / "car.toml"
    path.write_text(text, encoding="utf-8")
    ran = run("check", path)
    assert ran.code == 3
    assert "the roller of cam `main` would drive the cam" in ran.err
    assert "cams.main.from" in ran.err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("arm", "cross.cam"), "carries a cam's profile"),
    ],
)
def test_commands_that_know_no_cams_say_so(run, words, told):
    name, *more = words
    ran = run(name, CONFIGS / "cam-roller.toml", *more)
    assert ran.code == 2
    assert told in ran.err
    assert "Traceback" not in ran.err
