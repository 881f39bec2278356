"""A hand lever on the command line: slips of it, and what tables say of it."""

from __future__ import annotations

import json

import pytest

from tests.cli.conftest import CONFIGS

BOTH = CONFIGS / "hand-and-foot.toml"


def test_a_hand_lever_seen_from_the_other_side_is_taken_for_a_slip(run, tmp_path):
    text = BOTH.read_text(encoding="utf-8")
    wrong = tmp_path / "wrong.toml"
    wrong.write_text(
        text.replace("holds  = 25", 'pulls = "clockwise"'), encoding="utf-8"
    )
    ran = run("check", wrong)
    assert ran.code == 1
    words = " ".join(ran.out.split())
    assert (
        "if `pulls` was seen from the left, pulling turns `hand` anticlockwise" in words
    )
    slips = json.loads(run("check", wrong, "--json").out)["slips"]
    assert "hand.pulls" in {".".join(s["key"]) if isinstance(s["key"], list) else s["key"] for s in slips}  # fmt: skip


@pytest.mark.parametrize("words", [("springs",), ("arm", "pedal.rod")])
def test_tables_of_springs_and_arms_say_that_they_are_of_the_pedal(run, words):
    command, *more = words
    said = " ".join(run(command, BOTH, *more).out.split())
    assert "The numbers are with the pedal, the hand lever pushed home" in said
    truck = run(command, CONFIGS / "hanging-pedal.toml", *more).out
    assert "hand lever" not in truck
