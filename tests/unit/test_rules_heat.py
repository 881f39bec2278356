"""Rules about heat: each layout that must be refused beside its sound twin."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.model import Heat, stack
from linkage.report.unjudged import unjudged
from linkage.rules import examine
from linkage.rules.finding import RANK
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.rules.warm import warmed
from linkage.search import check
from linkage.search.heat import more_free_play, turned
from tests.unit.edits import TRUCK, edited, lever, limit, rod_length
from tests.unit.ruled import alone, found_in, rule

FAULT = "fault-heat-holds-open"
TRAVEL = "travel = 76\n"
RULES = ("heat-idle", "heat-clearance", "heat-full")


def free_play(size):
    return TRAVEL, f"{TRAVEL}free_play = {size}\n"


def ranks(layout):
    x = examine(layout)
    found = {code: alone(x, code) for code in RULES}
    return {code: RANK[one.verdict] for code, (one, *_) in found.items()}


def only(layout, code):
    (one,) = alone(examine(layout), code)
    return one


def test_growth_that_holds_the_plate_open_is_refused_and_free_play_lets_it_shut():
    hot = only(edited(FAULT), "heat-idle")
    assert hot.verdict == "do not fit"
    assert 0.6 < math.degrees(hot.value) < 1.5
    assert (
        "hot on a cold day (block 90 °C, manifold 100 °C, rods -10 °C, body -10 °C)"
        in hot.text
    )
    assert (
        only(edited(FAULT), "idle").verdict == "fits"
    )  # as it was set nothing is seen
    sound = ranks(edited(FAULT, free_play(3)))
    assert (sound["heat-idle"], sound["heat-clearance"]) == (FITS, FITS)


def test_a_rod_a_turn_longer_lets_it_shut_and_one_a_turn_shorter_holds_it_further():
    cut = 1e3 * examine(edited(FAULT)).assembly.loop("link").length
    longer = edited(FAULT, rod_length(f"{cut + 1:.3f} mm"))
    assert ranks(longer)["heat-idle"] == FITS
    x = examine(longer)
    (left,) = alone(x, "heat-clearance")
    as_set = -float(x.working.opening_at_rest["throttle"]) * 0.032
    assert left.outcome.facts["set"] == pytest.approx(as_set, rel=1e-9)
    assert 0 < left.value < as_set
    assert left.verdict == "fits"
    shorter = edited(FAULT, rod_length(f"{cut - 0.1:.3f} mm"))
    held = only(shorter, "heat-idle").value
    assert held > only(edited(FAULT), "heat-idle").value + math.radians(0.15)


def test_less_than_a_tenth_left_asks_for_a_look():
    # As much play as growth uses up, and a little over: 0.05 mm are left at the lever.
    for play, rank in ((1.4, FITS), (1.15, LOOK), (0.9, LOOK)):
        layout = edited(FAULT, free_play(play))
        assert ranks(layout)["heat-clearance"] == rank, play
    near = only(edited(FAULT, free_play(1.15)), "heat-clearance")
    assert 0 < near.value < near.limit == 1e-4
    used_up = only(edited(FAULT, free_play(0.9)), "heat-clearance")
    assert used_up.value < 0
    assert "nothing is left at the lever of throttle at idle" in used_up.text


#: All on the block, held at the carburettor, and a rod of aluminium in the frost.
BARE = ('manifold = "aluminium"\nseat     = [290, -30, 40]\n', "")
HERE = ("held     = [60, 0, -160]", "held     = [430, -30, 82]")
LIGHT = ("diameter = 8\n\n# 4", 'diameter = 8\nmaterial = "aluminium"\n\n# 4')
FROST = ('block    = "cast iron"', 'block    = "cast iron"\ncold = "-40 degC"')


def test_a_cold_start_may_hold_it_open_too():
    """The rod shrinks by more than the body does; one of steel goes with the body."""
    layout = edited(FAULT, BARE, HERE, LIGHT, FROST)
    assert only(layout, "heat-idle").verdict == "do not fit"
    start = warmed(examine(layout)).off("throttle")[1, 0]
    assert math.radians(0.3) < start < math.radians(1)
    assert only(edited(FAULT, BARE, HERE, FROST), "heat-idle").verdict == "fits"


#: Held far in front of the carburettor, a block of aluminium grows rearward.
AHEAD = ("held     = [60, 0, -160]", "held     = [900, 0, -160]")
ALLOY = ('block    = "cast iron"', 'block    = "aluminium"')
STOP = "stop   = 69.5\n"


def test_full_throttle_that_is_lost_hot_is_refused_and_a_later_stop_gives_it_back():
    far = (BARE, AHEAD, ALLOY)
    short = edited(FAULT, *far, (STOP, "stop   = 68.3\n"))
    assert only(short, "full-throttle").verdict == "fits"
    lost = only(short, "heat-full")
    assert lost.verdict == "do not fit"
    assert 0.955 < lost.value < 0.97
    assert "hot on a cold day" in lost.text
    assert "at least 98.0% is asked" in lost.text
    later = only(edited(FAULT, *far), "heat-full")
    assert later.verdict == "fits"
    assert "98.2% at least, hot and cold" in later.text


def test_a_manifold_grows_from_its_seat_which_goes_with_the_block():
    """With block and manifold of one kind and one warmth it matters not where it sits."""
    layout = edited(FAULT)
    same = replace(layout.heat, manifold="cast iron", manifold_hot=90.0)
    plain = replace(same, manifold="", seat=None, manifold_hot=None)
    one, two = (
        warmed(examine(replace(layout, heat=heat))).moved("throttle")[0]
        for heat in (same, plain)
    )
    # The state of a manifold that is hot before its block is none of the second.
    np.testing.assert_allclose(one[[0, 2, 3]], two, atol=1e-12)


def test_what_the_linkage_asks_of_the_plate_is_told_at_both_ends():
    x = examine(edited(FAULT))
    warm = warmed(x)
    rest, down = warm.moved("throttle")
    assert rest.shape == down.shape == (4, 1)
    (idle,), (full,) = alone(x, "heat-idle"), alone(x, "heat-full")
    assert idle.outcome.facts["change"] == (rest.min(), rest.max())
    assert full.outcome.facts["change"] == (down.min(), down.max())
    assert 0 < down.max() < math.radians(2)
    assert f"{math.degrees(rest.max()):.1f}°" in idle.text


def test_a_state_between_two_lies_between_them():
    """Half as warm moves it half as far, to a hundredth: extremes are enough."""
    layout = edited(FAULT)
    hot = warmed(examine(layout)).moved("throttle")[0]
    half = replace(layout.heat, cold=5.0, block_hot=55.0, manifold_hot=60.0, rods_hot=40.0, body_hot=30.0)  # fmt: skip
    mild = warmed(examine(replace(layout, heat=half))).moved("throttle")[0]
    np.testing.assert_allclose(mild[:, 0], hot[:, 0] / 2, rtol=2e-2)


def test_rows_say_what_each_layout_says_alone():
    layouts = [
        edited(FAULT),
        edited(FAULT, free_play(3)),
        edited(
            FAULT,
            (
                'block    = "cast iron"',
                'block    = "cast iron"\nblock_hot = "120 degC"',
            ),
        ),
    ]
    many = examine(stack([replace(one, title="") for one in layouts]))
    for code in RULES:
        (rows,) = rule(code).judge(many)
        for i, layout in enumerate(layouts):
            one = only(layout, code)
            assert rows.rank_of(i) == RANK[one.verdict], (code, i)
            assert float(np.ravel(rows.value)[i]) == pytest.approx(one.value, abs=1e-12)


def test_a_row_that_cannot_be_put_together_does_not_fit_and_says_so():
    layout = edited(TRUCK, rod_length("360 mm"))
    heat = Heat(held=(0.06, 0.0, -0.16), block="cast iron", manifold="aluminium", seat=(0.29, -0.03, 0.04))  # fmt: skip
    good = replace(edited(TRUCK), heat=heat)
    torn = replace(good, rods={"link": replace(good.rods["link"], length=0.2)})
    known = replace(good, rods={"link": replace(good.rods["link"], length=0.41)})
    many = examine(stack([known, torn]))
    assert layout.heat is None
    for code in RULES:
        (rows,) = rule(code).judge(many)
        assert rows.rank_of(1) >= (LOOK if code == "heat-clearance" else BAD)


def test_a_rod_that_does_not_reach_hot_tears_or_jams_and_is_refused():
    """Lever and rod all but in line: what is pulled apart half a millimetre is torn."""
    layout = edited(FAULT, lever(angle=-1.5))
    assert examine(layout).ok
    found = only(layout, "heat-idle")
    assert found.verdict == "do not fit"
    assert math.isnan(found.value)
    assert found.text == "a rod to the plate tears or jams in a cold start"
    full = only(layout, "heat-full")
    assert (full.verdict, full.text) == ("do not fit", found.text)
    assert only(layout, "heat-clearance").verdict == "look"
    state = warmed(examine(layout)).off("throttle")[:, 0]
    assert np.isfinite(state[0])
    assert np.isnan(state[1])
    assert np.isfinite(state[2:]).all()


def test_a_rod_that_jams_only_hot_is_refused_though_the_plate_is_all_but_open():
    """The pedal's end a hair before the place at which the rod jams."""
    layout = edited(FAULT, lever(angle=115))
    wide = replace(layout, throttles={"throttle": replace(layout.main, swing=2.0)})
    there = examine(wide).working
    assert there.jammed
    swing = float(there.opening_at_end["throttle"]) + math.radians(0.1)
    pedal = replace(layout.pedal, stop=float(there.end) - 1e-5)
    near = replace(
        layout, pedal=pedal, throttles={"throttle": replace(layout.main, swing=swing)}
    )
    assert only(near, "full-throttle").verdict == "fits"
    assert not examine(near).working.jammed
    full = only(near, "heat-full")
    assert full.verdict == "do not fit"
    assert math.isnan(full.value)
    assert "tears or jams" in full.text
    # Of one that jams as it was set already it is told there, and no share is made up.
    assert math.isfinite(only(wide, "heat-full").value)


