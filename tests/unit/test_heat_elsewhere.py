"""Heat where other commands meet it: swap, compare, the measuring sheet, words."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.comparison import compare
from linkage.comparison.match import match
from linkage.comparison.renamed import renamed
from linkage.model import Heat, Stop
from linkage.model.columns import column
from linkage.model.heat import on_manifold
from linkage.model.refs import Ref
from linkage.model.rows import row, stack
from linkage.motion.grown import grown
from linkage.report.assumed import assumed_short, assumptions
from linkage.report.cautions import CAUTIONS, cautions
from linkage.report.compare_words import changes_text
from linkage.report.swap_sheaths import seat_lines
from linkage.report.unjudged import unjudged
from linkage.rules import examine
from linkage.rules.warm import warmed
from linkage.search import check
from linkage.sheet.letters import lettered, letters
from linkage.swap.mirror import swap_sides
from tests.unit.edits import HAULER, TRUCK, TWIN, edited
from tests.unit.ruled import alone, found_in

FAULT = "fault-heat-holds-open"


def test_a_manifold_goes_across_with_its_carburettor_and_the_mounts_stay():
    layout = edited(HAULER)
    heat = Heat(held=(0.3, 0.02, -0.15), block="cast iron", manifold="aluminium", seat=(0.27, -0.15, 0.12))  # fmt: skip
    known = replace(layout, heat=heat)
    swapped = swap_sides(known, plane=-0.05)
    gone = swapped.after.heat
    told = " ".join(" ".join(seat_lines(swapped)).split())
    assert "the manifold sits at [270, 50, 120] mm then" in told
    assert not seat_lines(swap_sides(layout))
    assert gone.held == heat.held
    assert gone.seat == pytest.approx((0.27, 0.05, 0.12))
    assert swap_sides(layout).after.heat is None
    plain = replace(heat, manifold="", seat=None)
    assert swap_sides(replace(layout, heat=plain)).after.heat == plain


def test_a_swap_across_the_middle_leaves_heat_doing_what_it_did():
    """All of it mirrored, mounts in the plane: the same picture from the other side."""
    layout = edited(HAULER)
    held = (0.3, 0.0, -0.15)
    heat = Heat(held=held, block="cast iron", manifold="aluminium", seat=(0.3, -0.2, 0.12))  # fmt: skip
    was = replace(layout, heat=heat)
    after = swap_sides(was).after
    one, two = (warmed(examine(x)).moved("throttle")[0] for x in (was, after))
    assert math.degrees(np.abs(one).max()) > 0.05
    np.testing.assert_allclose(one, two, atol=math.radians(0.02))


def test_compare_tells_that_another_heat_is_told():
    old, new = edited(TRUCK), edited(FAULT)
    found = compare(old, new)
    assert [c.kind for c in found.changes] == ["heat"]
    assert changes_text(found.changes) == ["heat is told otherwise"]
    assert not compare(new, new).changes


def test_names_on_the_manifold_follow_those_of_the_new_layout():
    new = edited(FAULT)
    carb = replace(new.shafts["spindle"], name="carb")
    text = ("[shafts.spindle]", "[shafts.carb]")
    assert carb.name == "carb"
    old = edited(
        FAULT,
        text,
        ('to       = "spindle.lever"', 'to       = "carb.lever"'),
        ('shaft        = "spindle"', 'shaft        = "carb"'),
        ('hook            = "spindle.spring"', 'hook            = "carb.spring"'),
        (
            'hook            = "spindle.far spring"',
            'hook            = "carb.far spring"',
        ),
        ('carries = ["spindle"]', 'carries = ["carb"]'),
        ("[heat]\n", '[heat]\ncarries  = ["carb"]\n'),
    )
    again = renamed(old, match(old, new))
    assert again.heat.carries == ("spindle",)
    assert on_manifold(again, again.heat) == {"spindle"}


def test_the_sheet_asks_where_it_is_held_of_what_it_is_and_how_warm():
    group = lettered(edited(FAULT))[-1]
    assert group.title == "Heat"
    words = [box.words for box in group.rows[0].boxes]
    assert words[:4] == ["mounts forward", "mounts left", "mounts up", "block is"]
    assert words[-3:] == ["seat forward", "seat left", "seat up"]
    assert Ref("engine", "heat") in letters(edited(FAULT))
    layout = edited(FAULT)
    plain = replace(layout, heat=replace(layout.heat, manifold="", seat=None))
    told = [box.words for box in lettered(plain)[-1].rows[0].boxes]
    assert not any("seat" in word or "manifold" in word for word in told)
    assert "Heat" not in [g.title for g in lettered(edited(TRUCK))]


def test_what_is_assumed_of_heat_is_told_and_what_is_given_is_not():
    layout = edited(FAULT)
    usual, on = (t for t in assumptions(check(layout, cures=False)) if "manifold" in t)
    assert usual == (
        "usual temperatures: set at 20 °C, cold start at -10 °C, body 40 °C, block 90 °C, "
        "manifold 100 °C, rods 60 °C"
    )
    assert on == "on the manifold: `spindle`"
    assert "usual temperatures" in assumed_short(check(layout, cures=False))
    all_given = replace(
        layout.heat, carries=("spindle",), set_at=20.0, cold=-10.0, body_hot=40.0,
        block_hot=90.0, manifold_hot=100.0, rods_hot=60.0,
    )  # fmt: skip
    given = replace(layout, heat=all_given)
    assert not [t for t in assumptions(check(given, cures=False)) if "manifold" in t]
    # And nothing comes out otherwise for being told.
    assert alone(examine(given), "heat-idle")[0].value == alone(examine(layout), "heat-idle")[0].value  # fmt: skip
    cable = replace(edited("cable-drum"), heat=plain_heat("cable-drum"))
    assert any(
        t.startswith("wire and sheath of steel")
        for t in assumptions(check(cable, cures=False))
    )


def test_the_caution_tells_of_heat_that_growth_alone_is_seen_where_it_is_judged():
    first, *others = cautions(edited(FAULT))
    assert "heat, hose" not in first
    assert (
        "no flex, wear, hose, carpet or ice; of heat it sees growth alone. Prove"
        in first
    )
    assert others == list(CAUTIONS[1:])
    for layout in (edited(TRUCK), replace(edited("cam-roller"), heat=plain_heat("cam-roller"))):  # fmt: skip
        assert "wear, heat, hose, carpet or ice." in cautions(layout)[0]


def plain_heat(name):
    x, y, z = edited(name).shafts[edited(name).main.shaft].pivot
    return Heat(held=(x - 0.2, y, z - 0.2), block="cast iron")


def test_a_plate_whose_fellow_meets_its_stop_first_is_held_off_hot():
    """One carburettor on the manifold, one on the block: one growth is not the other's."""
    layout = edited(TWIN)
    one, two = (t for t in layout.plates)
    x, y, z = layout.shafts[two.shaft].pivot
    heat = Heat(
        held=(x - 0.3, y, z - 0.2),
        block="cast iron",
        manifold="aluminium",
        seat=(x - 0.25, y, z - 0.1),
        carries=(two.shaft,),
        manifold_hot=140.0,
    )
    warm = warmed(examine(replace(layout, heat=heat)))
    off = {t.name: warm.off(t.name)[1:, 0] for t in (one, two)}
    rest = {
        t.name: np.ravel(warm.x.working.opening_at_rest[t.name])[1:] for t in (one, two)
    }
    start = np.ravel(warm.x.working.start)[1:]
    both = np.array([off[one.name], off[two.name]])
    assert (both >= -1e-12).all()
    assert both.max() > math.radians(0.3)
    # Where the pedal is let go by a stop, the plate on that is on it, and the other off.
    held = start > 0
    assert held.any()
    assert np.abs(both[:, held].min(axis=0)).max() < 1e-9
    asked = np.array([rest[one.name], rest[two.name]])
    assert both[:, ~held] == pytest.approx(np.maximum(asked[:, ~held], 0))


