"""What a swap reverses: the trade's facts, common practice with no source."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from linkage.config import load
from linkage.model import Known, Spring
from linkage.report.reverses import fact_data
from linkage.rules.examine import examine
from linkage.search import check
from linkage.swap import reversal, swap_sides
from tests.build import arm, hauler, rod, shaft, tree

CONFIGS = Path(__file__).parents[2] / "configs"


def car(name: str):
    return load(CONFIGS / f"{name}.toml").layout


def lengthwise():
    """Return a jack shaft along the car, and a carburettor to its right."""
    return tree(
        [
            shaft(
                "jack shaft",
                (0, 0, 0),
                "along",
                arm("pad", 180, 180),
                arm("out", 66, 75),
            ),
            shaft("spindle", (0, -200, 0), "along", arm("lever", 34, 52)),
        ],
        [rod("across", "jack shaft.out", "spindle.lever")],
        travel_mm=135.0,
        swing_deg=76.0,
    )


def told(swap):
    """Return what a swap reverses, its facts as the report tells them."""
    found = reversal(swap)
    rows = [SimpleNamespace(**row) for row in fact_data(swap, found)]
    return SimpleNamespace(
        opens=found.opens, wrong_hand=found.wrong_hand, fault=found.fault, facts=rows
    )


def fact(found, kind: str, part: str):
    return next(f for f in found.facts if f.kind == kind and f.part == part)


def pull_up(layout) -> float:
    """Return how far up the last rod pulls its lever, as a share of its length."""
    x = examine(layout)
    link = layout.path_to(layout.main.shaft)[-1]
    lever = layout.shafts[link.driven.shaft].pin(link.driven.arm)
    driver = layout.shafts[link.driver.shaft].pin(link.driver.arm)
    away = [a - b for a, b in zip(driver, lever, strict=True)]
    rest = x.assembly.loop(link.rod.name).length
    at_end = sum(
        (p - q) ** 2
        for p, q in zip(
            layout.shafts[link.driver.shaft].pin(
                link.driver.arm, x.motion.turns[link.driver.shaft][-1]
            ),
            lever,
            strict=True,
        )
    )
    assert math.sqrt(at_end) > rest  # the driver moves away: the rod pulls
    return away[2] / math.hypot(*away)


def test_a_longer_shaft_alone_reverses_nothing():
    """A transverse shaft made longer, carburettor of the other hand.

    Common practice, no source.
    """
    found = told(swap_sides(car("scenario-before")))
    assert found.opens
    assert found.wrong_hand == ()
    assert not any(f.reverses for f in found.facts)
    stays = fact(found, "shaft", "cross shaft")
    assert "440.0 mm longer" in stays.text
    assert "reverses nothing" in stays.text


def test_a_shaft_across_swapped_back_is_shorter():
    found = told(swap_sides(car("scenario-cured")))
    assert "440.0 mm shorter" in fact(found, "shaft", "cross shaft").text


def test_an_arm_may_slide_past_the_other_so_that_the_shaft_stays_as_long():
    """The plane goes through the arm that stays: the other lies as far beyond it."""
    before = car("scenario-before")
    inner = before.shafts["cross shaft"].pin("inner")
    found = told(swap_sides(before, plane=inner[1]))
    assert fact(found, "shaft", "cross shaft").text.startswith(
        "cross shaft stays and stays as long as it was: arm `outer` slides along it "
        "from -70.0 mm to -230.0 mm. That alone reverses nothing"
    )


@pytest.mark.parametrize("kind", ["mirrored", "turned", "replaced"])
def test_a_throttle_that_stays_where_it_is_is_no_other_part(kind):
    """One carburettor goes across; the kickdown lever hangs on the shaft that stays."""
    twin = car("twin-side-draught")
    drop = twin.rods["kickdown"]
    shafts = {n: s for n, s in twin.shafts.items() if n != "gearbox"}
    stays = replace(twin.throttles["kickdown"], shaft="jack shaft")
    carried = tuple(n for n in twin.engine.carries if n in shafts)
    before = replace(
        twin,
        shafts=shafts,
        engine=replace(twin.engine, carries=carried),
        rods={n: r for n, r in twin.rods.items() if r != drop},
        throttles={**twin.throttles, "kickdown": stays},
    )
    more = {"opens": 1} if kind == "replaced" else {}
    found = told(swap_sides(before, beyond="jack shaft", carburettor=kind, **more))
    start = fact(found, "throttle", "kickdown").text
    assert start.startswith("kickdown opens ")
    assert "as before" in start
    assert fact(found, "throttle", "front").text.startswith("front, ")


def test_one_carburettor_needs_an_up_pull_and_another_a_down_pull():
    """Both open anticlockwise seen from the right, pulled opposite ways.

    Common practice, no source.
    """
    up, down = car("up-pull-side-draught"), car("down-pull-side-draught")
    assert up.main.opens == down.main.opens == 1
    assert pull_up(up) > 0.9
    assert pull_up(down) < -0.9


def test_the_down_pull_lever_on_the_up_pull_linkage_shuts():
    """A lever of the wrong hand: common practice, no source."""
    swap = swap_sides(
        car("up-pull-side-draught"),
        carburettor="replaced",
        opens=1,
        lever_angle=math.radians(142),
    )
    found = told(swap)
    assert found.opens is False
    assert fact(found, "pedal", "throttle").text.startswith(
        "pressing NOW shuts throttle"
    )
    assert check(swap.after, cures=False).verdict == "do not fit"


def test_with_the_lever_of_the_wrong_hand_the_springs_work_the_wrong_way():
    """Common practice, no source; shown by the springs' torque itself."""
    before = car("scenario-before")
    swap = swap_sides(before, carburettor="replaced", opens=-1)
    found = told(swap)
    assert found.wrong_hand == ("near", "far")
    for name in found.wrong_hand:
        assert "wrong hand" in fact(found, "spring", name).text
        spring = swap.after.springs[name]
        shaft = swap.after.shafts[spring.shaft]
        x, _, z = (
            a - b for a, b in zip(shaft.pin(spring.arm), shaft.pivot, strict=True)
        )
        dx, _, dz = (
            a - b for a, b in zip(spring.anchor, shaft.pin(spring.arm), strict=True)
        )
        # Seen from the right, x is to the right and z up: anticlockwise positive.
        torque = x * dz - z * dx
        assert torque * swap.after.main.opens > 0  # the opening way


