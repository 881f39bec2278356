"""What the trade says of diesel pump levers, held against the starter.

Common practice, no source: an injection pump's lever swings 40 to 55 degrees, less than
rods that moved a carburettor bring, and the rod to it gets a sprung over-travel.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linkage.rules.examine import examine
from linkage.search import check
from tests.unit.test_over_travel import PUMP, with_rod

LEAST, MOST = np.radians(40), np.radians(55)


def swung(degrees):
    return replace(
        PUMP, throttles={"throttle": replace(PUMP.main, swing=np.radians(degrees))}
    )


def test_the_lever_of_the_starter_swings_as_pump_levers_do():
    assert LEAST <= PUMP.main.swing <= MOST
    x = examine(PUMP)
    assert x.throttle_share == pytest.approx(1.0)
    # Stiff, the same rods would have swung it past its stop, and the stop the pedal.
    stiff = examine(with_rod(PUMP, over_travel=0.0))
    assert stiff.working.stopped_by.kind == "full stop"
    assert x.working.stopped_by.kind == "pedal stop"


@pytest.mark.parametrize("degrees", [40, 48])
def test_over_that_range_the_spring_takes_up_what_the_rods_bring_too_much(degrees):
    layout = swung(degrees)
    checked = check(layout, cures=False)
    assert checked.verdict == "fits"
    given = checked.examined.speeds.given["link"][-1]
    assert 0 < given < layout.rods["link"].over_travel


def test_a_lever_of_55_degrees_takes_a_longer_pedal_travel():
    assert "full-throttle" in {
        f.code for f in check(swung(55), cures=False).findings if f.outcome.rank == 2
    }
    longer = replace(PUMP.pedal, stop=0.072)
    assert check(replace(swung(55), pedal=longer), cures=False).verdict == "fits"