def test_a_slack_wire_before_a_crossbar_lets_growth_behind_it_its_way():
    """Both levers of a crossbar rest on their stops: the wire before it is slack for that."""
    layout = edited("crossbar-twin")
    x, y, z = layout.shafts[layout.main.shaft].pivot
    heat = Heat(
        held=(x - 0.25, y, z - 0.28),
        block="cast iron",
        manifold="aluminium",
        seat=(x - 0.26, y, z - 0.3),
        manifold_hot=150.0,
    )
    tight = {**layout.rods, "main": replace(layout.rods["main"], lost=0.0)}
    slack, taut = (
        examine(replace(layout, heat=heat, rods=rods)) for rods in (layout.rods, tight)
    )
    for found in alone(slack, "heat-idle"):
        assert found.verdict == "fits"
        assert found.value < math.radians(0.05)
    (left,) = alone(slack, "heat-clearance")
    assert left.verdict == "fits"
    # A millimetre of wire at the lever, but for the crossbar's own ratio and what grew.
    there = warmed(slack).left(left.about.name)[:, 0]
    assert there[0] == pytest.approx(1.2e-3, abs=0.1e-3)
    assert (np.abs(there - there[0]) > 0.1e-3).any()
    # What is left with the wire just taut is what heat takes, or gives.
    without = warmed(taut).left(left.about.name)[:, 0]
    np.testing.assert_allclose(there - without, there[0], atol=0.1e-3)
    # A stop of the crossbar's own keeps it from going back.
    bar = layout.shafts["crossbar"]
    back = warmed(slack).assembly.layout.shafts["crossbar"].arms["cable"].angle
    sense = np.sign(float(np.ravel(back)[0]) - bar.arms["cable"].angle)
    stop = Stop(name="rest", shaft="crossbar", turn=float(sense) * 1e-4)
    held = warmed(examine(replace(layout, heat=heat, stops={"rest": stop})))
    turned = held.assembly.layout.shafts["crossbar"].arms["cable"].angle
    by = (turned - bar.arms["cable"].angle) * sense
    assert float(np.max(by)) == pytest.approx(1e-4, abs=1e-12)


