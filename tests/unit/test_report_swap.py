"""A swap in words and as plain data, also where little can be said."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from linkage.config import load
from linkage.model import Arm
from linkage.model.refs import Ref
from linkage.motion import frame, sweep
from linkage.report.cautions import CAUTIONS
from linkage.report.reverses import fact_data
from linkage.report.swap import cure_comment, swap_data, swap_lines, swapped_comment
from linkage.search import check
from linkage.search.family import Step
from linkage.swap import Changes, SideCure, Solution, reversal, swap_sides
from linkage.swap.cures import nothing, rank

NEW_ARM = Arm(name="far", length=0.03, angle=math.radians(40))

CONFIGS = Path(__file__).parents[2] / "configs"


def car(name: str):
    return load(CONFIGS / f"{name}.toml").layout


def flat(lines) -> str:
    return " ".join(" ".join(lines).split())


@cache
def in_line() -> Solution:
    """The new lever points straight at the cross shaft's arm: no way to assemble it."""
    before = car("up-pull-side-draught")
    pin = before.shafts["cross shaft"].pin("outer")
    pivot = before.shafts["spindle"].pivot
    straight = math.atan2(pin[2] - pivot[2], pin[0] - pivot[0])
    swap = swap_sides(before, carburettor="replaced", opens=-1, lever_angle=straight)
    failed = SideCure(name="push-rod", title="push rod", reason=nothing(0.0))
    return Solution(swap=swap, reversal=reversal(swap), outcome=None, cures=(failed,))


@cache
def shipped() -> Solution:
    """The shipped scenario, its cure told by hand."""
    before = car("scenario-before")
    swap = swap_sides(before, carburettor="turned")
    good = SideCure(
        name="lever-hanging",
        title="lever hanging",
        layout=car("scenario-cured"),
        outcome=check(car("scenario-cured"), cures=False),
        changes=Changes(
            parts=(Step(kind="arm", about=Ref("arm", "spindle", "far"), new=NEW_ARM),),
            work=(Step(kind="rod cut", about=Ref("rod", "carb"), new=0.2),),
        ),
    )
    outcome = check(swap.after, cures=False)
    return Solution(swap=swap, reversal=reversal(swap), outcome=outcome, cures=(good,))


def test_what_cannot_be_put_together_is_told_with_cautions_all_the_same():
    solution = in_line()
    text = flat(swap_lines(solution))
    assert "As swapped: CANNOT BE PUT TOGETHER" in text
    assert "in line" in text
    assert "What cannot be told:" in text
    assert f"1. push rod: DO NOT FIT fails: {nothing(0.0)}" in text
    assert text.count("No cure fits.") == 1
    assert all(" ".join(caution.split()) in text for caution in CAUTIONS)


def test_unknown_facts_stand_apart_from_those_that_stay():
    lines = swap_lines(in_line())
    rows = fact_data(in_line().swap, in_line().reversal)
    unknown = [row["text"] for row in rows if row["after"] == "unknown"]
    tail = flat(lines[lines.index("What cannot be told:") :])
    head = flat(lines[: lines.index("What cannot be told:")])
    assert unknown
    for fact in unknown:
        assert fact in tail
        assert fact not in head


def test_plain_data_of_what_cannot_be_put_together():
    data = swap_data(in_line())
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    assert data["as_swapped"] is None
    assert data["right_way"] is None
    assert "in line" in data["fault"]
    assert not data["fits"]
    assert data["cures"][0]["check"] is None
    assert data["cures"][0]["new_parts"] == []
    assert data["cures"][0]["file"] is None


def test_a_cure_is_told_with_what_it_takes_and_what_it_reaches():
    solution = shipped()
    text = flat(swap_lines(solution))
    assert "make: arm `spindle.far`, 30.0 mm at 40°" in text
    assert "do: cut rod `carb` to 200.0 mm" in text
    x = solution.cures[0].outcome.examined
    motion = sweep(x.assembly, np.linspace(x.working.start, x.working.end, 400))
    least = min(
        float(np.degrees(np.minimum(a, np.pi - a)).min())
        for link in x.layout.links
        for line in [frame(motion).rod(link.rod.name)]
        for a in (line.driver_angle, line.driven_angle)
    )
    said = float(text.partition("least arm-rod angle ")[2].partition("°")[0])
    assert said == pytest.approx(least, abs=0.06)
    assert "No cure fits." not in text


def test_springs_of_the_wrong_hand_and_rods_to_cut_are_named():
    solution = shipped()
    swap = replace(solution.swap, recut=("carb",))
    text = flat(swap_lines(replace(solution, swap=swap)))
    assert "Rods to be cut again: carb" in text
    for name in solution.reversal.wrong_hand:
        assert f"`{name}`" in text.partition("Springs of the wrong hand")[2]


def test_comments_of_the_files_say_the_verdict():
    assert "CANNOT BE PUT TOGETHER" in swapped_comment(in_line())
    assert "Checked: DO NOT FIT" in swapped_comment(shipped())
    failed = cure_comment(in_line(), in_line().cures[0])
    assert "not cured by: push rod" in failed.splitlines()[0]
    assert "Checked: DO NOT FIT" in failed
    good = cure_comment(shipped(), shipped().cures[0])
    assert "side-swapped, cured by: lever hanging" in good.splitlines()[0]
    assert "make: arm `spindle.far`, 30.0 mm at 40°" in good
    assert "do:   cut rod `carb` to 200.0 mm" in good
    for text in (failed, good):
        assert all(len(line) <= 80 for line in text.splitlines()[1:])


@pytest.mark.parametrize(
    ("reached", "words"),
    [
        (0.0, "turn the lever the opening way"),
        (0.6, "open it further than 60%"),
        (0.95, "can be put together"),
    ],
)
def test_why_no_candidate_could_be_judged(reached, words):
    assert words in nothing(reached)


def test_a_cure_without_a_layout_comes_last():
    (failed,) = in_line().cures
    (good,) = shipped().cures
    assert sorted([failed, good], key=rank) == [good, failed]
    assert (failed.fits, good.fits) == (False, True)
    assert failed.looks == 0
    looks = [f for f in good.outcome.findings if f.verdict == "look"]
    assert good.looks == len(looks)
