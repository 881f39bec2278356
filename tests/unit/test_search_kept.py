"""What is fixed is kept: the least layouts that show it, each with its free twin."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.report.findings import finding_lines
from linkage.rules import examine
from linkage.search.family import Family, Step, always
from linkage.search.kept import barred, named
from linkage.search.plan import seek
from linkage.search.sources import families
from tests.unit.cured import found, node_of, searched
from tests.unit.edits import STOP, TRUCK, edited, lever

LEVER, ROD = Hole(shaft="spindle", arm="lever"), Hole(shaft="pedal", arm="rod")


def fixed(layout, *holes, **given):
    """Return a layout with arms fixed, or of given clocking."""
    for hole in holes:
        shaft = layout.shafts[hole.shaft]
        arm = replace(shaft.arms[hole.arm], **(given or {"fixed": True}))
        shaft = replace(shaft, arms={**shaft.arms, hole.arm: arm})
        layout = layout.with_shaft(shaft)
    return layout


def told(layout, code):
    (finding,) = [f for f in searched(layout)[0] if f.code == code]
    return finding


def abouts(layout, code):
    return {
        (f.step(0).kind, f.step(0).about)
        for f in families(examine(layout), found(layout, code))
    }


def test_a_fixed_lever_is_left_and_the_other_arm_is_changed():
    free = edited(TRUCK, lever(length=38))
    assert ("arm length", Ref("arm", "spindle", "lever")) in abouts(
        free, "full-throttle"
    )
    kept = abouts(fixed(free, LEVER), "full-throttle")
    assert kept
    assert {about for _, about in kept} == {
        Ref("arm", "pedal", "rod"),
        Ref("pedal stop"),
    }
    assert seek(node_of(fixed(free, LEVER))).plan is not None


def test_fixed_clocking_bars_turning_and_not_another_length():
    free = edited(TRUCK, lever(length=38))
    kept = abouts(fixed(free, LEVER, clocking="fixed"), "full-throttle")
    mine = {kind for kind, about in kept if about == Ref("arm", "spindle", "lever")}
    assert mine == {"arm length"}


def test_where_all_cures_are_barred_they_are_named():
    layout = fixed(edited(TRUCK, lever(length=45), (STOP, "")), LEVER, ROD)
    finding = told(layout, "full-throttle")
    assert (
        finding.cure.text == "not looked for: `pedal.rod` and `spindle.lever` are fixed"
    )
    assert not finding.cure.proven
    lines = " ".join(" ".join(finding_lines(finding)).split())
    assert lines.endswith(
        "are missing [full-throttle] not looked for: `pedal.rod` and `spindle.lever` are fixed"
    )
    assert "try: " not in lines


def test_a_fixed_clocking_is_named_as_such():
    wrong = edited("fault-wrong-sense")
    holes = [h for link in wrong.links for h in link.holes]
    finding = told(fixed(wrong, *holes, clocking="fixed"), "opening-sense")
    assert finding.cure.text.startswith(
        "not looked for: the clocking of `bell crank.in`"
    )
    assert finding.cure.barred


def test_a_fixed_shaft_keeps_its_arms_its_bearing_and_its_place():
    rocking = edited("fault-engine-rock")
    assert ("bracket", Ref("shaft", "bell crank")) in abouts(rocking, "engine-rock")
    shaft = replace(rocking.shafts["bell crank"], fixed=True)
    kept = abouts(rocking.with_shaft(shaft), "engine-rock")
    assert {kind for kind, _ in kept} == {"steady"}
    short = edited("fault-cross-shaft-arm-short")
    shaft = replace(short.shafts["cross shaft"], fixed=True)
    kept = abouts(short.with_shaft(shaft), "full-throttle")
    assert kept
    assert "cross shaft" not in {about.name for _, about in kept}


def test_a_fixed_rod_keeps_its_length_whatever_else_is_changed():
    layout = edited(TRUCK, lever(length=36))
    length = examine(layout).assembly.loop("link").length
    rod = replace(layout.rods["link"], fixed=True, length=length)
    layout = replace(layout, rods={"link": rod})
    some = families(examine(layout), found(layout, "full-throttle"))
    assert some
    assert all(f.cut == () for f in some)
    assert "rod cut" not in {f.step(0).kind for f in some}
    plan = seek(node_of(layout)).plan
    if plan is not None:
        assert plan.layout.rods["link"] == rod
        assert plan.cut == ()


@pytest.mark.parametrize("name", ["near", "far"])
def test_a_fixed_spring_stays_as_it_is(name):
    wrong = edited("fault-spring-wrong-hand")
    (place,) = node_of(wrong).places()
    spring = replace(wrong.springs[name], fixed=True)
    layout = wrong.with_spring(spring)
    barred = name == place[1].name
    assert (abouts(layout, "spring-hand") == set()) == barred
    finding = next(f for f in searched(layout)[0] if f.place == place)
    assert finding.cure.proven
    after = finding.cure.layout
    assert (after.springs[place[1].name] == layout.springs[place[1].name]) == barred
    assert after.springs[name] == spring
    if barred:  # only its arm is left to be turned
        assert after.shafts["spindle"] != layout.shafts["spindle"]


def test_every_kind_of_change_to_a_fixed_part_is_barred_by_its_name():
    """Numbers of it, and a start from another part, shaft or bracket."""
    free = edited(TRUCK)

    def barred_by(fixed, base=None, **sets) -> set[Ref]:
        family = Family(
            base=fixed if base is None else base,
            sets={tuple(k.split("/")): np.ones(1) for k in sets.get("paths", ())},
            effort=np.ones(1),
            step=always(Step(kind="none", about=Ref("pedal"))),
        )
        return set(barred(fixed, family))

    spindle = replace(free.shafts["spindle"], fixed=True)
    shaft = free.with_shaft(spindle)
    assert barred_by(shaft, paths=["shafts/spindle/bearing"]) == {Ref("shaft", "spindle")}  # fmt: skip
    assert barred_by(shaft, paths=["shafts/pedal/bearing"]) == set()
    moved = shaft.with_shaft(replace(spindle, pivot=(0.5, 0.0, 0.1)))
    assert barred_by(shaft, moved) == {Ref("shaft", "spindle")}
    engine = replace(shaft.engine, carries=())
    assert barred_by(shaft, replace(shaft, engine=engine)) == {Ref("shaft", "spindle")}
    near = replace(free.springs["near"], fixed=True)
    spring = free.with_spring(near)
    assert barred_by(spring, paths=["springs/near/known/rate"]) == {Ref("spring", "near")}  # fmt: skip
    assert barred_by(spring, paths=["springs/far/known/rate"]) == set()
    other = spring.with_spring(replace(near, anchor=(0.5, 0.0, 0.1)))
    assert barred_by(spring, other) == {Ref("spring", "near")}
    assert named(spring, [Ref("spring", "near")]) == "spring `near` is fixed"
    assert named(shaft, [Ref("shaft", "spindle"), Ref("spring", "near")]) == (
        "shaft `spindle` and spring `near` are fixed"
    )
