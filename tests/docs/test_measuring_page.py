"""The figures of docs/measuring.md, computed again."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import load, loads
from linkage.model import LIMIT_ROWS, Hole
from linkage.motion import assemble, sweep
from linkage.rules.examine import examine
from linkage.rules.play import play_loss
from linkage.search import check
from linkage.search.changes import rods_at
from tests.cli.conftest import CONFIGS
from tests.docs.markdown import blocks, read

PAGE = read("docs/measuring.md")
LAYOUT = load(CONFIGS / "bulkhead-cross-shaft.toml").layout
PAD = 0.070


def _end(layout) -> float:
    return math.degrees(
        sweep(assemble(layout), np.array([0.0, PAD])).opening("throttle")[1]
    )


def _arm(hole: str, **more: float) -> float:
    shaft, _, name = hole.partition(".")
    at = Hole(shaft=shaft, arm=name)
    old = LAYOUT.shafts[shaft].arms[name]
    changed = LAYOUT.with_arm(at, **{k: getattr(old, k) + v for k, v in more.items()})
    for rod in rods_at(changed, at):
        changed = changed.with_rod(rod, None)
    return abs(_end(changed) - _end(LAYOUT))


def _said(row: str) -> list[float]:
    (line,) = [x for x in PAGE.splitlines() if x.startswith(f"| {row} |")]
    return [float(x) for x in re.findall(r"[0-9.]+(?=°)", line.split("|")[3])]


HOLES = ["pedal.rod", "cross shaft.inner", "cross shaft.outer", "bell crank.in", "bell crank.out", "spindle.lever"]  # fmt: skip


@pytest.mark.parametrize(
    ("row", "holes"),
    [
        ("radius of the carburettor lever's hole", ["spindle.lever"]),
        ("radius of a hole of the bell crank", ["bell crank.in", "bell crank.out"]),
        (
            "radius of a hole of the cross shaft",
            ["cross shaft.outer", "cross shaft.inner"],
        ),
        ("radius of the pedal's rod hole", ["pedal.rod"]),
        ("pad radius", ["pedal.pad"]),
    ],
)
def test_radii_decide(row, holes):
    by = 5e-3 if row == "pad radius" else 1e-3
    ours = sorted(_arm(hole, length=by) for hole in holes)
    said = _said(row)
    assert said == pytest.approx([ours[0], ours[-1]][: len(said)], abs=0.051)


def test_angles_pivots_and_places_hardly_do():
    turned = [_arm(h, angle=math.radians(d)) for h in HOLES for d in (1, -1)]
    assert max(turned) < _said("angle of an arm at rest")[0]
    assert (
        max(_arm(h, offset=5e-3) for h in HOLES)
        < _said("place of an arm along its shaft")[0]
    )
    moved = []
    for shaft in LAYOUT.shafts.values():
        for i in range(3):
            place = list(shaft.pivot)
            place[i] += 5e-3
            there = replace(shaft, pivot=tuple(place))
            moved.append(
                abs(
                    _end(replace(LAYOUT, shafts={**LAYOUT.shafts, shaft.name: there}))
                    - _end(LAYOUT)
                )
            )
    assert max(moved) < _said("any pivot, in any direction")[0]


def test_last_rod_set_too_long():
    length = assemble(LAYOUT).loop("carb").length + 1e-3
    ours = abs(_end(LAYOUT.with_rod("carb", length)) - _end(LAYOUT))
    assert _said("last rod, set too long") == [pytest.approx(ours, abs=0.051)]


def test_chord_and_sagitta():
    """Plane geometry of a circle: three marks of a pad on a known radius."""
    radius, half = 0.180, math.asin(60 / 180)
    chord, sagitta = 2 * radius * math.sin(half), radius * (1 - math.cos(half))
    assert "radius = chord² / (8 × sagitta) + sagitta / 2" in PAGE
    assert chord**2 / (8 * sagitta) + sagitta / 2 == pytest.approx(radius, rel=1e-12)
    assert (
        "A chord of 120 mm with a sagitta of 10.3 mm gives a radius of 180 mm" in PAGE
    )
    assert (round(chord * 1e3), round(sagitta * 1e3, 1)) == (120, 10.3)
    worse = 120**2 / (8 * 9.3) + 9.3 / 2 - (120**2 / (8 * 11.3) + 11.3 / 2)
    assert "1 mm of sagitta\n  is 17 mm of radius here" in PAGE
    assert worse / 2 == pytest.approx(16.7, abs=0.1)


def test_pointer():
    assert "2.6 mm at its tip is 1°" in PAGE
    assert 150 * math.radians(1) == pytest.approx(2.6, abs=0.05)


def test_drag_of_a_spring_balance():
    assert "2.1 N opens it and 1.5 N the other way shuts it, at 32 mm" in PAGE
    half = (2.1 - -1.5) / 2
    assert "1.8 N" in PAGE
    assert half == pytest.approx(1.8)
    assert f'drag = "{half * 0.032:.3f} N·m"' in PAGE


def test_closing_torque_proven_on_the_car():
    assert "14 N opening and 9 N letting go, at 32 mm" in PAGE
    mean, rub = (14 + 9) / 2, (14 - 9) / 2
    text = " ".join(PAGE.split())
    assert (
        f"a closing torque of {mean * 0.032:.2f} N·m against {rub * 0.032:.2f} N·m of "
        f"friction, {mean / rub:.1f} times as much"
    ) in text
    asked = {key: LIMIT_ROWS[key].say(LIMIT_ROWS[key].default) for key in LIMIT_ROWS}
    assert (
        f"the {asked['closing_least']} and the {asked['closing_ratio']} times that are "
        "asked for"
    ) in text
    assert mean * 0.032 > LIMIT_ROWS["closing_least"].default
    assert (
        f"at least {asked['closing_least_one_off']}, and "
        f"{asked['closing_ratio_one_off']} times the friction doubled"
    ) in text
    assert LIMIT_ROWS["dirt_factor"].default == 2


def _truck(*, fork: bool):
    """Return the truck with two plates as the page writes them, and its text."""
    text = (CONFIGS / "hanging-pedal.toml").read_text(encoding="utf-8")
    plates, second = (b.text for b in blocks(PAGE) if b.language == "toml")
    start, end = text.index("[throttle]"), text.index("# 6.")
    if not fork:
        return loads(text[:start] + plates + text[end:]).layout
    (arm,) = re.findall(r"# (arms\.fork = \{.*\})", second)
    front = plates.replace('"spindle"', '"second spindle"', 2).replace(
        '"second spindle"', '"spindle"', 1
    )
    text = text[:start] + front + text[end:]
    text = text.replace("arms.spring ", f"{arm}\narms.spring ", 1)
    return loads(text.replace("# 3. The rod", f"{second}\n# 3. The rod", 1)).layout


def test_two_plates_on_one_spindle_are_each_judged():
    told = {
        f.about.name
        for f in check(_truck(fork=False), cures=False).findings
        if f.code == "full-throttle"
    }
    assert told == {"primary", "secondary"}


def test_a_fork_as_a_short_rod_turns_both_alike_and_has_its_play():
    layout = _truck(fork=True)
    assembly = assemble(layout)
    motion = sweep(assembly, np.linspace(0.0, 0.06, 7))
    one, two = (motion.opening(name) for name in ("primary", "secondary"))
    assert one[-1] > math.radians(60)
    assert two == pytest.approx(one, abs=1e-12)
    x = examine(layout)
    lost = play_loss(x, layout.throttles["secondary"])
    assert "times 0.94" in " ".join(PAGE.split())
    assert math.sin(math.radians(70)) == pytest.approx(0.94, abs=0.005)
    # 0.3 mm at a pin 30 mm from the line.
    assert lost == pytest.approx(0.3 / 30, rel=0.02)
    assert play_loss(x, layout.throttles["primary"]) == 0
