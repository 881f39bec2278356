"""With the engine moved everything must hold too: refused beside its sound twin.

All layouts are invented; what is asked is common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.model.rows import row, stack
from linkage.motion import assemble, sweep, working_travel
from linkage.motion.rock import rocked
from linkage.rules import examine, judge
from linkage.rules.order import RULES
from linkage.rules.rule import BAD
from linkage.rules.states import movement, movements, states
from tests.unit.edits import TRUCK, edited
from tests.unit.ruled import rule

ENGINE = 'roll    = "2 deg"'
CODES = ("engine-senses", "engine-springs", "engine-closing")


def engine(text: str) -> tuple[str, str]:
    return ENGINE, text


def found(layout, codes=CODES):
    return [f for f in judge(examine(layout)).findings() if f.code in codes]


def verdicts(layout):
    return {f.code: f.verdict for f in found(layout)}


def sprung(carrier, *, free=0.082, over=0.105, engine_='lift = "14 mm"'):
    """Return the truck with both springs pulling level spring arms straight up.

    So the lift of the engine goes whole into springs that are anchored on the body.
    """
    layout = edited(TRUCK, engine(engine_))
    spindle = layout.shafts["spindle"]
    arms = {
        n: replace(a, angle=math.radians(180)) if "spring" in n else a
        for n, a in spindle.arms.items()
    }
    layout = layout.with_shaft(replace(spindle, arms=arms))
    for name, y in (("near", -0.018), ("far", -0.066)):
        spring = layout.springs[name]
        known = replace(spring.known, free_length=free, greatest_length=0.15)
        anchor = (0.402, y, 0.082 + over)
        spring = replace(spring, anchor=anchor, anchored_on=carrier, known=known)
        layout = layout.with_spring(spring)
    return layout


@pytest.mark.parametrize(
    ("free", "over", "words"),
    [
        (0.095, 0.105, "risen 14.0 mm off a lost mount: spring `near` hangs slack"),
        (0.082, 0.108, "sunk 14.0 mm off a lost mount: spring `near` is"),
    ],
)
def test_springs_on_the_body_of_an_engine_that_lifts(free, over, words):
    refused = [
        f for f in found(sprung("body", free=free, over=over)) if f.verdict != "fits"
    ]
    assert {f.code for f in refused} == {"engine-springs"}
    assert {f.verdict for f in refused} == {"do not fit"}
    assert any(words in f.text for f in refused), [f.text for f in refused]
    for f in refused:  # which rule says so stands first, then what it says it of
        assert f.rows.part[0] in {"spring-slack", "spring-overstretched"}
        what, _ = f.rule.short(f.rows)
        assert what.endswith(", with the engine " + words.partition(":")[0])
    # Their twin, anchored on the engine, does not feel it.
    assert set(verdicts(sprung("engine", free=free, over=over)).values()) == {"fits"}


def test_what_is_not_judged_is_not_called_good():
    """Slack springs leave nothing to say of the closing torque: it is not told as fit."""
    assert "engine-closing" not in verdicts(sprung("body", free=0.095))


def weak(carrier):
    """Return springs without tension, that close enough at rest."""
    layout = sprung(carrier, free=0.089, over=0.105)
    for spring in layout.springs.values():
        known = replace(spring.known, rate=700.0, initial_tension=0.0)
        layout = layout.with_spring(replace(spring, known=known))
    return layout


def test_closing_torque_with_a_mount_gone():
    finding = next(f for f in found(weak("body")) if f.code == "engine-closing")
    assert finding.verdict == "do not fit"
    assert finding.text.startswith(
        "with the engine risen 14.0 mm off a lost mount: throttle"
    )
    assert finding.value < finding.limit
    (floor,) = (o for o in rule("engine-closing").judge(examine(weak("body"))) if "floor" in o.part)  # fmt: skip
    assert floor.part == ("closing-torque", "floor")
    assert verdicts(weak("engine"))["engine-closing"] == "fits"


def test_with_a_mount_gone_no_more_is_asked_than_with_any_one_part_failed():
    x = examine(weak("body"))
    moved = states(x)
    limits, lifted = moved.assembly.layout.limits, np.ravel(moved.lifted)
    assert lifted.all()
    assert np.all(
        np.ravel(limits.closing_least) == x.layout.limits.closing_least_one_off
    )
    both = states(examine(edited(TRUCK, engine('roll = "2 deg"\nlift = "4 mm"'))))
    least = np.ravel(both.assembly.layout.limits.closing_least)
    lifts = np.array([lift for _, lift in movements(both.rest.layout)])
    assert least[lifts == 0] == pytest.approx(0.25)
    assert least[lifts != 0] == pytest.approx(0.1)


def test_every_movement_and_corner_is_looked_at():
    layout = edited(TRUCK, engine('roll = "2 deg"\nlift = "4 mm"'))
    assert sorted(movements(layout)) == sorted(
        (r, s) for r in (-1, 0, 1) for s in (-1, 0, 1) if (r, s) != (0, 0)
    )
    assert movements(edited(TRUCK, engine('roll = "0 deg"'))) == []
    # With nothing on the engine it matters only to springs that are anchored on it.
    alone = replace(layout, engine=replace(layout.engine, carries=()))
    for carrier, moves in (("body", 0), ("engine", 8)):
        springs = (replace(s, anchored_on=carrier) for s in alone.springs.values())
        on = replace(alone, springs={s.name: s for s in springs})
        assert len(movements(on)) == moves
    moved = states(examine(layout))
    # Each row is the layout with its engine moved alone.
    for i, (roll, lift) in enumerate(movements(layout)):
        alone = rocked(
            assemble(layout), roll=roll * layout.engine.roll, lift=lift * 0.004
        )
        travel = moved.rest.motion.pad_travel
        # On its full stop the plate holds the pad, so that it goes no further.
        pad = np.minimum(travel, moved.x.working.end[i])
        one = sweep(alone, pad).opening("throttle")
        assert moved.held.opening("throttle")[i] == pytest.approx(one, abs=1e-12)
        anchor = row(moved.assembly.layout, i).springs["near"].anchor
        assert anchor == pytest.approx(alone.layout.springs["near"].anchor)


def test_a_rod_that_does_not_reach_with_the_engine_moved():
    layout = edited(TRUCK, engine('lift = "250 mm"'))
    refused = [f for f in found(layout) if f.verdict != "fits"]
    assert {f.code for f in refused} == {"engine-senses"}
    (torn,) = refused
    assert "a rod does not reach any more: it tears or jams" in torn.text
    # Nothing is said of springs and closing torque in a state in which it is torn.
    assert set(verdicts(layout)) == {"engine-senses"}
    assert verdicts(edited(TRUCK, engine('lift = "3 mm"')))["engine-senses"] == "fits"


def test_the_plate_is_watched_over_the_whole_travel_not_at_its_ends():
    """Half-way down the rolled engine moves the plate more than at either end."""
    layout = edited(
        TRUCK,
        engine('roll = "4 deg"'),
        (
            "about   = { point = [500, 0, -150], axis",
            "about = { point = [430, 0, 82], axis",
        ),
    )
    x = examine(layout)
    (finding,) = [f for f in judge(x).findings() if f.code == "engine-rock"]
    ends = [abs(c) for end in ("idle", "full") for c in finding.outcome.facts[end]]
    travel = x.motion.pad_travel
    by = []
    for roll in (1, -1):
        turned = rocked(x.assembly, roll=roll * layout.engine.roll)
        pad = np.minimum(travel, working_travel(turned).end)
        after = sweep(turned, pad)
        by.append(np.abs(after.opening("throttle") - x.motion.opening("throttle")))
    assert finding.value == pytest.approx(np.max(by))
    assert finding.value >= max(ends)


def test_rows_are_judged_as_each_layout_alone():
    layouts = [
        sprung("body", free=free, over=0.107) for free in (0.082, 0.09, 0.096, 0.1)
    ]
    many = judge(examine(stack(layouts)))
    for i, layout in enumerate(layouts):
        alone = judge(examine(layout))
        for place, ranks in alone.ranks.items():
            if place[0] in CODES:
                assert many.ranks[place][i] == ranks[0], (i, place)
        bad = {p for p, r in many.ranks.items() if p[0] in CODES and r[i] == BAD}
        assert bad == {
            p for p, r in alone.ranks.items() if p[0] in CODES and r[0] == BAD
        }
        words = {f.text for f in many.findings(i) if f.code in CODES}
        assert words == {f.text for f in alone.findings() if f.code in CODES}


def test_movements_in_words():
    told = movement(math.radians(-3), 0.01, "behind")
    assert (
        told
        == "rolled 3.0° clockwise seen from behind and risen 10.0 mm off a lost mount"
    )
    assert movement(0.0, -0.01, "") == "sunk 10.0 mm off a lost mount"


def test_what_rests_on_forces_is_left_out_of_geometry_alone():
    needs = {r.code: r.needs for r in RULES if r.code in CODES}
    forces = dict.fromkeys(("engine-springs", "engine-closing"), "forces")
    assert needs == {"engine-senses": "rock", **forces}
