"""Cures of springs: longer ones, springs in balance, and what is not known."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from linkage.model import Known
from linkage.rules import examine
from linkage.search import added, spring_changes
from linkage.search.sources import families
from linkage.springs import spring_laws
from tests.sprung import torsion_spring
from tests.unit.cured import cured, found, named, searched
from tests.unit.offered import offers
from tests.unit.test_rules_forces import layout, pair

NEAR, FAR = pair()
STEEL = "EN 10270-1 SM"


def wound(turns: float, wire: float = 0.0012, **more: float):
    known = Known(wire=wire, coil=0.008, turns=turns, **more)
    return replace(NEAR, known=known, material=STEEL)


def scaled(spring, factor: float):
    known = spring.known
    return replace(
        spring,
        known=replace(
            known,
            rate=known.rate * factor,
            initial_tension=known.initial_tension * factor,
        ),
    )


def heavy(arm: str, mass: float):
    """Return the hauler with weak springs and a weight on an arm of its spindle."""
    x = layout(scaled(NEAR, 0.2), scaled(FAR, 0.2))
    spindle = x.shafts["spindle"]
    arms = {**spindle.arms, arm: replace(spindle.arms[arm], mass=mass)}
    return x.with_shaft(replace(spindle, arms=arms))


# --- too short ----------------------------------------------------------------------


def test_a_spring_too_short_gets_a_longer_one():
    """So near that it is short enough at full, it would hang slack at idle."""
    short = replace(NEAR, known=replace(NEAR.known, greatest_length=0.135))
    mended = cured(layout(short, FAR), "spring-overstretched")
    assert mended.text.startswith("fit a longer spring for `near`: ")
    new = mended.layout.springs["near"].known
    growth = new.free_length / NEAR.known.free_length
    assert growth > 1
    # Wire and coil are the same: rate and greatest length go with the number of turns.
    assert new.rate == pytest.approx(NEAR.known.rate / growth)
    assert new.greatest_length == pytest.approx(0.135 * growth)
    assert not named(mended.layout)


def test_an_anchor_is_moved_where_that_does():
    short = replace(NEAR, known=replace(NEAR.known, greatest_length=0.147))
    text = cured(layout(short, FAR), "spring-overstretched").text
    assert text.startswith("move the anchor of spring `near` by 5 mm")


def test_an_overstressed_spring_gets_a_longer_one_of_its_wire():
    thin = wound(15.0, 0.0008, free_length=0.09)
    x = layout(thin, FAR)
    mended = cured(x, "spring-stress")
    assert mended.text.startswith("fit a longer spring for `near`: ")
    new = mended.layout.springs["near"]
    assert (new.known.wire, new.known.coil, new.material) == (0.0008, 0.008, STEEL)
    assert new.known.turns > 15
    # It is judged still, and fits now.
    assert found(mended.layout, "spring-stress", "spring near").verdict == "fits"


@pytest.mark.parametrize("free", [None, 0.09])
def test_a_longer_wound_spring_has_turns_for_its_length(free):
    spring = wound(40.0) if free is None else wound(40.0, free_length=free)
    x = layout(spring, FAR)
    old = spring_laws(x)["near"]
    for one in offers(spring_changes.longer(examine(x).motion, "near")):
        known, new = one.layout.springs["near"].known, spring_laws(one.layout)["near"]
        more = new.free_length - old.free_length
        assert more == pytest.approx((known.turns - 40) * 0.0012)
        assert one.step.old == pytest.approx(old.free_length)
        assert one.step.new == pytest.approx(new.free_length)
        assert f"{new.rate / 1e3:.3f} N/mm" in one.text
        assert new.rate < old.rate


def test_a_stress_that_is_no_longer_known_is_not_mended():
    """A weaker spring, bought by its rate, has a wire that nobody knows."""
    x = layout(wound(60.0, free_length=0.081), FAR)
    assert named(x) == {"spring-stress": "do not fit", "pad-force": "look"}
    mended = cured(x, "spring-stress")
    assert found(mended.layout, "spring-stress", "spring near").verdict == "fits"
    plan = searched(x)[1]
    assert found(plan.layout, "spring-stress", "spring near").verdict == "fits"


# --- pull and push ------------------------------------------------------------------


@pytest.mark.parametrize("arm", ["spring", "far"])
def test_a_rod_that_turns_from_pull_to_push_is_cured(arm):
    """A weight on the spindle opens the plate where the springs are too weak."""
    x = heavy(arm, 3.0)
    assert found(x, "pull-changes").verdict == "look"
    mended = cured(x, "pull-changes")
    assert re.search(r"fit spring `\w+` of \d", mended.text)
    assert "pull-changes" not in named(mended.layout)


def test_rods_are_balanced_by_weaker_and_stronger_springs():
    x = examine(heavy("far", 3.0))
    finding = found(x.layout, "pull-changes")
    kinds: dict[str, set[bool]] = {}
    for family in families(x, finding):
        for i in range(family.size):
            step = family.step(i)
            one = step if step.kind == "spring strength" else step.more["steps"][0]
            kinds.setdefault(step.kind, set()).add(one.new > one.old)
    assert kinds == {"spring strength": {True, False}, "several": {True, False}}


def test_one_more_spring_has_a_name_of_its_own_whatever_others_are_called():
    lone = layout(pair()[0])
    torsion = {
        name: torsion_spring(name, "pedal", -1, 0.01, 0.01) for name in added.NAMES
    }
    crowded = replace(lone, springs={**lone.springs, **torsion})
    families = list(added.added(examine(crowded).motion, lone.main.name))
    assert families
    for family in families:
        (new,) = set(family.base.springs) - set(crowded.springs)
        assert new == "added 2"
