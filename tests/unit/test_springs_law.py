"""Force laws of springs and what is refused. Sizes invented unless said."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from linkage.errors import LayoutError
from linkage.model import Known, Spring
from linkage.springs import WIRES, spring_law, stresses, wire, wire_named
from linkage.springs.numbers import given


def spring(kind="extension", material="", **data):
    return Spring(name="k", kind=kind, shaft="s", arm="" if kind == "torsion" else "a", known=Known(**data), material=material)  # fmt: skip


COIL = {"wire": 1.6e-3, "coil": 14e-3, "turns": 22.0}


def test_extension_pulls_from_its_free_length_on_and_never_pushes():
    law = spring_law(spring(rate=900.0, free_length=0.1, initial_tension=6.0))
    assert np.allclose(law.pull(np.array([0.09, 0.1, 0.11, 0.12])), [0, 0, 15, 24])


def test_compression_only_pushes():
    law = spring_law(spring("compression", rate=500.0, free_length=0.06))
    assert np.allclose(law.pull(np.array([0.05, 0.06, 0.08])), [-5, 0, 0])


def test_torsion_spring_turns_one_way_only():
    law = spring_law(spring("torsion", rate=0.5, preload=0.2, shuts=-1.0))
    turn = np.array([0.0, 0.4, -0.4, -1.0])
    assert np.allclose(law.torque(turn), [-0.2, -0.4, 0.0, 0.0])
    assert not law.along_line


def test_torsion_spring_on_a_spindle_shuts_it_unless_it_says_otherwise():
    assert spring_law(spring("torsion", rate=1.0, preload=1.0), opens=1).sense == -1
    stated = spring("torsion", rate=1.0, preload=1.0, shuts=1.0)
    assert spring_law(stated, opens=1).sense == 1


def test_measured_pull_runs_straight_from_idle_to_full():
    law = spring_law(
        spring("measured", pull_idle=10.0, pull_full=22.0), opens=1, swing=1.2, arm=0.03
    )
    assert np.allclose(law.torque(np.array([0.0, 0.6, 1.2])), [-0.30, -0.48, -0.66])


def test_two_loads_give_rate_and_free_length():
    law = spring_law(spring(load_1=20.0, length_1=0.09, load_2=35.0, length_2=0.11))
    assert law.rate == pytest.approx(750)
    assert np.allclose(law.pull(np.array([0.09, 0.11])), [20, 35])
    tight = spring_law(
        spring(load_1=20.0, length_1=0.09, load_2=35.0, length_2=0.11, free_length=0.08)
    )
    assert tight.initial == pytest.approx(20 - 750 * 0.01)
    wound = spring_law(
        spring(
            load_1=20.0, length_1=0.09, load_2=35.0, length_2=0.11, initial_tension=5.0
        )
    )
    assert wound.free_length == pytest.approx(0.09 - 15 / 750)


def test_two_loads_of_a_compression_spring():
    law = spring_law(
        spring("compression", load_1=10.0, length_1=0.06, load_2=30.0, length_2=0.04)
    )
    assert law.rate == pytest.approx(1000)
    assert law.free_length == pytest.approx(0.07)


def test_wire_gives_rate_length_and_a_usual_initial_tension():
    given = spring(material="EN 10270-1 SH", **COIL)
    law = spring_law(given)
    d, mean = 1.6e-3, 12.4e-3
    turns = 22 + 81.5 / 206
    assert law.rate == pytest.approx(81.5e9 * d**4 / (8 * mean**3 * turns))
    assert law.free_length == pytest.approx(2 * (mean - d) + 23 * d)
    # Shigley Eq. (10-41), from memory: 33500/exp(0.105 C) psi without curvature.
    stress = 8 * law.initial * mean / (math.pi * d**3) / 6894.757
    assert stress == pytest.approx(33500 / math.exp(0.105 * 7.75))
    assert "usually wound" in law.origin
    known = spring(material="EN 10270-1 SH", initial_tension=4.0, **COIL)
    assert spring_law(known).initial == 4.0


def test_compression_wire_counts_two_dead_turns():
    given = spring("compression", "A228", free_length=0.06, **COIL)
    law = spring_law(given)
    shear = WIRES["music wire A228"].elastic(1.6e-3)[1]
    assert law.rate == pytest.approx(wire.coil_rate(1.6e-3, 12.4e-3, 20, shear))
    assert law.shortest == pytest.approx(23 * 1.6e-3)
    plain = spring("compression", "A228", free_length=0.06, end_turns=0.0, **COIL)
    assert spring_law(plain).rate == pytest.approx(law.rate * 20 / 22)


def test_torsion_wire():
    law = spring_law(spring("torsion", "1.4310", preload=0.1, shuts=1.0, **COIL))
    assert law.rate == pytest.approx(180e9 * 1.6e-3**4 / (64 * 12.4e-3 * 22))


BAD = [
    (spring(rate=-1.0, free_length=0.1), "rate", "negative"),
    (spring(rate=math.nan, free_length=0.1), "rate", "negative"),
    (spring(rate=math.inf, free_length=0.1), "rate", "negative"),
    (spring(rate=0.0, free_length=0.1), "rate", "more than zero"),
    (spring(rate=100.0), "free_length", "needs its free length"),
    (spring(), "wire", "needs its wire"),
    (spring(wire=1e-3, coil=0.01), "turns", "needs its turns"),
    (spring(wire=0.014, coil=1.6e-3, turns=22.0), "wire", "thicker than its coil"),
    (spring(wire=0.014, coil=0.014, turns=22.0), "wire", "thicker than its coil"),
    (spring(wire=4e-3, coil=14e-3, turns=22.0), "wire", "2.50, under 3"),
    (spring(**COIL), "material", "needs its material"),
    (spring(material="EN 10270-1 SX", **COIL), "material", "unknown spring wire"),
    (spring(load_1=1.0, length_1=0.1), "load_2", "needs its load 2"),
    (spring(load_1=20.0, length_1=0.1, load_2=10.0, length_2=0.12), "loads", "rate above zero"),
    (spring(load_1=20.0, length_1=0.1, load_2=20.0, length_2=0.12), "loads", "rate above zero"),
    (spring(load_1=100.0, length_1=0.1, load_2=101.0, length_2=0.2), "loads", "no free length"),
    (spring(rate=100.0, free_length=0.1, greatest_length=0.09), "greatest_length", "not above"),
    (spring(rate=100.0, free_length=0.1, greatest_length=0.1), "greatest_length", "not above"),
    (spring("compression", rate=100.0, free_length=0.03, solid_length=0.03), "free_length", "solid"),
    (spring("compression", "A228", free_length=0.06, wire=1e-3, coil=0.01, turns=2.0), "turns", "no working turns"),
    (spring("compression", "A228", **COIL), "free_length", "needs its free length"),
    (spring("torsion", rate=1.0, preload=1.0), "shuts", "needs the sense"),
    (spring("torsion", rate=1.0, shuts=1.0), "preload", "needs its torque at rest"),
    (spring("measured", pull_idle=1.0, pull_full=2.0), "hook", "not at a throttle"),
]  # fmt: skip


@pytest.mark.parametrize(("bad", "key", "words"), BAD, ids=lambda x: str(x)[:20])
def test_bad_numbers_are_named_by_key_with_a_hint(bad, key, words):
    with pytest.raises(LayoutError, match=words) as caught:
        spring_law(bad)
    assert caught.value.key == ("springs", "k", key)
    assert caught.value.hint


@pytest.mark.parametrize(
    ("kind", "how"), [("extension", "longer"), ("compression", "shorter")]
)
def test_at_which_length_the_larger_load_must_stand(kind, how):
    less, more = (0.1, 0.12) if kind == "compression" else (0.12, 0.1)
    with pytest.raises(LayoutError) as caught:
        spring_law(spring(kind, load_1=10.0, length_1=less, load_2=20.0, length_2=more))
    assert f"at the {how} length" in caught.value.hint


def test_a_coil_may_be_wound_to_an_index_of_just_three():
    d = 2.0**-9
    law = spring_law(spring(material="A228", wire=d, coil=4 * d, turns=20.0))
    assert law.free_length == pytest.approx(2 * 2 * d + 21 * d)


def test_a_spring_about_a_spindle_shuts_it_whichever_way_that_opens():
    wound = spring("torsion", rate=1.0, preload=1.0)
    assert [spring_law(wound, opens=opens).sense for opens in (1, -1)] == [-1, 1]


def test_a_tension_below_nothing_is_none():
    """Two loads on a line that leads to a longer free length than is given."""
    loads = {"load_1": 20.0, "length_1": 0.09, "load_2": 35.0, "length_2": 0.11}
    assert spring_law(spring(free_length=0.05, **loads)).initial == 0.0
    pressed = spring("compression", rate=500.0, free_length=0.06, initial_tension=4.0)
    assert spring_law(pressed).initial == 0.0


def test_one_turn_of_wire_has_a_solid_length_already():
    given_ = {"rate": 500.0, "free_length": 0.06, "wire": 2e-3, "turns": 1.0}
    assert spring_law(spring("compression", **given_)).shortest == pytest.approx(4e-3)


def test_half_of_a_wire_tells_no_solid_length():
    for part in ({"wire": 2e-3}, {"turns": 9.0}, {}):
        law = spring_law(spring("compression", rate=500.0, free_length=0.06, **part))
        assert law.shortest == 0.0


def test_a_number_of_zero_is_one_that_is_not_given():
    assert given(None, 5.0) == given(0.0, 5.0) == 5.0
    assert given(3.0, 5.0) == 3.0
    assert given(np.array([[0.0], [3.0]]), 5.0).tolist() == [[5.0], [3.0]]


def test_hooks_are_taken_as_bent_where_that_is_told():
    d, mean = 1.6e-3, 12.4e-3
    told = spring(
        material="A228", hook_bend_radius=3e-3, hook_twist_radius=2e-3, **COIL
    )
    _, bend, root = stresses(told, -20.0)
    assert bend.value == wire.hook_bending(20.0, d, mean, 3e-3)
    assert root.value == wire.hook_torsion(20.0, d, mean, 2e-3)
    _, bend, root = stresses(spring(material="A228", **COIL), 20.0)
    assert bend.value == wire.hook_bending(20.0, d, mean, mean / 2)
    assert root.value == wire.hook_torsion(20.0, d, mean, mean / 4)


def test_measured_pull_needs_both_pulls():
    with pytest.raises(LayoutError, match="pull full"):
        spring_law(spring("measured", pull_idle=1.0), opens=1, swing=1.0, arm=0.03)


def test_unknown_wire_is_suggested_and_short_names_are_known():
    with pytest.raises(LayoutError) as caught:
        wire_named("EN 10270-1 SX")
    assert "did you mean `EN 10270-1 S" in caught.value.hint
    for short, name in (
        ("A227", "hard-drawn A227"),
        ("music wire", "music wire A228"),
        ("sm", "EN 10270-1 SM"),
        ("1.4310", "EN 10270-3 1.4310"),
    ):
        assert wire_named(short).name == name
    for vague in ("EN 10270-1", "", "wire"):
        with pytest.raises(LayoutError):
            wire_named(vague)


#: Least tensile strength printed in EN 10270-1, in MPa, from memory. The table
#: goes in steps of 10 MPa and of wire; the fit of DIN 17223-1 runs between.
EN_10270_1 = [
    ("SL", 1.0, 1720), ("SL", 2.0, 1520), ("SL", 3.0, 1410), ("SL", 5.0, 1260),
    ("SM", 1.0, 1980), ("SM", 2.0, 1760), ("SM", 3.0, 1630), ("SM", 5.0, 1460),
    ("SH", 1.0, 2230), ("SH", 2.0, 1980), ("SH", 3.0, 1840), ("SH", 5.0, 1660),
]  # fmt: skip


@pytest.mark.parametrize(("grade", "d_mm", "printed"), EN_10270_1)
def test_strength_of_patented_wire(grade, d_mm, printed):
    ours = WIRES[f"EN 10270-1 {grade}"].tensile(d_mm * 1e-3)
    assert ours / 1e6 == pytest.approx(printed, abs=10)


def test_strength_of_stainless_wire_goes_in_steps():
    steel = WIRES["EN 10270-3 1.4310"]
    # EN 10270-3, normal tensile strength, from memory.
    assert [round(steel.tensile(d * 1e-3) / 1e6) for d in (1.0, 1.01, 2.0, 6.0)] == [1900, 1850, 1700, 1400]  # fmt: skip
    assert steel.tensile(0.0061) is None
    assert steel.tensile(0.00005) is None


@pytest.mark.parametrize("name", WIRES)
def test_thinner_wire_is_never_weaker(name):
    row = WIRES[name]
    sizes = np.linspace(row.thinnest, row.strength[-1][0], 50)
    values = [row.tensile(float(d)) for d in sizes]
    assert all(a >= b for a, b in pairwise(values))
    assert row.source
    assert row.shares.source


def test_wahl_and_bergstraesser_agree_within_two_per_cent():
    for index in np.linspace(4, 12, 9):
        # Wahl's factor, Shigley, 10th ed., Eq. (10-4), from memory.
        wahl = (4 * index - 1) / (4 * index - 4) + 0.615 / index
        assert wire.bergstraesser(index) == pytest.approx(wahl, rel=0.02)


def test_stresses_by_kind_of_spring():
    pulled = stresses(spring(material="EN 10270-1 SM", **COIL), 30.0)
    assert [s.place for s in pulled] == ["coils", "hook bend", "hook root"]
    strength = WIRES["EN 10270-1 SM"].tensile(1.6e-3)
    assert [s.allowed / strength for s in pulled] == pytest.approx([0.45, 0.75, 0.40])
    assert pulled[0].value == pytest.approx(wire.coil_shear(30, 1.6e-3, 12.4e-3))
    pressed = stresses(spring("compression", "EN 10270-1 SM", **COIL), -30.0)
    assert [s.place for s in pressed] == ["coils"]
    assert pressed[0].value == pulled[0].value
    wound = stresses(spring("torsion", "EN 10270-1 SM", **COIL), 0.5)
    assert wound[0].value == pytest.approx(wire.wound_bending(0.5, 1.6e-3, 12.4e-3))


def test_no_stress_without_wire_or_material():
    assert stresses(spring(rate=1.0, free_length=0.1), 5.0) == ()
    assert stresses(spring(material="A228", rate=1.0, free_length=0.1), 5.0) == ()
    assert stresses(spring("measured", pull_idle=1.0, pull_full=2.0), 5.0) == ()


def test_strength_outside_the_table_is_not_invented():
    thick = {"wire": 0.012, "coil": 0.1, "turns": 10.0}
    assert stresses(spring(material="A228", **thick), 5.0)[0].allowed is None


def test_moduli_of_printed_wire():
    # Machinery's Handbook, 32nd ed., Table 20: A227 .064-.125 in, 28.6 and 11.5 Mpsi.
    mpsi = 6.894757293168e9
    e, g = WIRES["hard-drawn A227"].elastic(0.1 * 0.0254)
    assert (e / mpsi, g / mpsi) == pytest.approx((28.6, 11.5))
    assert WIRES["hard-drawn A227"].elastic(1.0)[0] / mpsi == pytest.approx(28.5)


def test_legs_of_three_circumferences_are_one_more_turn():
    """As is the twist of a torsion spring; by hand, from N = Nb + legs/(3πD)."""
    mean = 0.0144
    assert wire.torsion_turns(5.0, 0.0, mean) == 5.0
    assert wire.torsion_turns(5.0, 3 * math.pi * mean, mean) == pytest.approx(6.0)
