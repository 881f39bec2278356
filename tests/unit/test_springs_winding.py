"""A coil for a rate and a length: wound so it has both, and bears what it must."""

from __future__ import annotations

import math

import pytest

from linkage.model import Known, Spring
from linkage.springs import SpringLaw, spring_law, stresses, winding
from linkage.springs.winding import INDEX, TENSION, WIRES, wound_for


def law(rate: float, initial: float, free: float) -> SpringLaw:
    return SpringLaw(
        name="k", kind="extension", rate=rate, initial=initial, free_length=free
    )


@pytest.mark.parametrize(
    ("rate", "initial", "free", "load"),
    [(450.0, 5.0, 0.082, 32.0), (800.0, 5.0, 0.082, 55.0), (300.0, 4.0, 0.06, 20.0)],
)
def test_the_coil_has_the_rate_and_the_length_and_bears_the_load(
    rate, initial, free, load
):
    found = wound_for(law(rate, initial, free), load)
    assert found is not None
    spring = Spring(
        name="k",
        kind="extension",
        shaft="s",
        arm="a",
        known=Known(wire=found.wire, coil=found.coil, turns=found.turns),
        material=found.material,
    )
    made = spring_law(spring)
    # Between the steps that are tried, by a straight line.
    assert made.rate == pytest.approx(rate, rel=2e-5)
    assert made.free_length == pytest.approx(free, rel=1e-9)
    assert made.initial == pytest.approx(found.tension)
    assert initial <= (1 + TENSION) * found.tension
    assert INDEX[0] <= (found.coil - found.wire) / found.wire <= INDEX[1]
    assert all(s.value <= s.allowed for s in stresses(spring, load))


def test_more_load_takes_thicker_wire():
    light, heavy = (wound_for(law(800.0, 5.0, 0.082), load) for load in (40.0, 70.0))
    assert light.wire < heavy.wire


@pytest.mark.parametrize(
    ("rate", "initial", "load"),
    [
        (800.0, 5.0, 400.0),  # no wire bears it
        (450.0, 50.0, 60.0),  # no wire is wound with so much tension
        (1e7, 5.0, 30.0),  # no coil is so stiff
        (450.0, 5.0, math.nan),
    ],
)
def test_what_cannot_be_wound_is_not_offered(rate, initial, load):
    assert wound_for(law(rate, initial, 0.082), load) is None


def test_a_spring_too_short_for_any_coil_is_not_offered():
    assert wound_for(law(450.0, 5.0, 0.002), 10.0) is None


def test_of_the_wires_that_bear_it_the_nearest_usual_tension_is_taken(monkeypatch):
    wanted, load = law(450.0, 5.0, 0.082), 32.0
    one_by_one = []
    for d in WIRES:
        monkeypatch.setattr(winding, "WIRES", (d,))
        one_by_one.append(wound_for(wanted, load))
    each = [w for w in one_by_one if w is not None]
    assert len(each) > 1
    for order in (WIRES, WIRES[::-1]):
        monkeypatch.setattr(winding, "WIRES", order)
        found = wound_for(wanted, load)
        assert found == min(each, key=lambda w: abs(5.0 / w.tension - 1))


@pytest.mark.parametrize(("times", "wound"), [(1.2499, True), (1.2501, False)])
def test_a_quarter_more_tension_than_usual_can_be_wound(monkeypatch, times, wound):
    free_of = {"rate": 450.0, "free": 0.082}
    usual = wound_for(law(initial=5.0, **free_of), 20.0)
    monkeypatch.setattr(winding, "WIRES", (usual.wire,))
    more = law(initial=times * usual.tension, **free_of)
    assert (wound_for(more, 20.0) is not None) == wound