def test_a_kickdown_lever_needs_no_clearance_of_its_own():
    layout = edited("kickdown-branch")
    heat = edited(FAULT).heat
    on = {t.shaft for t in layout.throttles.values()}
    engine = replace(layout.engine, carries=tuple({*layout.engine.carries, *on}))
    x = examine(replace(layout, heat=heat, engine=engine))
    assert {f.about.name for f in alone(x, "heat-idle")} == {"throttle", "kickdown"}
    assert {f.about.name for f in alone(x, "heat-clearance")} == {"throttle"}


def test_nothing_is_judged_where_nothing_is_told_and_nothing_else_changes():
    plain = edited(TRUCK, free_play(3))
    assert not any(f.code.startswith("heat") for f in found_in(plain))
    heat = edited(FAULT, free_play(3)).heat
    told = {(f.code, str(f.about), f.text) for f in found_in(plain)}
    warm = found_in(replace(plain, heat=heat))
    with_it = {(f.code, str(f.about), f.text) for f in warm}
    assert told <= with_it
    more = {code for code, *_ in with_it - told}
    # Three millimetres of play cost full throttle as it is, and that is told once.
    assert more == set(RULES) - {"heat-full"}


def test_play_that_cannot_be_given_back_is_not_counted_on():
    """An arm just short of its dead centre at rest cannot go back by its free play."""
    arm = (
        "arms.rod = { length = 115, angle = 80 }",
        "arms.rod = { length = 115, angle = 80 }",
    )
    layout = edited(FAULT, arm, free_play(3))
    x = examine(layout)
    there = warmed(x)
    assert float(np.ravel(there.x.layout.pedal.free_play)[0]) == 0.0
    # Pushed back so far that the rod no longer reaches: its play stays where it was.
    far = replace(layout, pedal=replace(layout.pedal, free_play=0.07, travel=0.3))
    stuck = warmed(examine(far))
    assert float(np.ravel(stuck.x.layout.pedal.free_play)[0]) > 0.06
    assert np.isfinite(stuck.off("throttle")).all()


