"""Cables and drums that cannot be, on the command line: status, place, a hint, no traceback."""

from __future__ import annotations

import pytest

from tests.cli.conftest import CONFIGS

GOOD = (CONFIGS / "cable-drum.toml").read_text(encoding="utf-8")
DRUM = 'length = 29, angle = 205, wound = "clockwise"'
SLACK = "slack           = 1.5"
SHEATH_TO = "[-780, 120, 169]"

#: What is changed, the exit status, the code, and words of the error with its key.
FAULTS = {
    "sheath shorter than its points": (SLACK, "sheath_length = 700", 3, "L100", "700.0 mm long", "cables.main.sheath_length"),
    "wire shorter than its sheath": (SLACK, "sheath_length = 800\nwire_length = 790", 3, "L100", "leaves free", "cables.main.wire_length"),
    "wire and slack": (SLACK, SLACK + "\nsheath_length = 800\nwire_length = 990", 3, "L100", "slack at rest", "cables.main.slack"),
    "bend and points": (SLACK, "bend = 90", 3, "L100", "keep one of the two", "cables.main.bend"),
    "drum of no radius": (DRUM, DRUM.replace("29", "0"), 3, "L100", "more than zero", "shafts.spindle.arms.drum.length"),
    "rim that falls back": (DRUM, DRUM + ", rim = [[0, 29], [60, 31], [40, 33]]", 3, "L100", "from 0 on", "shafts.spindle.arms.drum.rim"),
    "rim beside its nipple": (DRUM, DRUM + ", rim = [[0, 28], [60, 31]]", 3, "L100", "begins at 28 mm", "shafts.spindle.arms.drum.rim"),
    "rod on a drum": ("[cables.main]", '[rods.r]\nfrom = "pedal.cable"\nto = "spindle.drum"\n[cables.main]', 3, "L100", "ends on drum", "rods.r.to"),
    "rod and cable of one name": ("[cables.main]", '[rods.main]\nfrom = "pedal.cable"\nto = "spindle.spring"\n[cables.main]', 3, "L100", "both named `main`", "cables.main"),
    "push-pull on a drum": (SLACK, 'works = "pull and push"', 3, "L100", "lies on drum", "cables.main.works"),
    "sheath of no friction": ("sheath_friction = 0.12", "sheath_friction = 0.01", 3, "L100", "less than any sheath has", "cables.main.sheath_friction"),
    "nipples of no friction": (SLACK, SLACK + "\nnipple_friction = 0", 3, "L100", "less than any bearing has", "cables.main.nipple_friction"),
    "unknown word": (SLACK, SLACK + "\nsheeth = 1", 3, "L100", "unknown key `sheeth`", "cables.main.sheeth"),
    "nan": (SLACK, "slack = nan", 3, "L110", "no number that can be measured", "cables.main.slack"),
    "sheath within the drum": (SHEATH_TO, "[-905, 120, 150]", 4, "L200", "ends within drum `spindle.drum`", "cables.main.sheath_to"),
    "sheath within the snail": ((DRUM, SHEATH_TO), (DRUM + ", rim = [[0, 29], [150, 60]]", "[-860, 120, 140]"), 4, "L200", "ends within drum `spindle.drum`", "cables.main.sheath_to"),
    "sheath at its nipple": ("[-60, 0, 112]", "[22.25, 0, 104.66]", 4, "L200", "ends at its nipple in `pedal.cable`", "cables.main.sheath_from"),
    "wire that does not reach": (SLACK, "sheath_length = 800\nwire_length = 850", 4, "L210", "127.8 mm too short", "cables.main.wire_length"),
}  # fmt: skip


def _changed(old, new):
    text = GOOD
    pairs = [(old, new)] if isinstance(old, str) else zip(old, new, strict=True)
    for one, other in pairs:
        assert one in text
        text = text.replace(one, other, 1)
    return text


@pytest.mark.parametrize("command", ["check", "curve"])
@pytest.mark.parametrize("case", FAULTS)
def test_what_no_cable_can_be_ends_with_its_place_and_what_to_do(
    run, tmp_path, case, command
):
    old, new, status, code, words, key = FAULTS[case]
    path = tmp_path / "car.toml"
    path.write_text(_changed(old, new), encoding="utf-8")
    ran = run(command, path)
    assert ran.code == status
    assert ran.out == ""
    assert ran.err.startswith(f"error[{code}]: ")
    assert words in ran.err
    assert f"{path}:" in ran.err
    assert key in ran.err
    assert "\nhint: " in ran.err
    assert "Traceback" not in ran.err
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("change", [("", ""), (SLACK, "sheath_length = 800\nwire_length = 1062.4"), (DRUM, DRUM + ", rim = [[0, 29], [60, 31], [90, 33]]")], ids=["as it is", "by lengths", "a snail"])  # fmt: skip
def test_their_sound_twins_are_checked(run, tmp_path, change):
    path = tmp_path / "car.toml"
    path.write_text(_changed(*change), encoding="utf-8")
    ran = run("check", path)
    assert ran.code in {0, 1}
    assert ran.err == ""
    assert "opens? yes" in ran.out