def test_temperatures_may_be_rows_too():
    layout = edited(FAULT)
    hotter = replace(layout.heat, block_hot=120.0, rods_hot=80.0)
    layouts = [replace(layout, title="", heat=h) for h in (layout.heat, hotter)]
    many = stack(layouts)
    assert many.heat.block_hot.shape == (2, 1)
    assert row(many, 0) == layouts[0]
    assert row(many, 1) == layouts[1]
    degrees = {
        "body": 20.0,
        "manifold": 90.0,
        "block": column([20.0, 90.0]),
        "rods": 20.0,
    }
    warm = grown(examine(layout).assembly, degrees)
    assert warm.rest["spindle"].shape == (2, 1)


def test_no_growth_is_worked_out_of_what_has_no_heat():
    with pytest.raises(ValueError, match="nothing is told of heat"):
        grown(examine(edited(TRUCK)).assembly, {})
    assert warmed(examine(edited(TRUCK))) is None
    x = examine(edited(FAULT))
    assert warmed(x) is warmed(x)
    x.forget()
    assert not x.warmed


def test_heat_is_named_among_what_waits_for_a_jam():
    jams = edited(FAULT, ("angle = 52, offset = 10", "angle = 115, offset = 10"))
    told = check(jams, cures=False)
    assert any(f.code == "reach" and f.verdict == "do not fit" for f in told.findings)
    assert any("full throttle, hot and cold" in words for words in unjudged(told))
    assert {f.code for f in found_in(jams)}.isdisjoint({"heat-full"})