def test_the_limits_of_idle_and_full_throttle_are_those_asked():
    loose = edited(FAULT, limit("idle_gap", "2 deg"))
    assert ranks(loose)["heat-idle"] == FITS
    assert only(edited(FAULT, limit("idle_clearance", "3 mm"), free_play(3)), "heat-clearance").verdict == "look"  # fmt: skip


def test_way_in_a_slot_is_told_with_the_plate_before_it_on_its_stop():
    """Where growth shuts, the stop holds that plate, and the linkage with it."""
    layout = edited("progressive-row")
    carried = tuple(t.shaft for t in layout.throttles.values())
    first, *others = layout.plates
    x, y, z = layout.shafts[first.shaft].pivot
    heat = Heat(held=(x + 0.9, y, z), block="aluminium")
    engine = replace(layout.engine, carries=carried)
    warm = warmed(examine(replace(layout, heat=heat, engine=engine)))
    hot = warm.count - 2  # on a cold day
    assert warm.x.working.opening_at_rest[first.name][hot, 0] < -math.radians(1)
    shafts = warm.x.layout.shafts
    for other in others:
        link = layout.path_to(other.shaft)[-1]
        one, two = (
            np.array([np.ravel(c)[hot] for c in shafts[h.shaft].pin(h.arm)])
            for h in (link.driver, link.driven)
        )  # both as measured, each on its own stop
        loop = warm.x.assembly.loop(link.rod.name)
        apart = np.linalg.norm(one - two)
        room = loop.carries * (np.ravel(loop.length)[hot] - apart)
        room = float(np.ravel(room)[-1])
        assert warm.left(other.name)[hot, 0] == pytest.approx(room, abs=2e-8)


