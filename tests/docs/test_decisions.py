"""What the decisions say is what the program does."""

from __future__ import annotations

import math

import numpy as np
import pytest

from linkage.motion import assemble, frame, sweep
from tests.build import arm, rod, shaft, tree


def test_a_rod_with_offset_never_shows_a_right_angle():
    """0001: 200 mm of rod, 100 mm of it sideways, square in the side view."""
    layout = tree(
        [
            shaft(
                "pedal", (0, 0, 0), "across", arm("pad", 200, -90), arm("rod", 50, 90)
            ),
            shaft(
                "spindle",
                (math.sqrt(200**2 - 100**2), -100, 0),
                "across",
                arm("lever", 50, 90),
            ),
        ],
        [rod("one", "pedal.rod", "spindle.lever")],
        travel_mm=60,
    )
    assembly = assemble(layout)
    line = frame(sweep(assembly, np.array([0.0]))).rod(layout.links[0].rod.name)
    assert assembly.loop("one").length == pytest.approx(0.2)
    best = math.sin(math.radians(60))
    assert np.sin(line.driven_angle[0]) == pytest.approx(best)
    assert np.sin(line.driver_angle[0]) == pytest.approx(best)
