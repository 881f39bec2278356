"""Drums and their rims: what must be refused, beside its sound twin.

Sizes are invented. How much of a drum is covered is the angle from its nipple to where
the tangent from the end of the sheath touches it, written out anew.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.rules import examine
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.search import check
from tests.unit.edits import edited
from tests.unit.ruled import alone
from tests.unit.test_rules_cables import bad, told

DRUM = "cable-drum"
#: Angle of the tangent's foot: the sheath ends level with the drum's top, 120 mm on.
FOOT = 90.0


def drum(angle_deg: float = 205, radius_mm: float = 29, rim=()):
    """Return the shipped cable with its drum clocked, of another size or with a rim."""
    layout = edited(DRUM)
    spindle = layout.shafts["spindle"]
    made = replace(
        spindle.arms["drum"],
        angle=math.radians(angle_deg),
        length=radius_mm / 1e3,
        rim=tuple((math.radians(turn), r / 1e3) for turn, r in rim),
    )
    return layout.with_shaft(replace(spindle, arms={**spindle.arms, "drum": made}))


@pytest.mark.parametrize(
    ("left_deg", "rank"),
    [(35, FITS), (10.1, FITS), (9.8, LOOK), (0.1, LOOK), (-1, BAD)],
)
def test_wire_must_lie_on_its_drum_with_the_pedal_down(left_deg, rank):
    layout = drum(FOOT + 80 + left_deg)
    (finding,) = told(layout, "drum-unwound")
    assert finding.outcome.rank == rank
    assert finding.value == pytest.approx(
        math.radians(max(left_deg, 0.0)), abs=math.radians(0.02)
    )
    assert ("drum-unwound" in bad(layout)) == (rank == BAD)
    if rank == FITS:
        assert bad(layout) == set()


def test_where_the_wire_comes_off_is_told_and_what_turns_it_on_again():
    layout = drum(150)
    (fault,) = told(layout, "drum-unwound")
    x = examine(layout)
    opening = x.motion.opening("throttle")
    there = np.interp(math.radians(60), opening, x.motion.pad_travel)
    step = np.diff(x.motion.pad_travel).max()
    assert fault.outcome.at == pytest.approx(there, abs=step)
    assert "all off drum `spindle.drum`" in fault.text
    # 20 degrees are missing, and ten in hand.
    assert fault.outcome.facts["more"] == pytest.approx(math.radians(30), abs=0.002)
    found = check(layout)
    (fault,) = (f for f in found.reasons if f.code == "drum-unwound")
    cured = fault.cure.layout
    assert fault.cure.proven
    assert [f.outcome.rank for f in told(cured, "drum-unwound")] == [FITS]


@pytest.mark.parametrize(("wound_deg", "rank"), [(300 - 60, FITS), (299, FITS)])
def test_a_round_drum_may_be_wound_up_to_its_nipple(wound_deg, rank):
    """The program takes no more than 300 degrees as wound at rest."""
    (finding,) = told(drum(FOOT + wound_deg), "drum-covered")
    assert finding.outcome.rank == rank
    assert finding.value == pytest.approx(math.radians(360 - wound_deg), abs=1e-3)


@pytest.mark.parametrize(
    ("turn_deg", "rank"), [(40, FITS), (49, FITS), (55, LOOK), (65, BAD)]
)
def test_a_drum_that_winds_on_may_not_come_round_to_its_nipple(turn_deg, rank):
    """At the pedal a drum winds on: 299 degrees at rest, and what the pedal turns."""
    layout = edited(DRUM)
    pedal, radius = layout.shafts["pedal"], 0.025
    x, _, z = layout.rods["main"].ends[0].point
    # Where the tangent to the sheath's end touches it, from which a pull turns it on.
    foot = math.atan2(z, x) - math.acos(radius / math.hypot(x, z))
    nipple = replace(
        pedal.arms["cable"], length=radius, wound=1, angle=foot - math.radians(299)
    )
    turned = layout.with_shaft(replace(pedal, arms={**pedal.arms, "cable": nipple}))
    travel = math.radians(turn_deg) * turned.pad_radius
    turned = replace(turned, pedal=replace(turned.pedal, travel=travel, stop=None))
    found = alone(examine(turned), "drum-covered")
    finding = next(f for f in found if "pedal" in f.where)
    assert finding.outcome.rank == rank
    assert finding.value == pytest.approx(math.radians(61 - turn_deg), abs=1e-6)
    if rank == BAD:
        assert "comes round drum `pedal.cable` to where the wire" in finding.text


@pytest.mark.parametrize(
    ("rim_deg", "rank"), [(200, FITS), (126, FITS), (120, LOOK), (100, BAD)]
)
def test_a_rim_must_go_on_to_where_the_wire_leaves_it(rim_deg, rank):
    """Of 115 degrees that are covered at rest; a rim of one radius is a drum's."""
    layout = drum(205, rim=((0, 29), (rim_deg, 29)))
    (finding,) = alone(examine(layout), "drum-covered")
    assert finding.outcome.rank == rank
    if rank == BAD:
        assert "ends before the wire of cable `main` leaves it" in finding.text
        assert "drum-covered" in bad(layout)
        advice = finding.rule.advice(finding.outcome)
        assert advice == "make the rim of `spindle.drum` 10° longer at its far end"
    else:
        # Corners of the rim are a degree apart.
        left = math.radians(rim_deg - 115)
        assert finding.value == pytest.approx(left, abs=math.radians(1.1))
        assert "drum-covered" not in bad(layout)


def test_with_the_engine_moved_too():
    """Its sheath held on the body, a sinking engine takes wire off its drum."""
    layout = drum(FOOT + 80 + 3)
    cable = layout.rods["main"]
    ends = cable.ends[0], replace(cable.ends[1], on="body")
    loose = replace(layout, rods={"main": replace(cable, ends=ends)})
    assert "engine-senses" not in bad(layout)
    found = alone(examine(loose), "engine-senses")
    assert any(f.part[:1] == ("drum-unwound",) for f in found)
