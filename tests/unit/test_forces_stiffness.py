"""How stiff a linkage is at the pad, against formulas worked out by hand in N and mm.

Sources, from memory: J. E. Shigley, Mechanical Engineering Design (bar in tension,
cantilever, round bar in torsion, Castigliano); W. C. Young, Roark's Formulas for Stress
and Strain (beam with an overhang).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from linkage.forces.lines import force_lines
from linkage.forces.stiffness import bent, between, stiffness, twisted
from linkage.model import stack
from linkage.motion import assemble, sweep
from tests.build import arm, hauler, rod, shaft, tree
from tests.sprung import with_bearings

#: 3 E I of a flat 20 mm x 4 mm on edge: 3 * 210000 * 4 * 20**3 / 12. [N mm²]
BENDING = 1.68e9
#: G J of a round bar of 12 mm: 81000 * pi * 12**4 / 32. [N mm²]
TWIST = 1.648959e8


def square(*, pad_deg=90.0, rod_offset=0.0, lever=40.0, **bar):
    """Pad 200 mm, arms 50 and 40 mm, a rod of 300 mm square to both of them."""
    return tree(
        [
            shaft("pedal", (0, 0, 0), "upright", arm("pad", 200, pad_deg), arm("rod", 50, 0, rod_offset)),
            shaft("spindle", (50 - lever, 300, 0), "upright", arm("lever", lever, 0, rod_offset)),
        ],
        [rod("link", "pedal.rod", "spindle.lever", **bar)],
        travel_mm=60,
    )  # fmt: skip


def stiff(layout, pad=0.0):
    return stiffness(force_lines(sweep(assemble(layout), [pad])), "spindle")


def test_a_lever_bends_as_a_cantilever():
    """At its end 3 E I / r³: 210 N/mm at 200 mm."""
    assert bent(0.2) == pytest.approx(1 / (210e3 * 0.2**2), rel=1e-6)


def test_a_shaft_twists_as_a_round_bar():
    # 400 mm of 10 mm: J = 981.748 mm⁴, 400 / (81000 * 981.748) rad a N·mm.
    assert twisted(0.010, -0.4) == pytest.approx(5.03008e-3, rel=1e-5)
    assert twisted(0.012, 0.4) == pytest.approx(1e3 * 400 / TWIST, rel=1e-6)


def test_a_shaft_is_as_thick_as_its_bearing_and_else_12_mm():
    usual = square(rod_offset=100)
    by_size = [stiff(with_bearings(usual, mm)) for mm in (10, 12, 14)]
    assert by_size[0] < by_size[1] < by_size[2]
    assert by_size[1] == pytest.approx(stiff(usual), rel=1e-12)


def test_a_rod_stretches_by_length_over_e_and_area():
    def stretch(**bar):
        return assemble(square(**bar)).loops[0].stretch

    # 300 / (210000 * 28.27433), 8 mm 300 / (210000 * 50.26548) mm a N.
    assert stretch() == pytest.approx(5.05254e-8, rel=1e-5)
    assert stretch(diameter=0.006) == pytest.approx(5.05254e-8, rel=1e-5)
    assert stretch(diameter=0.008) == pytest.approx(2.84205e-8, rel=1e-5)
    tube = stretch(diameter=0.010, bore=0.008, material="aluminium")
    assert tube == pytest.approx(300e-3 / (70e9 * math.pi / 4 * 36e-6), rel=1e-9)


def test_all_of_it_at_the_pad_by_hand():
    """1 N at the pad: 200 N·mm at the pedal, 4 N in the rod, 160 N·mm at the spindle."""
    gives = (
        200**2 * (200 + 50) / BENDING,
        200**2 * 100 / TWIST,
        4**2 * 300 / (210000 * 28.274334),
        160**2 * 40 / BENDING,
    )
    assert gives == pytest.approx((5.9524e-3, 2.42577e-2, 8.0841e-4, 6.0952e-4), rel=1e-4)  # fmt: skip
    # Newton a millimetre, times 1000 for a metre.
    assert stiff(square(rod_offset=100)) == pytest.approx(1e3 / sum(gives), rel=1e-6)
    assert 1e3 / sum(gives) == pytest.approx(31617, rel=1e-4)


def test_a_pedal_with_its_rod_below_the_pad_is_one_lever():
    """Roark: a beam with an overhang a past its support at b gives a²(a + b)/(3 E I)."""
    gives = (
        150**2 * 200 / BENDING,
        4**2 * 300 / (210000 * 28.274334),
        160**2 * 40 / BENDING,
    )
    for pad_deg in (0.0, 9.9, -9.9):
        assert stiff(square(pad_deg=pad_deg)) == pytest.approx(1e3 / sum(gives), rel=1e-6)  # fmt: skip
    softer = stiff(square(pad_deg=10.1))
    assert softer == pytest.approx(1e3 / (sum(gives[1:]) + 200**2 * 250 / BENDING), rel=1e-6)  # fmt: skip
    assert softer < stiff(square(pad_deg=9.9))


@pytest.mark.parametrize("near", [30.0, 120.0, 200.0])
def test_one_lever_by_its_bending_moment(near):
    """Castigliano: the integral of M² / (E I) for 1 N at the far hole, pinned at 0."""
    far = 200.0
    support = (far - near) / near
    beam = quad(lambda x: (support * x) ** 2, 0, near)[0] + quad(lambda x: (far - x) ** 2, near, far)[0]  # fmt: skip
    both = arm("near", near, 0), arm("far", far, 0)
    give = between(square(), "pedal", *both)
    assert give == between(square(), "pedal", *reversed(both))
    assert give * 0.2**2 == pytest.approx(1e-3 * 3 * beam / BENDING, rel=1e-9)


def test_two_rods_the_second_counts_by_its_own_pull():
    """The hauler: each part's energy, from the pulls that 1 N at the pad puts on it."""
    layout = hauler()
    lines = force_lines(sweep(assemble(layout), [0.03]))
    first, last = (lines.rods[n].arms for n in ("first", "last"))
    one = 0.18 / float(first["pedal"][0])
    torque = one * float(first["cross shaft"][0])
    two = torque / float(last["cross shaft"][0])
    end = two * float(last["spindle"][0])
    stretch = [loop.stretch for loop in lines.motion.assembly.loops]
    give = (
        0.18**2 * 1e3 * (180 + 70) / BENDING
        + one**2 * stretch[0]
        + torque**2 * (1e3 * 350 / TWIST + 1e3 * (50 + 76) / BENDING)
        + two**2 * stretch[1]
        + end**2 * 1e3 * 34 / BENDING
    )
    assert stiffness(lines, "spindle") == pytest.approx(1 / give, rel=1e-6)
    before = (
        0.18**2 * 1e3 * (180 + 70) / BENDING
        + one**2 * stretch[0]
        + torque**2 * 1e3 * 50 / BENDING
    )
    assert stiffness(lines, "cross shaft") == pytest.approx(1 / before, rel=1e-6)


def test_rows_are_as_stiff_as_each_layout_alone():
    layouts = [square(pad_deg=d, rod_offset=o, lever=v) for d, o, v in ((0, 0, 40), (45, 0, 35), (5, 60, 30))]  # fmt: skip
    many = stiff(stack(layouts), 0.01)
    assert many.shape == (3, 1)
    assert many[:, 0] == pytest.approx([float(stiff(one, 0.01)) for one in layouts])
    assert np.ptp(many) > 1e4
