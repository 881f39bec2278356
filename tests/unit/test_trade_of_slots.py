"""What the trade tells of carburettors that start later: common practice, no source.

The sizes of the link were found once by least squares on the distance of its pins, so
that the table below holds; the program's own motion must then give it.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from linkage.config import load
from linkage.motion import assemble, frame, sweep
from linkage.rules import examine
from linkage.rules.slack import opens_from
from tests.build import arm, rod, shaft, tree
from tests.cli.conftest import CONFIGS

#: Opening of the first carburettor, and of the one that starts later. [deg]
TABLE = {40: 0.0, 50: 23.6, 60: 44.0, 70: 63.7, 76: 76.0}
#: Half of the last digit. [deg]
HALF = 0.05


def later():
    """Return a spindle that drives another, 140 mm away, by a slotted link.

    The pad is a metre from the first, so that its travel is the turn.
    """
    return tree(
        [
            shaft(
                "first", (0, 0, 0), "across", arm("pad", 1000, 0), arm("link", 43.354, 28.3866)
            ),
            shaft("end", (140, 0, 0), "across", arm("lever", 21.786, 35.3675)),
        ],
        [rod("link", "first.link", "end.lever", slot=0.027, lost=0.024584)],
        travel_mm=1e3 * math.radians(76),
        swing_deg=76,
    )  # fmt: skip


def test_the_table_of_a_carburettor_that_starts_at_40_degrees():
    first, end = (
        np.array([*numbers], dtype=float) for numbers in (TABLE, TABLE.values())
    )
    motion = sweep(assemble(later()), np.radians(first))
    np.testing.assert_allclose(np.degrees(motion.opening("throttle")), end, atol=HALF)


def test_before_40_degrees_it_rests_and_from_there_on_it_opens():
    motion = sweep(assemble(later()), np.radians(np.linspace(0, 76, 153)))
    opening, first = motion.opening("throttle"), np.degrees(motion.pad_travel)
    assert (opening[first < 40 - HALF] == 0).all()
    assert (np.diff(opening[first > 40 + HALF]) > 0).all()
    starts = math.degrees(opens_from(examine(later()), "throttle"))
    assert starts == pytest.approx(40, abs=HALF)
    line = frame(motion).rods["link"]
    for angle in (line.driver_angle, line.driven_angle):
        assert np.sin(angle).min() > math.sin(math.radians(45))


@pytest.mark.parametrize("end", ["front", "rear"])
def test_the_shipped_row_starts_as_the_trade_has_it(end):
    """End carburettors start at 35 to 50 degrees of the first and finish with it."""
    layout = load(CONFIGS / "progressive-row.toml").layout
    x = examine(layout)
    motion = sweep(x.assembly, [opens_from(x, end), x.working.end])
    assert 35 < math.degrees(motion.opening("middle")[0]) < 50
    assert motion.opening(end)[0] == pytest.approx(0, abs=1e-6)
    full = [motion.between_stops(name)[1] for name in ("middle", end)]
    assert np.degrees(full) == pytest.approx([76, 76], abs=0.5)


def test_the_shipped_kickdown_lever_is_full_with_the_throttle_and_not_before():
    x = examine(load(CONFIGS / "kickdown-branch.toml").layout)
    assert x.working.is_stopped_by("full stop", "throttle")
    share = x.working.opening_at_end["kickdown"] / x.layout.throttles["kickdown"].swing
    assert 0.98 <= share < 1
