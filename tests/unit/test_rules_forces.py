"""Rules of force: each fault named, once, with a cure that is solved again."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from linkage.errors import LayoutError
from linkage.model import Hole, Known, Layout, Limits, Spring, Stop, Vehicle
from linkage.motion import assemble, working_travel
from linkage.quantities import say
from linkage.rules import examine
from linkage.rules.order import FORCE_CODES as CODES
from linkage.rules.order import RULES
from linkage.search import check
from tests.build import arm, hauler, rod, shaft
from tests.sprung import (
    line_spring,
    smooth,
    torsion_spring,
    with_bearings,
    with_springs,
)
from tests.unit.ruled import alone, of_force

RIGHT = (194, -100, 130)
FAR = (194, -136, 130)
WRONG = (-90, -136, 130)


def layout(*springs: Spring, **more) -> Layout:
    """Return the hauler with rods that do not buckle and a pedal stop."""
    base = hauler(**more)
    rods = {n: replace(r, diameter=0.008) for n, r in base.rods.items()}
    spindle = base.shafts["spindle"]
    arms = {**spindle.arms, "far": arm("far", 30, 60, 36)}
    shafts = {**base.shafts, "spindle": replace(spindle, arms=arms)}
    base = replace(base, rods=rods, shafts=shafts)
    end = working_travel(assemble(base)).end
    base = replace(base, pedal=replace(base.pedal, stop=end + 0.0005))
    return with_springs(with_bearings(base, 10), *springs)


def pair() -> tuple[Spring, Spring]:
    data = {"rate": 450.0, "initial_tension": 5.0, "greatest_length": 0.2}
    return (
        line_spring("near", "spindle.spring", RIGHT, **data),
        line_spring("far", "spindle.far", FAR, **data),
    )


def named(found, *verdicts):
    return {f.code for f in found if f.verdict in (verdicts or ("look", "do not fit"))}


def force_check(x: Layout):
    return of_force(x)


def only_fault(x: Layout, code: str, verdict: str = "do not fit"):
    """Assert that one code alone is named and that its cure mends it."""
    found = force_check(x)
    assert named(found) == {code}
    whole = check(x)
    fault = next(f for f in whole.findings if f.code == code and f.verdict == verdict)
    assert fault.cure is not None
    assert fault.cure.proven
    mended = force_check(fault.cure.layout)
    assert fault.place not in {f.place for f in mended if f.verdict != "fits"}
    return fault


def test_a_sound_pair_fits_by_every_rule_of_force():
    found = force_check(layout(*pair()))
    assert named(found) == set()
    # Neither wire nor greatest length is given, no rod gives or is a cable, the engine does not move.
    silent = {"spring-stretch", "spring-stress", "engine-springs", "engine-closing"}
    silent |= {"over-travel-load", "sheath-loss", "wire-strength", "guide-jam"}
    silent |= {r.code for r in RULES if r.hand}  # it has no hand lever
    assert {f.code for f in found} >= CODES - silent


def test_every_code_is_listed():
    weird = layout(*pair(), torsion_spring("k", "pedal", -1, 1.0, 1.0))
    assert {f.code for f in force_check(weird)} <= CODES


def test_no_springs_is_said_not_to_be_checked():
    (found,) = force_check(layout())
    assert found.verdict == "do not fit"
    assert "NOT checked" in found.text


def test_nothing_is_said_where_pressing_shuts_or_a_rod_jams():
    assert force_check(layout(*pair(), opens=-1)) == []
    # So long a travel that a rod runs out before the full stop.
    assert force_check(layout(*pair(), travel_mm=400, swing_deg=170)) == []


def test_a_spring_tells_its_load_at_the_start_and_at_the_end():
    x = examine(layout(*pair()))
    near = next(f for f in alone(x, "spring-hand") if f.about.name == "near")
    line = x.forces.lines.springs["near"]
    one, two = (say(float(line.load[k]), "force") for k in (0, -1))
    assert one != two
    assert f"{one} at the start, {two} at the end" in near.text
    one, two = (say(float(line.length[k]), "length") for k in (0, -1))
    assert f", {one} to {two} long" in near.text


def test_one_spring_only():
    fault = only_fault(layout(pair()[0]), "energy-sources")
    assert fault.value == 1
    assert "add spring" in fault.cure.text
    assert len(fault.cure.layout.springs) == 2


def test_spring_of_the_wrong_hand_is_named_as_such_once():
    wrong = line_spring("far", "spindle.far", WRONG, rate=450.0, greatest_length=0.2)
    x = layout(pair()[0], wrong)
    fault = only_fault(x, "spring-hand")
    assert "wrong hand" in fault.text
    assert "spring-line" not in named(check(x, cures=False).findings)


def test_torsion_spring_of_the_wrong_hand():
    x = layout(*pair(), torsion_spring("twist", "spindle", 1, 0.05, 0.1))
    fault = only_fault(x, "spring-hand")
    assert "clockwise seen from the right" in fault.cure.text


def test_slack_at_idle_is_a_finding_not_an_error():
    near, far = pair()
    slack = replace(near, known=replace(near.known, free_length=0.12))
    fault = only_fault(layout(slack, far), "spring-slack")
    assert fault.value == pytest.approx(0.12 - 0.1161050591)


def test_a_spring_that_never_carries():
    near, far = pair()
    slack = replace(near, known=Known(rate=450.0, free_length=0.3))
    texts = [
        f.text for f in force_check(layout(slack, far)) if f.code == "spring-slack"
    ]
    assert any("never carries" in t for t in texts)


def test_overstretched_and_solid():
    near, far = pair()
    long = replace(near, known=replace(near.known, greatest_length=0.147))
    fault = only_fault(layout(long, far), "spring-overstretched")
    assert fault.limit == 0.147
    solid = Spring(
        name="pushed",
        kind="compression",
        shaft="spindle",
        arm="spring",
        anchor=(-0.09, -0.1, 0.13),
        known=Known(rate=200.0, free_length=0.3, solid_length=0.14),
    )
    found = force_check(layout(near, far, solid))
    bad = next(
        f for f in found if f.code == "spring-overstretched" and f.verdict != "fits"
    )
    assert "coils touch" in bad.text


def test_stress_over_what_is_allowed_and_strength_not_known():
    near, far = pair()
    thin = replace(near, known=Known(wire=0.0008, coil=0.008, turns=15.0, free_length=0.09), material="EN 10270-1 SM")  # fmt: skip
    found = force_check(layout(thin, far))
    bad = next(f for f in found if f.code == "spring-stress")
    assert bad.verdict == "do not fit"
    assert bad.value > bad.limit > 1e8
    assert f"{say(bad.limit, 'stress')} allowed (" in bad.text
    assert bad.text.endswith("it will stay longer or break")
    thick = replace(near, known=replace(near.known, wire=0.0095, coil=0.05, turns=10.0), material="A228")  # fmt: skip
    unknown = next(f for f in force_check(layout(thick, far)) if f.code == "spring-stress")  # fmt: skip
    assert unknown.verdict == "look"
    assert unknown.limit is None
    assert "no strength is tabled" in unknown.text


def test_springs_too_weak_for_the_friction():
    weak = [_scaled(s, 0.1) for s in pair()]
    x = layout(*weak)
    spindle = replace(x.shafts["spindle"], drag=0.04)
    x = replace(x, shafts={**x.shafts, "spindle": spindle})
    found = force_check(x)
    assert {"closing-torque", "closing-torque-one-off"} >= named(found, "do not fit")
    fault = next(f for f in check(x).findings if f.code == "closing-torque-one-off" and f.verdict != "fits")  # fmt: skip
    assert fault.cure.proven
    assert re.search(r"fit spring `\w+` of \d", fault.cure.text)


def _scaled(spring: Spring, factor: float) -> Spring:
    d = spring.known
    return replace(spring, known=replace(d, rate=d.rate * factor, initial_tension=d.initial_tension * factor))  # fmt: skip


def test_weak_torsion_and_compression_springs_are_made_stronger_too():
    twist = torsion_spring("twist", "spindle", -1, 0.02, 0.03)
    pushed = Spring(
        name="pushed",
        kind="compression",
        shaft="spindle",
        arm="spring",
        anchor=(-0.09, -0.1, 0.13),
        known=Known(rate=40.0, free_length=0.2, solid_length=0.02),
    )
    x = layout(twist, pushed)
    spindle = replace(x.shafts["spindle"], drag=0.03)
    x = replace(x, shafts={**x.shafts, "spindle": spindle})
    cures = {
        f.rule.who(f.outcome): f.cure
        for f in check(x).findings
        if f.code == "closing-torque-one-off" and f.verdict != "fits"
    }
    twisted = cures["throttle with spring `pushed` off"]
    assert "N·m/° and" in twisted.text
    assert twisted.layout.springs["twist"].known.shuts == -1
    pressed = cures["throttle with spring `twist` off"]
    assert "spring `pushed` of 0.240 N/mm" in pressed.text
    assert "initial tension" not in pressed.text
    assert pressed.layout.springs["pushed"].known.solid_length == 0.02
    assert twisted.proven
    assert pressed.proven


def test_a_compression_spring_that_is_not_touched_at_idle():
    near, far = pair()
    loose = Spring(
        name="pushed",
        kind="compression",
        shaft="spindle",
        arm="spring",
        anchor=(-0.09, -0.1, 0.13),
        known=Known(rate=200.0, free_length=0.165, solid_length=0.1),
    )
    fault = only_fault(layout(near, far, loose), "spring-slack")
    moved = fault.cure.layout.springs["pushed"].anchor
    assert moved[0] > -0.09  # nearer to its hook


def test_friction_that_no_spring_beats_is_cured_at_the_bearing():
    x = layout(*pair())
    spindle = replace(x.shafts["spindle"], bearing=0.06, friction=0.9)
    x = replace(x, shafts={**x.shafts, "spindle": spindle})
    fault = next(f for f in check(x).findings if f.code == "closing-torque")
    assert fault.verdict == "do not fit"
    assert fault.cure.proven
    assert "bearing of `spindle`" in fault.cure.text


def test_both_springs_on_the_pedal_leave_the_plate_unsprung():
    twist = torsion_spring("one", "pedal", -1, 2.0, 1.0)
    x = layout(twist, replace(twist, name="two"))
    fault = only_fault(x, "unsprung-if-parted")
    # Either rod, and the cross shaft between them.
    assert fault.value == 3
    assert "if rod `first` or a joint of it parts; if rod `last`" in fault.text


def with_hole(x: Layout, name: str, length: float, angle: float, offset: float):
    """Return a layout with a hole of the spindle moved, or made. [mm, degrees]."""
    spindle = x.shafts["spindle"]
    arms = {**spindle.arms, name: arm(name, length, angle, offset)}
    return replace(x, shafts={**x.shafts, "spindle": replace(spindle, arms=arms)})


def unsprung(x: Layout):
    (found,) = [f for f in force_check(x) if f.code == "unsprung-if-parted"]
    assert ("no spring is left" in found.text) is (found.verdict == "do not fit")
    return found


def test_two_springs_on_one_pin_are_one():
    # What they are named does not count, but how near their holes are.
    near, far = pair()
    one = unsprung(with_hole(layout(near, far), "far", 30, 60, 4))
    assert one.verdict == "do not fit"
    assert "the ball stud or pin at `spindle.spring` breaks" in one.text
    assert "spring `near` and spring `far` go with it" in one.text
    assert unsprung(with_hole(layout(near, far), "far", 30, 60, 6)).verdict == "fits"
    twin = replace(near, name="beside", anchor=(0.194, -0.1, 0.145))
    assert named(force_check(layout(near, twin)), "do not fit") == {
        "unsprung-if-parted"
    }
    twin = replace(twin, arm="far", anchor=far.anchor)
    assert named(force_check(layout(near, twin)), "do not fit") == set()


def test_two_springs_on_one_lever_are_one():
    near, far = pair()
    # Both holes in one flat; then the lever of the other a hand of degrees round.
    one = unsprung(with_hole(layout(near, far), "far", 42, 60, 0))
    assert one.verdict == "do not fit"
    assert "lever `spindle.spring` breaks off or slips on its shaft" in one.text
    assert unsprung(with_hole(layout(near, far), "far", 42, 75, 0)).verdict == "fits"


def test_two_springs_on_one_anchor_are_one():
    near, far = pair()
    near = replace(near, anchor=(0.194, -0.118, 0.130))
    close = replace(far, anchor=(0.194, -0.1275, 0.130))
    one = unsprung(layout(near, close))
    assert one.verdict == "do not fit"
    assert "the anchor of spring near goes" in one.text
    apart = replace(far, anchor=(0.194, -0.1285, 0.130))
    assert unsprung(layout(near, apart)).verdict == "fits"
    # Engine and body are not one thing, however near.
    body = replace(close, anchored_on="engine")
    assert unsprung(layout(near, body)).verdict == "fits"


def test_sources_off_the_spindle_ask_for_a_look_where_nothing_is_unsprung():
    # One spring before the spindle and one after it: never unsprung.
    x = with_hole(layout(), "tail", 34, -38, 12)
    tail = shaft("tail", (120, -100, 60), "across", arm("in", 34, -38), arm("spring", 30, 60))  # fmt: skip
    x = replace(
        x,
        shafts={**x.shafts, "tail": tail},
        rods={
            **x.rods,
            "tail": rod("tail", "spindle.tail", "tail.in", diameter=0.008),
        },
    )
    twist = torsion_spring("one", "tail", -1, 0.3, 0.4)
    other = torsion_spring("two", "cross shaft", -1, 0.3, 0.4)
    found = force_check(with_springs(x, twist, other))
    unsprung = next(f for f in found if f.code == "unsprung-if-parted")
    assert unsprung.verdict == "fits"
    energy = next(f for f in found if f.code == "energy-sources")
    assert energy.verdict == "look"
    assert "none of them acts on the spindle" in energy.text


def test_heavy_and_light_pedal():
    heavy = only_fault(layout(*(_scaled(s, 2.2) for s in pair())), "pad-force", "look")
    assert heavy.limit == Limits().pad_force_look
    bad = force_check(layout(*(_scaled(s, 4) for s in pair())))
    assert named(bad, "do not fit") == {"pad-force"}
    light = only_fault(layout(*(_scaled(s, 0.5) for s in pair())), "pad-force-light", "look")  # fmt: skip
    assert light.value < light.limit


def test_both_limits_stand_beside_the_pad_force():
    limits = Limits(pad_force_look=41.0, pad_force_refuse=77.0)
    (found,) = alone(examine(layout(*pair(), limits=limits)), "pad-force")
    assert found.text.endswith("over 41.0 N is heavy, over 77.0 N bad")
    _, reason = found.rule.short(found.rows)
    assert reason.endswith("over 41.0 N is heavy, over 77.0 N bad")
    (light,) = alone(examine(layout(*pair(), limits=Limits(pad_force_light=9.0))), "pad-force-light")  # fmt: skip
    assert "under 9.0 N the foot has no feel" in light.text
    assert light.rule.short(light.rows)[1] == "under 9.0 N the foot has no feel"


def test_friction_that_locks_is_named_at_its_place():
    x = layout(*pair())
    shafts = {n: replace(s, bearing=0.12, friction=0.9) for n, s in x.shafts.items()}
    found = force_check(replace(x, shafts=shafts))
    locked = next(f for f in found if f.code == "pad-force")
    assert locked.verdict == "do not fit"
    assert "locks" in locked.text


def test_with_one_part_failed_each_failure_is_judged_and_the_whole_is_not():
    found = alone(examine(layout(*pair())), "closing-torque-one-off")
    told = {f.rows.part[0].text for f in found}
    assert "nothing failed" not in told
    assert {"spring `near` off", "rod `first` parted"} <= told


@pytest.mark.parametrize(("short", "verdict"), [(0.0, "fits"), (0.001, "do not fit")])
def test_a_spring_a_millimetre_past_its_length_does_not_fit(short, verdict):
    near, far = pair()
    x = examine(layout(near, far))
    longest = float(x.forces.lines.springs["near"].length.max())
    known = replace(near.known, greatest_length=longest - short)
    found = alone(
        examine(layout(replace(near, known=known), far)), "spring-overstretched"
    )
    assert {f.about.name: f.verdict for f in found} == {"near": verdict, "far": "fits"}


def test_no_time_is_told_of_a_plate_that_nothing_shuts():
    """With its only spring off it never comes back, which another rule says."""
    (one,) = alone(examine(layout(pair()[0])), "time-to-idle")
    assert math.isfinite(one.value)
    assert one.verdict == "fits"


def test_too_slow_in_the_cold():
    x = layout(*pair(), vehicle=Vehicle(temperature=-30.0), cold_factor=2.0)
    fits = next(f for f in force_check(x) if f.code == "time-to-idle")
    assert (fits.verdict, fits.limit) == ("fits", 3.0)
    heavy = replace(x.shafts["pedal"], inertia=40.0)
    slow = replace(x, shafts={**x.shafts, "pedal": heavy})
    found = next(f for f in force_check(slow) if f.code == "time-to-idle")
    assert found.verdict == "do not fit"
    assert 3.0 < found.value < math.inf
    assert "-30 °C" in found.text


def test_without_a_pedal_stop_the_full_stop_takes_the_foot():
    x = layout(*pair())
    x = replace(x, pedal=replace(x.pedal, stop=None))
    fault = only_fault(x, "stamp-load", "look")
    assert fault.cure.layout.pedal.stop == pytest.approx(0.0715)
    assert fault.value > 15


def test_a_thin_rod_that_is_pushed():
    x = layout(*pair())
    x = replace(x, pedal=replace(x.pedal, stop=None))
    thin = {n: replace(r, diameter=0.004) for n, r in x.rods.items()}
    x = replace(x, rods=thin)
    found = {f.code: f for f in check(x).findings if f.verdict == "do not fit"}
    assert set(found) == {"rod-push"}
    assert "under a stamped foot" in found["rod-push"].text
    assert found["rod-push"].cure.proven


def test_a_pushed_rod_of_unknown_diameter_asks_for_a_look():
    x = layout(*pair())
    x = replace(x, rods={n: replace(r, diameter=0.0) for n, r in x.rods.items()})
    found = force_check(x)
    assert named(found) == {"rod-push"}
    assert any("not given" in f.text for f in found)


def test_rod_that_turns_between_pull_and_push():
    near, far = pair()
    # A spring on the pedal that helps the foot overcomes those of the plate.
    helper = torsion_spring("helps", "cross shaft", 1, 0.0001, 0.1)
    assert "pull-changes" not in named(force_check(layout(near, far, helper)))

    opens = Spring(
        name="opens",
        kind="torsion",
        shaft="spindle",
        known=Known(rate=1.2, preload=1.6, shuts=1.0),
    )
    y = examine(layout(near, far, opens))
    turned = [f for f in alone(y, "pull-changes") if f.verdict == "look"]
    assert turned
    assert "turns from push to pull" in turned[0].text or "turns from pull to push" in turned[0].text  # fmt: skip


def test_heavy_loads_are_not_repeated_where_an_arm_is_near_dead_centre():
    x = layout(*(_scaled(s, 4) for s in pair()))
    lever = next(k.driven for k in x.links if k.rod.name == "last")
    late = x.with_arm(lever, angle=math.radians(-15))
    assert "pad-force" in named(force_check(x), "do not fit")
    found = check(late, cures=False).findings
    assert "arm-rod-angle" in named(found, "do not fit")
    assert "pad-force" not in named(found, "do not fit")


def test_impossible_spring_is_an_error_of_the_layout():
    near, far = pair()
    with pytest.raises(LayoutError, match="centre line"):
        check(layout(near, replace(far, anchor=(0.064, 0.5, 0.12))))


def test_measured_pull_is_never_exchanged_for_another_spring():
    inner = Spring(
        name="inner",
        kind="measured",
        shaft="spindle",
        arm="lever",
        known=Known(pull_idle=4.0, pull_full=6.0),
    )
    x = layout(_scaled(pair()[0], 0.5), inner)
    found = check(x).findings
    cures = [f.cure.layout for f in found if f.cure is not None and f.cure.layout]
    assert cures
    assert all(c.springs["inner"] == inner for c in cures)


@pytest.mark.parametrize(
    ("shaft_name", "after_deg"), [("cross shaft", 20), ("pedal", 22.5)]
)
def test_a_stop_on_a_shaft_takes_the_foot_there(shaft_name, after_deg):
    x = layout(*pair())
    way = x.pedal.presses if shaft_name == "pedal" else 1
    stop = Stop(name="bracket", shaft=shaft_name, turn=way * math.radians(after_deg))
    x = replace(x, stops={"bracket": stop}, pedal=replace(x.pedal, stop=None))
    y = examine(x)
    assert str(y.working.stopped_by) == "stop bracket"
    (found,) = [f for f in of_force(y) if f.code == "stamp-load"]
    loads = y.forces.stamp
    if shaft_name == "pedal":
        assert found.verdict == "fits"
        assert "is taken by the stop bracket" in found.text
        assert "on the full stop of throttle" in found.text
        return
    assert found.verdict == "look"
    assert "on the stop bracket" in found.text
    # The rod before the stop carries the foot, the one beyond it the springs alone.
    assert abs(loads.plate_stop.rods["first"]) > 1000
    assert abs(loads.plate_stop.rods["last"]) < 100
    # Virtual work: what the springs do not hold goes to the stop.
    at = y.speeds.first["cross shaft"][-1]
    springs = float(y.forces.statics.pad_force[-1])
    torque = (x.limits.stamp_load - springs) / abs(float(at))
    assert loads.plate_stop.stop_torque == pytest.approx(torque)


def test_drag_that_nobody_measured_asks_for_a_look():
    x = layout(*pair())
    shafts = {n: replace(s, drag=None) for n, s in x.shafts.items()}
    (found,) = [
        f for f in force_check(replace(x, shafts=shafts)) if f.code == "drag-unmeasured"
    ]
    assert found.verdict == "look"
    assert found.text.endswith("all friction is from usual values")
    assert "pull `spindle` open with a spring balance" in found.cure.text
    shafts["spindle"] = replace(shafts["spindle"], drag=0.02)
    (found,) = [
        f for f in force_check(replace(x, shafts=shafts)) if f.code == "drag-unmeasured"
    ]
    assert found.verdict == "fits"
    assert found.text == "drag was measured at `spindle`"


@pytest.mark.parametrize(
    ("share", "verdict"), [(0.2, "do not fit"), (0.4, "look"), (0.6, "fits")]
)
def test_a_closing_torque_that_is_weak_whatever_the_friction(share, verdict):
    x = smooth(layout(*(_scaled(s, share) for s in pair())))
    found = [f for f in force_check(x) if f.code == "closing-torque"]
    ratio, floor = (
        [f for f in found if ("whatever the friction" in f.text) is low]
        for low in (False, True)
    )
    assert [f.verdict for f in ratio] == ["fits"]
    assert [f.verdict for f in floor] == ([] if verdict == "fits" else [verdict])
    for f in floor:
        assert f.value < f.limit == (0.25 if verdict == "do not fit" else 0.3)


def test_a_compression_spring_of_the_wrong_hand_pushes():
    wrong = Spring(
        name="far",
        kind="compression",
        shaft="spindle",
        arm="far",
        anchor=tuple(c / 1e3 for c in FAR),
        known=Known(rate=400.0, free_length=0.4, solid_length=0.05),
    )
    fault = next(f for f in force_check(layout(pair()[0], wrong)) if f.code == "spring-hand" and f.verdict != "fits")  # fmt: skip
    assert "it pushes spindle the opening way" in fault.text


def test_forces_are_not_judged_where_the_linkage_turns_back():
    x = layout(*pair())
    x = x.with_arm(Hole(shaft="pedal", arm="rod"), angle=math.radians(70))
    y = examine(x)
    assert any(d.side == "inside" for d in y.dead_centres)
    assert not named(of_force(y)) & {"closing-torque", "closing-torque-one-off"}