def test_turning_the_carburettor_reverses_its_sense_and_its_springs_side():
    found = told(swap_sides(car("bulkhead-cross-shaft"), carburettor="turned"))
    throttle = fact(found, "throttle", "throttle")
    assert (throttle.before, throttle.after) == ("anticlockwise", "clockwise")
    assert throttle.reverses
    assert found.opens is False
    spring = fact(found, "spring", "near")
    assert "pulls rearward, before forward" in spring.text
    assert spring.after == "closing"
    assert found.wrong_hand == ()


def test_an_up_pull_lever_turned_is_still_pulled_up_and_opens():
    found = told(swap_sides(car("up-pull-side-draught"), carburettor="turned"))
    assert fact(found, "throttle", "throttle").reverses
    assert fact(found, "shaft", "spindle").reverses
    assert found.opens
    assert not fact(found, "rod", "carb").reverses


def test_a_rod_from_a_lengthwise_shaft_pulls_to_one_side_and_pushes_to_the_other():
    # Seen from behind: the shaft's arm stands and goes over to the left; a lever
    # to its right is pulled, one to its left is pushed.
    before = lengthwise()
    found = told(swap_sides(before))
    rod = fact(found, "rod", "across")
    assert (rod.before, rod.after) == ("pulls", "pushes")
    assert "before it pulled" in rod.text
    assert not fact(found, "shaft", "spindle").reverses
    assert fact(found, "throttle", "throttle").reverses
    assert found.opens is False


def test_springs_about_a_shaft_and_on_the_shaft_that_stays():
    before = car("scenario-before")
    springs = {
        "coil": Spring(
            name="coil",
            kind="torsion",
            shaft="spindle",
            known=Known(rate=0.2, preload=0.2, shuts=-1.0),
        ),
        "own": Spring(
            name="own",
            kind="torsion",
            shaft="spindle",
            known=Known(rate=0.2, preload=0.2),
        ),
        "crank": Spring(
            name="crank",
            kind="torsion",
            shaft="bell crank",
            known=Known(rate=0.2, preload=0.2, shuts=-1.0),
        ),
    }
    found = told(
        swap_sides(replace(before, springs=springs), carburettor="replaced", opens=-1)
    )
    assert found.wrong_hand == ("coil",)
    assert fact(found, "spring", "own").after == "closing"
    assert fact(found, "spring", "crank").after == "closing"


def test_a_swap_that_cannot_be_put_together_says_why():
    before = car("up-pull-side-draught")
    # The lever pointing straight up at the cross shaft's arm: in line at rest.
    rod = before.shafts["cross shaft"].pin("outer")
    spindle = before.shafts["spindle"].pivot
    straight = math.atan2(rod[2] - spindle[2], rod[0] - spindle[0])
    found = told(
        swap_sides(before, carburettor="replaced", opens=-1, lever_angle=straight)
    )
    assert "in line" in found.fault
    assert found.opens is None
    assert fact(found, "rod", "carb").after == "unknown"
    assert fact(found, "spring", "near").after == "unknown"
    assert fact(found, "pedal", "throttle").after == "unknown"
    assert not any(f.reverses for f in found.facts if f.after == "unknown")


def test_a_shaft_with_no_arm_to_slide_stays_as_it_is():
    found = told(swap_sides(car("hanging-pedal")))
    assert fact(found, "shaft", "pedal").text.startswith("pedal stays as it is")


@pytest.mark.parametrize("kind", ["mirrored", "turned"])
def test_a_layout_without_springs_or_engine(kind):
    found = told(swap_sides(hauler(), carburettor=kind))
    assert [f.kind for f in found.facts] == [
        "shaft",
        "shaft",
        "throttle",
        "pedal",
        "rod",
        "rod",
    ]
