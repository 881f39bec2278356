"""What the trade tells of cables and drums: common practice, no source."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import load
from linkage.model import Cable, Hole, SheathEnd
from linkage.motion import assemble, frame, sweep
from tests.build import arm, shaft, tree
from tests.cli.conftest import CONFIGS

#: Half of the last digit of lengths told to the half millimetre. [mm]
HALF = 0.25


def conversion(one, *, swing_deg=80.0):
    """Return a pedal, a cable, and a spindle with this arm, that a pull opens backwards.

    The wire comes along the x axis, level with the top of a circle of 29 mm.
    """
    pedal = shaft("pedal", (0, 0, 0), "across", arm("pad", 200, -90), arm("wire", 120, 90))  # fmt: skip
    cable = Cable(
        name="wire",
        start=Hole(shaft="pedal", arm="wire"),
        end=Hole(shaft="spindle", arm="wire"),
        ends=(SheathEnd(point=(0.15, 0, 0.12)), SheathEnd(point=(0.3, 0, 0.079))),
        only="pull",
    )
    spindle = shaft("spindle", (500, 0, 50), "across", one)
    return tree([pedal, spindle], [cable], travel_mm=90, swing_deg=swing_deg)


def drawn(layout):
    """Return the way of the wire, in mm, while the throttle goes from idle to full."""
    motion = sweep(assemble(layout), np.linspace(0, 0.09, 9001))
    opening = np.degrees(motion.opening("throttle"))
    run = next(iter(frame(motion).rods.values())).runs[1]
    return 1e3 * (run[0] - np.interp(80, opening, run))


def drum():
    return replace(arm("wire", 29, -40), wound=1)


def test_a_drum_of_29_mm_takes_up_40_and_a_half_mm_of_wire_in_80_degrees():
    assert drawn(conversion(drum())) == pytest.approx(40.5, abs=HALF)
    # And the shipped conversion, whose drum and swing are of that size.
    layout = load(CONFIGS / "cable-drum.toml").layout
    on, swing = layout.shafts["spindle"].arms["drum"], layout.main.swing
    assert (on.length, math.degrees(swing)) == (0.029, pytest.approx(80))
    assert drawn(layout) == pytest.approx(40.5, abs=HALF)


def test_a_wire_hooked_in_the_carburettors_hole_and_marked_at_idle_and_full():
    """40 mm between the marks: a hole at about 31 mm, half of the 80 degrees either side.

    Straight past a lever it is a chord, less than the arc of 29 mm by half a millimetre.
    """
    between = 2 * 31 * math.sin(math.radians(40))
    lever = conversion(arm("wire", 31, 50))
    assert drawn(lever) == pytest.approx(between, abs=0.6)
    assert between == pytest.approx(40, abs=0.5)
    assert drawn(lever) == pytest.approx(40, abs=0.75)


def test_a_drum_turns_evenly_and_a_lever_does_not():
    pads = np.linspace(0, 0.05, 51)
    rates = {}
    for name, one in (("drum", drum()), ("lever", arm("wire", 31, 50))):
        motion = sweep(assemble(conversion(one)), pads)
        pull = -np.gradient(frame(motion).rod("wire").runs[1])
        rates[name] = np.gradient(motion.opening("throttle"))[1:-1] / pull[1:-1]
    assert np.ptp(rates["drum"]) < 1e-6 * rates["drum"].mean()
    assert np.ptp(rates["lever"]) > 0.05 * rates["lever"].mean()
