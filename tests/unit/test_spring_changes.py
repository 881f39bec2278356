"""Changes to springs that may mend: their steps, and where there is none to make."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.connect.bar import euler_load
from linkage.model import Known, Spring
from linkage.model.refs import Ref
from linkage.rules import judge
from linkage.rules.examine import examine
from linkage.search import added, anchors, bars_and_bearings, spring_changes
from linkage.search.family import stacked
from linkage.search.sources import SOURCES
from linkage.springs import spring_laws
from tests.build import hauler
from tests.sprung import (
    line_spring,
    sprung_hauler,
    torsion_spring,
    with_bearings,
    with_springs,
)
from tests.unit.offered import offers
from tests.unit.ruled import made

MEASURED = Spring(
    name="own",
    kind="measured",
    shaft="spindle",
    arm="spring",
    known=Known(pull_idle=5.0, pull_full=9.0),
)


def distance(layout, name: str) -> float:
    spring = layout.springs[name]
    return math.dist(layout.shafts[spring.shaft].pin(spring.arm), spring.anchor)


def test_a_spring_about_a_shaft_has_no_anchor_to_move():
    x = examine(sprung_hauler())
    assert list(anchors.moved(x.layout, "pedal", np.zeros((1, 3)))) == []
    assert list(anchors.along(x.motion, "pedal", range(1, 4))) == []
    assert list(anchors.turned(x.motion, "pedal")) == []


def test_one_about_a_shaft_is_changed_for_the_other_hand():
    motion = examine(sprung_hauler()).motion
    (one,) = offers(spring_changes.other_hand(motion, "pedal"))
    assert list(anchors.mirrored(motion, "pedal")) == []
    assert list(spring_changes.other_hand(motion, "main")) == []
    assert one.layout.springs["pedal"].known.shuts == 1.0
    assert "anticlockwise seen from the right" in one.text


def test_one_wound_about_a_shaft_is_given_by_its_rate_to_be_changed():
    """It turns the shaft as it did; its wire is another then."""
    known = Known(wire=0.0016, coil=0.016, turns=6.0, preload=0.15, shuts=-1.0)
    coil = Spring(name="coil", kind="torsion", shaft="spindle", known=known, material="EN 10270-1 SH")  # fmt: skip
    layout = with_springs(hauler(), coil)
    law = spring_laws(layout)["coil"]
    changed = spring_changes.by_rate(layout, "coil")
    spring = changed.springs["coil"]
    assert (spring.known.wire, spring.material) == (None, "")
    assert spring.known == Known(rate=law.rate, preload=0.15, shuts=-1.0)
    again = spring_laws(changed)["coil"]
    assert again.torque(0.7) == law.torque(0.7) != 0
    assert again.sense == law.sense == -1


@pytest.mark.parametrize("inner", ["spring-slack", "spring-overstretched", "spring-stretch", "spring-line", "spring-hand"])  # fmt: skip
def test_an_anchor_of_a_spring_that_is_wrong_with_the_engine_moved_goes_its_way(inner):
    """Away where it is slack, nearer where it is stretched, round its hook else."""
    x = examine(sprung_hauler())
    finding = made("engine-springs", "do not fit", Ref("spring", "main"), part=(inner,))
    now = distance(x.layout, "main")
    told = offers(SOURCES["spring anchor away"](x, finding))
    ways = [distance(one.layout, "main") - now for one in told]
    assert len(ways) > 10
    if inner == "spring-slack":
        assert min(ways) > 0.5e-3
    elif inner in {"spring-overstretched", "spring-stretch"}:
        assert max(ways) < 0.0
        assert min(ways) < -0.02
    else:
        assert ways == pytest.approx([0.0] * len(ways), abs=1e-3)  # whole millimetres


def test_a_stronger_spring_about_a_shaft_keeps_its_sense():
    layout = sprung_hauler()
    (one,) = offers(spring_changes.scaled(layout, ["pedal"], np.array([1.5])))
    known = one.layout.springs["pedal"].known
    assert known == Known(rate=3.0, preload=1.5, shuts=-1)


def test_a_measured_pull_is_no_spring_to_exchange():
    layout = with_springs(hauler(), MEASURED)
    assert list(spring_changes.scaled(layout, ["own"], np.array([2.0]))) == []


def test_bounds_of_a_spring_are_kept_when_its_rate_changes():
    bounded = line_spring("main", "spindle.spring", (194, -100, 130), greatest_length=0.2)  # fmt: skip
    layout = with_springs(hauler(), bounded)
    (one,) = offers(spring_changes.scaled(layout, ["main"], np.array([2.0])))
    known = one.layout.springs["main"].known
    assert known.greatest_length == 0.2
    assert known.rate == pytest.approx(1800.0)
    assert known.initial_tension == pytest.approx(12.0)


def test_an_anchor_is_not_moved_by_less_than_can_be_measured():
    layout = sprung_hauler()
    here = layout.springs["main"].anchor
    near = (here[0] + 0.0004, here[1], here[2])
    far = (here[0] + 0.004, here[1], here[2])
    (one,) = offers(anchors.moved(layout, "main", np.array([near, far])))
    assert one.layout.springs["main"].anchor == far


def test_along_the_line_lengthens_by_each_step():
    x = examine(sprung_hauler())
    old = distance(x.layout, "main")
    found = offers(anchors.along(x.motion, "main", range(1, 6)))
    for i, one in enumerate(found, start=1):
        # Anchors stand on a grid of 1 mm: half of its diagonal off at most.
        assert distance(one.layout, "main") == pytest.approx(old + i * 1e-3, abs=9e-4)


def test_swung_about_its_hook_it_stays_as_long():
    x = examine(sprung_hauler())
    old = distance(x.layout, "main")
    swung = offers(anchors.turned(x.motion, "main"))
    assert len(swung) > 30
    for one in swung:
        assert distance(one.layout, "main") == pytest.approx(old, abs=9e-4)


@pytest.mark.parametrize("kind", ["extension", "compression"])
def test_tightening_and_loosening_go_opposite_ways(kind):
    spring = replace(line_spring("main", "spindle.spring", (194, -100, 130)), kind=kind)
    spring = replace(spring, known=Known(rate=900.0, free_length=0.3 if kind == "compression" else 0.105))  # fmt: skip
    x = examine(with_springs(hauler(), spring))
    old = distance(x.layout, "main")
    for way, longer in (("away", True), ("nearer", False)):
        finding = made("spring-slack", "do not fit", Ref("spring", "main"))
        first, *_ = offers(SOURCES[f"spring anchor {way}"](x, finding))
        grown = distance(first.layout, "main") > old
        # A pushed spring is tightened by moving its anchor nearer.
        assert grown == (longer if kind == "extension" else not longer)


def test_an_added_spring_is_named_as_none_is_yet():
    named = ("second", "third", "fourth")
    more = [line_spring(n, "spindle.spring", (194, -100, 130)) for n in named]
    x = examine(with_springs(hauler(), *more))
    offered = offers(added.added(x.motion, "throttle"))
    assert {n for one in offered for n in one.layout.springs} == {*named, "fifth"}
    # An arm without spring and rod comes first.
    assert offered[0].effort == min(one.effort for one in offered)


def test_an_added_spring_shuts():
    x = examine(hauler())
    for one in offers(added.added(x.motion, "throttle")):
        spring = one.layout.springs["second"]
        hook = np.array(one.layout.shafts["spindle"].pin(spring.arm, 0.6))
        pivot = np.array(one.layout.shafts["spindle"].pivot)
        pull = np.array(spring.anchor) - hook
        torque = np.cross(hook - pivot, pull) @ np.array(one.layout.shafts["spindle"].axis.n)  # fmt: skip
        assert torque < 0  # the throttle opens anticlockwise


def test_a_thicker_rod_stands_the_push():
    x = examine(hauler())
    length = x.assembly.loop("last").length
    bars = offers(bars_and_bearings.thicker(x.layout, "last", length, 2 * 400.0 * 0.5))
    assert bars
    for one in bars:
        assert 0.5 * euler_load(one.layout.rods["last"], length) >= 400.0
    thinner = replace(bars[0].layout.rods["last"], diameter=bars[0].layout.rods["last"].diameter - 1e-3)  # fmt: skip
    smallest = min(bars_and_bearings.BARS)
    assert thinner.diameter < smallest or 0.5 * euler_load(thinner, length) < 400.0


def test_the_least_bar_that_stands_a_push_is_that_of_euler():
    """Just under what 6 mm stand, 6 mm will do; just over, they will not."""
    layout, length = hauler(), 0.4
    link = replace(layout.rods["last"], diameter=0.006)
    stands = layout.limits.euler_share * euler_load(link, length)
    for share, least in ((0.999, 0.006), (1.001, 0.008)):
        bars = offers(bars_and_bearings.thicker(layout, "last", length, share * stands))
        assert bars[0].layout.rods["last"].diameter == least


def test_bearings_are_freed_one_by_one_and_all_together():
    layout = with_bearings(sprung_hauler(), 10, drag=0.02)
    offered = offers(bars_and_bearings.freed(layout))
    names = {
        tuple(n for n, s in one.layout.shafts.items() if s != layout.shafts[n])
        for one in offered
    }
    assert names == {(n,) for n in layout.shafts} | {tuple(layout.shafts)}
    assert "drag 0.015 N·m" in offered[0].text
    assert list(bars_and_bearings.freed(sprung_hauler())) == []


def test_all_springs_are_made_weaker_alike():
    layout = with_springs(
        hauler(),
        line_spring("main", "spindle.spring", (194, -100, 130)),
        torsion_spring("pedal", "pedal", -1, 2.0, 1.0),
    )
    finding = made("pad-force", "look", Ref("pedal"))
    offered = offers(SOURCES["springs weaker"](examine(layout), finding))
    both = [one for one in offered if " and fit spring " in one.text]
    assert len(both) == len(spring_changes.WEAKER)
    data = both[0].layout.springs
    assert data["main"].known.rate / 900.0 == pytest.approx(
        data["pedal"].known.rate / 2.0
    )


def _judged(f):
    """Return verdict and number of a finding, but for the last digits."""
    return f.verdict, f.value if f.value is None else float(f"{f.value:.9g}")


def test_rows_that_differ_in_friction_alone_are_judged_as_each_alone():
    layout = with_bearings(sprung_hauler(), 10, drag=0.02)
    *_, everywhere = bars_and_bearings.freed(layout)
    stack = stacked([everywhere])
    judged = judge(examine(stack.layout(np.arange(everywhere.size))))
    assert judged.rows == everywhere.size > 1
    for i in range(everywhere.size):
        mine = {f.place: _judged(f) for f in judged.findings(i)}
        alone = judge(examine(stack.one(i))).findings()
        assert mine == {f.place: _judged(f) for f in alone}
