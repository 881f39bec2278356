"""A value just at its limit fits, whatever the rule; the next number beyond does not."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from linkage import config
from linkage.model.limit_rows import LIMIT_ROWS
from linkage.rules import examine
from linkage.rules.angles import ALLOWED, TILT_SHARE
from linkage.rules.rule import BAD, FITS, LOOK
from tests.conftest import HAULER
from tests.sprung import line_spring
from tests.unit.ruled import rule
from tests.unit.test_rules_forces import layout, pair

CONFIGS = Path(__file__).parents[2] / "configs"
FILES = (
    "bulkhead-cross-shaft",
    "crank-right-hand",
    "crank-wrong-hand",
    "twin-side-draught",
)


@cache
def examined():
    bare = line_spring("main", "spindle.spring", (194, -100, 130))
    found = [config.loads(HAULER).layout, layout(*pair()), layout(bare)]
    found += [config.load(CONFIGS / f"{name}.toml").layout for name in FILES]
    return [examine(one) for one in found]


@cache
def shown_by(code):
    """Return layouts of which a rule has something to say."""
    if code not in SHOWN_BY:
        return examined()
    files = (CONFIGS / f"{name}.toml" for name in SHOWN_BY[code])
    return [examine(config.load(file).layout) for file in files]


def judged(x, code, part, limits):
    """Return what a rule finds with other limits, bounds set aside."""
    mine = replace(x.layout.limits)
    for name, value in limits.items():
        object.__setattr__(mine, name, value)
    old, x.layout = x.layout, replace(x.layout, limits=mine)
    try:
        found = [o for o in rule(code).judge(x) if bool(np.all(o.applies))]
    finally:
        x.layout = old
    found = [o for o in found if o.value is not None and np.isfinite(o.value)]
    return [o for o in found if (o.part[-1:] == ("floor",)) == (part == "floor")]


CASES = [
    ("arm-rod-angle", "arm_rod_look", "", {}, LOOK),
    ("arm-rod-angle", "arm_rod_refuse", "", {"arm_rod_look": 9.0}, BAD),
    ("cable-slack", "cable_slack_least", "", {"cable_slack_most": 9.0}, LOOK),
    ("cable-slack", "cable_slack_most", "", {"cable_slack_least": 0.0}, LOOK),
    ("closing-torque", "closing_ratio", "", {}, BAD),
    ("closing-torque", "closing_look", "floor", {}, LOOK),
    ("closing-torque", "closing_least", "floor", {"closing_look": 99.0}, BAD),
    ("closing-torque-one-off", "closing_ratio_one_off", "", {}, BAD),
    ("closing-torque-one-off", "closing_least_one_off", "floor", {}, BAD),
    ("dead-centre", "dead_centre", "", {}, BAD),
    ("drum-covered", "drum_wrap", "", {}, LOOK),
    ("drum-unwound", "drum_wrap", "", {}, LOOK),
    ("engine-rock", "engine_rock_look", "", {"engine_rock_refuse": 9.0}, LOOK),
    ("engine-rock", "engine_rock_refuse", "", {"engine_rock_look": -9.0}, BAD),
    ("full-throttle", "full_throttle", "", {}, BAD),
    ("over-travel-load", "over_travel_ratio", "", {}, LOOK),
    ("left-over-travel", "left_over_travel", "", {}, LOOK),
    ("lost-travel", "lost_travel", "", {}, LOOK),
    ("nipple-room", "nipple_clear", "", {}, BAD),
    ("pad-force", "pad_force_look", "", {}, LOOK),
    ("pad-force", "pad_force_refuse", "", {"pad_force_look": 0.0}, BAD),
    ("pad-force-light", "pad_force_light", "", {}, LOOK),
    ("sheath-bend", "sheath_radius_look", "", {"sheath_radius_refuse": 0.0}, LOOK),
    ("sheath-bend", "sheath_radius_refuse", "", {"sheath_radius_look": 0.0}, BAD),
    ("sheath-loss", "sheath_loss_look", "", {"sheath_loss_refuse": 9.0}, LOOK),
    ("sheath-loss", "sheath_loss_refuse", "", {"sheath_loss_look": 1.0}, BAD),
    ("spring-line", "spring_line", "", {}, LOOK),
    ("spring-stretch", "spring_stretch", "", {}, BAD),
    ("throttle-spread", "throttle_spread", "", {}, LOOK),
    ("time-to-idle", "return_light", "", {}, BAD),
    ("time-to-idle", "return_cold", "", {}, BAD),
    ("tip-in", "tip_in", "", {}, LOOK),
    ("wire-strength", "wire_factor", "", {}, LOOK),
]
#: Codes of rules that the layouts of `examined` show nothing of, and files that do.
SHOWN_BY = {
    "over-travel-load": ("diesel-pump-lever",),
    **dict.fromkeys(
        (
            *("cable-slack", "nipple-room", "sheath-bend", "sheath-loss"),
            *("drum-unwound", "drum-covered", "wire-strength"),
        ),
        ("cable-drum",),
    ),
}


@pytest.mark.parametrize(("code", "field", "part", "others", "rank"), CASES)
def test_a_value_at_its_limit_fits_and_the_next_does_not(
    code, field, part, others, rank
):
    looser, seen = LIMIT_ROWS[field].looser, 0
    for x in shown_by(code):
        values = [float(np.ravel(o.value)[0]) for o in judged(x, code, part, {})]
        values = [v for v in values if v >= 0]
        if not values:
            continue
        edge = max(values) if looser > 0 else min(values)
        beyond = np.nextafter(edge, -looser * np.inf)
        for limit, wrong in ((edge, False), (float(beyond), True)):
            found = judged(x, code, part, {field: limit, **others})
            # Of several limits one at a time is in force, as for the time to idle.
            here = [
                o for o in found if o.value == edge and (others or o.limit == limit)
            ]
            assert all((o.rank >= rank) == wrong for o in here)
            seen += len(here)
    assert seen


def test_a_joint_fits_up_to_its_share_and_asks_for_a_look_up_to_what_it_allows(
    monkeypatch,
):
    leans = rule("joint-tilt").judge
    x, o = next((x, o) for x in examined() for o in leans(x) if o.value > 0.01)
    kind, value = o.facts["joint"], float(o.value)
    for limit, rank in (
        (value / TILT_SHARE * (1 + 1e-9), FITS),
        (value / TILT_SHARE * (1 - 1e-9), LOOK),
        (value, LOOK),
        (np.nextafter(value, 0), BAD),
    ):
        monkeypatch.setitem(ALLOWED, kind, limit)
        found = (f for f in leans(x) if f.value == value)
        assert {f.rank for f in found} == {rank}
