"""Choosing a spring where one plate is behind a slot: only springs behind it shut it."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from linkage.config import loads
from linkage.rules import examine
from linkage.search.alone import alone, plates_of
from linkage.search.springs import choose_spring
from tests.cli.conftest import CONFIGS
from tests.unit.edits import TWIN


@cache
def twin(*, slot: bool = True):
    """Return the twin with two springs at each spindle, one plate behind a slot.

    Sizes are invented: the longer arm of the slotted rod makes up for what is lost.
    """
    text = (CONFIGS / f"{TWIN}.toml").read_text(encoding="utf-8")
    hook = "arms.spring = { length = 28, angle = 200, offset = -20 }"
    far = 'arms."far spring" = { length = 28, angle = 200, offset = 26 }'
    edits = {
        "arms.front    = { length = 76,": "arms.front    = { length = 85.5,",
        "arms.lever = { length = 42,": "arms.lever = { length = 36.5,",
        "stop   = 72.5": "stop   = 63",
        hook: f"{hook}\n{far}",
        'rate            = "0.6 N/mm"': 'rate            = "0.3 N/mm"',
        "initial_tension = 5\n": "initial_tension = 2.5\n",
    }
    if slot:
        to = 'to       = "rear spindle.lever"\n'
        edits |= {
            to: f"{to}slot = 22\nlost = 8\n",
            "arms.rear     = { length = 76,": "arms.rear     = { length = 104,",
        }
    else:
        edits["arms.rear     = { length = 76,"] = "arms.rear     = { length = 85.5,"
    for old, new in edits.items():
        assert old in text, old
        text = text.replace(old, new)
    for name, x in (("front", 374), ("rear", 224)):
        text += f"""
[springs."far {name}"]
hook            = "{name} spindle.far spring"
anchor          = [{x}, 264, 12]
anchored_on     = "engine"
rate            = "0.3 N/mm"
free_length     = 82
initial_tension = 2.5
greatest_length = 170
"""
    return loads(text).layout


@pytest.mark.parametrize("plate", ["front", "rear"])
def test_a_spring_counts_for_the_plate_on_its_own_side_of_a_slot(plate):
    x = examine(twin())
    for name in (plate, f"far {plate}"):
        assert plates_of(x, name) == [plate]
        assert alone(x, name).torque > 0.1
    through = examine(twin(slot=False))
    assert plates_of(through, plate) == ["front", "rear"]


def test_a_spring_before_a_slot_is_chosen_for_what_it_shuts():
    found = choose_spring(twin(), "front", rates=[200.0, 300.0])
    best = found[0]
    assert best.reasons == ()
    assert best.spring.known.rate == 200.0
    assert best.alone.left > 0
    # Rows as each alone.
    for row in found:
        x = examine(row.layout)
        assert row.alone.torque == pytest.approx(float(alone(x, "front").torque))


def test_a_spring_that_cannot_shut_any_plate_shuts_none_alone():
    """One on the pedal, before the only plate's slot, leaves it open."""
    text = (CONFIGS / "hanging-pedal.toml").read_text(encoding="utf-8")
    to = 'to       = "spindle.lever"\n'
    text = text.replace(to, f"{to}slot = 30\nlost = 1\n")
    text += """
[springs.pedal]
hook            = "pedal.rod"
anchor          = [-110, 0, 113]
rate            = "0.45 N/mm"
free_length     = 82
initial_tension = 5
greatest_length = 160
"""
    x = examine(loads(text).layout)
    assert plates_of(x, "pedal") == ["throttle"]
    one = alone(x, "pedal")
    assert float(np.ravel(one.torque)[0]) < 0.01
    assert alone(x, "near").torque > 0.2