@pytest.mark.parametrize(
    "name", ["cable-drum", "progressive-row", "hand-and-foot", "kickdown-branch"]
)
def test_slack_is_used_up_before_a_plate_opens(name):
    """A wire that hangs loose, or the way in a slot, is what is left at rest."""
    layout = edited(name)
    carried = tuple(t.shaft for t in layout.throttles.values())
    engine = replace(layout.engine, carries=tuple({*layout.engine.carries, *carried}))
    main = layout.shafts[layout.main.shaft].pivot
    heat = Heat(held=(main[0] - 0.3, main[1], main[2] - 0.3), block="aluminium")
    warm = replace(layout, heat=heat, engine=engine)
    x = examine(warm)
    there = warmed(x)
    for throttle in layout.throttles.values():
        loose = [k.rod for k in layout.path_to(throttle.shaft) if k.rod.loose]
        off, left = there.off(throttle.name), there.left(throttle.name)
        for found in alone(x, "heat-idle"):
            assert math.copysign(1.0, found.value) == 1.0  # no minus before nothing
        assert np.isfinite(off).all()
        if loose:
            lost = max(rod.lost for rod in loose)
            assert left[0, 0] == pytest.approx(lost, abs=2e-3)
            assert (np.abs(left[1:, 0] - left[0, 0]) < 1.5e-3).all()
            assert (off[:, 0] == 0).all() or (left.min() < 0)


def test_a_hand_lever_left_home_is_asked_the_same():
    layout = edited("hand-and-foot")
    carried = tuple(t.shaft for t in layout.throttles.values())
    engine = replace(layout.engine, carries=carried)
    main = layout.shafts[layout.main.shaft].pivot
    heat = Heat(held=(main[0] - 0.3, main[1], main[2] - 0.3), block="aluminium")
    found = {f.code: f for f in found_in(replace(layout, engine=engine, heat=heat))}
    assert {"hand-heat-idle", "hand-heat-clearance"} <= set(found)
    assert found["hand-heat-idle"].text.startswith("by hand")


@pytest.mark.parametrize("name", ["cam-roller", "governed-engine"])
def test_of_cams_and_governors_it_is_said_not_to_be_judged(name):
    layout = edited(name)
    on = layout.engine.carries or (layout.main.shaft,)
    engine = replace(layout.engine, carries=on)
    heat = Heat(held=(0.0, 0.0, 0.0), block="steel")
    told = check(replace(layout, engine=engine, heat=heat), cures=False)
    assert not any("heat" in f.code for f in told.findings)
    assert any(text.startswith("heat: ") for text in unjudged(told))


def cured(layout):
    found = check(layout)
    assert found.verdict == "do not fit"
    (held,) = [f for f in found.findings if f.code == "heat-idle"]
    assert held.cure is not None
    after = held.cure.layout
    return held.cure.text, after, {f.code: f.verdict for f in found_in(after)}


def test_its_cure_is_solved_again_and_leaves_something_at_idle():
    text, after, verdicts = cured(edited(FAULT))
    assert "set rod `link` one turn longer, 432.6 mm instead of 431.6 mm" in text
    told = ("idle", "full-throttle", *RULES)
    assert {verdicts[code] for code in told} == {"fits"}
    assert after.heat == edited(FAULT).heat


def test_of_a_rod_that_is_not_to_be_touched_free_play_is_left_at_the_pedal():
    cut = 1e3 * examine(edited(FAULT)).assembly.loop("link").length
    bought = (
        "diameter = 8\n\n# 4",
        f"diameter = 8\nlength = {cut:.3f}\nfixed = true\n\n# 4",
    )
    text, after, verdicts = cured(edited(FAULT, bought))
    assert "of free play at the pad instead of 0.0 mm" in text
    assert 0.5e-3 <= after.pedal.free_play <= 3e-3
    assert {verdicts[code] for code in ("idle", *RULES)} == {"fits"}


def test_a_rod_that_loses_motion_is_set_to_lose_more_and_not_by_its_thread():
    x = examine(edited("kickdown-branch"))
    assert [f.step(0).about.name for f in turned(x, "throttle")] == ["link"]
    assert not list(turned(x, "kickdown"))
    for family in more_free_play(x.layout):
        played = family.sets["pedal", "free_play"]
        assert (played[0], played[-1]) == (pytest.approx(0.5e-3), pytest.approx(6e-3))
    last = replace(x.layout.pedal, free_play=6e-3)
    assert not list(more_free_play(replace(x.layout, pedal=last)))
