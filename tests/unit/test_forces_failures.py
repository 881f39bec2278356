"""Single failures, sources of energy, time to idle and the stamped foot."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from linkage.connect.bar import euler_load, rod_mass
from linkage.forces import (
    INTACT,
    cold_factor,
    failed,
    failures,
    falls,
    force_lines,
    return_limit,
    returns,
    sources,
    stamped,
)
from linkage.forces.inertia import inertias
from linkage.forces.returns import _opening_way, pad_forces, worst_places
from linkage.forces.time import NODES, _running, _simpson
from linkage.model import Limits, Rod, Vehicle
from linkage.model.refs import Ref
from linkage.motion import assemble, sweep, working_travel
from tests.build import hauler, hole
from tests.sprung import (
    bare,
    line_spring,
    smooth,
    sprung_hauler,
    torsion_spring,
    weightless,
    with_bearings,
    with_springs,
)


def lines_of(layout, count=31):
    assembly = assemble(layout)
    w = working_travel(assembly)
    return force_lines(sweep(assembly, np.linspace(w.start, w.end, count)))


def at_pad(lines, failure=INTACT):
    """Closing force, friction and shafts of one case."""
    closing, friction, shafts = pad_forces(lines, [(failure, "throttle")])
    return closing[0], friction[0], shafts[0]


def by_failure(layout):
    lines = lines_of(layout)
    return {r.failure.text: r for r in returns(lines.motion, lines=lines)}


SHAFT = "shaft `cross shaft` off its pivot (rod `first` and rod `last` with it)"


def test_every_spring_every_rod_and_every_shaft_between_is_tried():
    assert [f.text for f in failures(sprung_hauler())] == [
        "spring `main` off",
        "spring `pedal` off",
        "rod `first` parted",
        "rod `last` parted",
        SHAFT,
    ]
    assert INTACT.text == "nothing failed"


def test_where_nothing_rubs_nothing_resists():
    found = by_failure(bare(sprung_hauler()))
    assert all(np.all(r.ratio > 1e9) for r in found.values())
    assert all(np.all(np.abs(r.friction_torque) < 1e-12) for r in found.values())
    # With no friction at all the worst place is that of least torque.
    whole = found["nothing failed"]
    torque = whole.closing_torque
    for least in worst_places(torque[None], np.full_like(torque, np.inf)[None]):
        assert torque[least[0]] == torque.min()


def test_friction_that_is_not_given_is_taken_from_usual_sizes():
    layout = weightless(sprung_hauler())
    usual = by_failure(layout)["nothing failed"].friction_torque
    # Bearings of 12 mm and balls of 10 mm that rub with 0.2;
    # 0.05 N·m at the spindle, half of it beyond ten degrees.
    rods = {
        n: replace(r, joint_diameter=0.010, joint_friction=0.2)
        for n, r in layout.rods.items()
    }
    lines, given = lines_of(layout), []
    for drag in (0.05, 0.025):
        shafts = {
            n: replace(s, bearing=0.012, friction=0.2, drag=drag if n == "spindle" else 0.0)
            for n, s in layout.shafts.items()
        }  # fmt: skip
        found = by_failure(replace(layout, shafts=shafts, rods=rods))
        given.append(found["nothing failed"].friction_torque)
    near = lines.motion.opening("throttle") <= math.radians(10)
    assert near.any()
    assert not near.all()
    assert np.allclose(usual, np.where(near, *given), rtol=1e-9)


def test_springs_add_up_and_parted_rods_take_theirs_away():
    found = by_failure(with_bearings(weightless(sprung_hauler()), 12))
    whole = found["nothing failed"].closing_torque
    main, pedal = found["spring `main` off"], found["spring `pedal` off"]
    assert np.allclose(main.closing_torque + pedal.closing_torque, whole)
    last = found["rod `last` parted"]
    assert last.springs == ("main",)
    assert np.allclose(last.closing_torque, pedal.closing_torque)
    assert np.all(last.friction_torque < found["nothing failed"].friction_torque)
    assert main.springs == ("pedal",)
    # With the cross shaft off its pivot the spindle stands alone, as with its rod parted.
    off = found[SHAFT]
    assert off.springs == ("main",)
    assert np.array_equal(off.closing_torque, last.closing_torque)
    assert np.array_equal(off.friction_torque, last.friction_torque)
    assert not any(r.unsprung for r in found.values())


def test_dirt_is_counted_where_something_has_failed_and_only_there():
    lines = lines_of(with_bearings(sprung_hauler(), 12))
    clean, twice, dirty, cold, thrice = (
        {r.failure.text: r for r in returns(lines.motion, lines=lines, **factors)}
        for factors in (
            {},
            {"factor": 2.0},
            {"dirt": 2.0},
            {"dirt": 2.0, "factor": 3.0},
            {"factor": 3.0},
        )
    )
    for text, r in clean.items():
        assert np.all(twice[text].friction_torque > 1.8 * r.friction_torque)
        like = clean if text == "nothing failed" else twice
        assert np.array_equal(dirty[text].friction_torque, like[text].friction_torque)
        # Cold is counted with nothing failed too, and not once more for dirt.
        same = cold[text].friction_torque
        assert np.array_equal(same, thrice[text].friction_torque)
        assert np.array_equal(dirty[text].closing_torque, r.closing_torque)


def test_spring_on_the_pedal_alone_leaves_the_plate_unsprung_when_a_rod_parts():
    layout = with_springs(hauler(), torsion_spring("pedal", "pedal", -1, 2.0, 1.0))
    found = by_failure(layout)
    assert {k for k, r in found.items() if r.unsprung} == {
        "spring `pedal` off",
        "rod `first` parted",
        "rod `last` parted",
        SHAFT,
    }
    # Weight alone is left, and that is not enough.
    assert np.all(found["rod `last` parted"].ratio < 1)
    found = by_failure(weightless(layout))
    assert np.all(np.abs(found["rod `last` parted"].ratio) < 1e-9)


def test_spring_on_the_cross_shaft_still_shuts_when_the_first_rod_parts():
    layout = with_springs(hauler(), torsion_spring("k", "cross shaft", -1, 2.0, 1.0))
    found = by_failure(with_bearings(layout, 12))
    assert not found["rod `first` parted"].unsprung
    assert found["rod `last` parted"].unsprung
    assert found[
        SHAFT.replace("first` and rod `last", "first`, rod `last` and spring `k")
    ].unsprung
    # The cross shaft turns with the spindle here: pressing turns both one way.
    assert np.all(found["rod `first` parted"].closing_torque > 0)


def test_friction_is_the_larger_of_pad_let_up_and_plate_held():
    layout = with_bearings(sprung_hauler(), 20, 0.3)
    lines = lines_of(layout)
    closing, friction, shafts = at_pad(lines)
    from linkage.forces import statics

    s = statics(lines.motion, lines=lines)
    assert set(shafts) == set(layout.shafts)
    assert np.allclose(closing, s.pad_force)
    assert np.all(friction >= closing - s.pad_force_releasing - 1e-12)
    # A spring on the pedal loads every rod when the plate is held.
    one = at_pad(lines, failed("spring", "main"))[1]
    held = statics(lines.motion, lines=lines, springs=("pedal",))
    assert np.all(one > held.pad_force - held.pad_force_releasing)


def test_friction_that_locks_leaves_a_ratio_of_nothing():
    layout = with_bearings(sprung_hauler(), 200, 0.9)
    found = by_failure(layout)
    r = found["nothing failed"]
    assert np.isinf(r.friction_torque).any()
    assert r.ratio.min() <= 0


@pytest.mark.parametrize(
    ("rubs", "ratio"),
    [
        (0.0, [0, 0, math.inf, -math.inf]),
        (0.5, [0, math.nan, 4, -4]),
        (math.inf, [0] * 4),
    ],
)
def test_what_nothing_shuts_has_no_ratio_with_friction_or_without(
    monkeypatch, rubs, ratio
):
    """Nothing, not known, shutting and opening, of friction none, some and endless."""
    lines = lines_of(sprung_hauler(), 4)
    shafts, closing = at_pad(lines)[2], np.array([[0.0, math.nan, 2.0, -2.0]])
    told = closing, np.full((1, 4), rubs), [shafts]
    monkeypatch.setitem(returns.__globals__, "pad_forces", lambda *_, **__: told)
    (r,) = returns(lines.motion, lines=lines, cases=[(INTACT, "throttle")])
    assert np.array_equal(r.ratio, ratio, equal_nan=True)


def test_nothing_failed_comes_first_in_whatever_order_it_is_asked():
    lines = lines_of(with_bearings(sprung_hauler(), 12), 5)
    off = failed("spring", "main")
    asked = [(off, "throttle"), (INTACT, "throttle")]
    one, two = returns(lines.motion, lines=lines, cases=asked, dirt=2.0)
    assert (one.failure, two.failure) == (INTACT, off)
    # Dirt is counted with the failure and not without it.
    whole, spring = returns(lines.motion, lines=lines, cases=asked[::-1], dirt=2.0)
    assert np.array_equal(one.friction_torque, whole.friction_torque)
    assert np.array_equal(two.friction_torque, spring.friction_torque)


def test_a_spring_that_opens_gives_a_negative_ratio():
    layout = with_springs(hauler(), torsion_spring("k", "spindle", 1, 0.0001, 1.0))
    assert np.all(by_failure(layout)["nothing failed"].ratio < 0)


def test_where_pressing_shuts_the_plate_closing_is_pressing():
    layout = with_springs(hauler(opens=-1), torsion_spring("k", "spindle", 1, 0.0001, 1.0))  # fmt: skip
    assembly = assemble(with_bearings(layout, 8))
    lines = force_lines(sweep(assembly, np.linspace(0, 0.05, 11)))
    (r,) = returns(lines.motion, lines=lines, cases=[(INTACT, "throttle")])
    assert np.all(r.closing_torque > 0)
    assert np.all(r.friction_torque > 0)
    assert np.all(r.ratio > 1)


def test_a_plate_that_hardly_opens_is_opened_all_the_same(monkeypatch):
    """By and large over the travel, in each row, however high it is geared."""
    for opening, way in (([0.2, 0.3, -0.1], 1.0), ([-0.2, -0.3, 0.1], -1.0)):
        one = np.array(opening)
        monkeypatch.setitem(returns.__globals__, "per_opening", lambda *_, o=one: o)
        assert _opening_way(None, "throttle") == way
    rows = np.array([[0.2, 0.3, -0.1], [-0.2, math.nan, 0.1]])
    monkeypatch.setitem(returns.__globals__, "per_opening", lambda *_: rows)
    assert np.array_equal(_opening_way(None, "throttle"), [[1.0], [-1.0]])


def test_sources_of_energy():
    main = line_spring("main", "spindle.spring", (194, -100, 130))
    layout = with_springs(
        hauler(),
        main,
        replace(main, name="same hook", anchor=(0.2, -0.1, 0.12)),
        torsion_spring("pedal", "pedal", -1, 2.0, 1.0),
        torsion_spring("opens", "spindle", 1, 0.1, 0.1),
        line_spring("slack", "spindle.lever", (194, -100, 130), free_length=0.3),
    )
    (s,) = sources(lines_of(layout))
    assert s.shutting == ("main", "same hook", "pedal")
    assert [n for n in s.shutting if n in s.spindle] == ["main", "same hook"]


def test_time_to_idle_is_that_of_an_integrator_with_friction():
    """The two integrals over the travel against solve_ivp on the same forces."""
    layout = with_bearings(sprung_hauler(), 16, 0.3)
    assembly = assemble(layout)
    working = working_travel(assembly)
    heavy = inertias(assembly)

    def at(travel):
        motion = sweep(assembly, np.array([travel]))
        lines = force_lines(motion)
        closing, friction, shafts = at_pad(lines)
        mass = sum(heavy[s].value() * lines.first[s][0] ** 2 for s in shafts)
        return float(closing[0] - friction[0]), mass

    def rate(_time, state):
        net, mass = at(state[0])
        step = 1e-6
        slope = (at(state[0] + step)[1] - at(state[0] - step)[1]) / (2 * step)
        return [state[1], (-net - 0.5 * slope * state[1] ** 2) / mass]

    def idle(_time, state):
        return state[0] - working.start

    idle.terminal = True
    run = solve_ivp(
        rate, (0, 1), [working.end, 0.0], events=idle, rtol=1e-8, atol=1e-11
    )
    ours = falls(assembly, working)[0]
    assert ours.time == pytest.approx(float(run.t_events[0][0]), rel=1e-6)
    free = falls(assemble(smooth(sprung_hauler())), working)[0]
    assert free.time < ours.time


def test_falls_with_each_failure_and_with_cold_grease():
    layout = with_bearings(weightless(sprung_hauler()), 14)
    assembly = assemble(layout)
    working = working_travel(assembly)
    warm = {f.failure.text: f for f in falls(assembly, working)}
    assert warm["spring `main` off"].time > warm["nothing failed"].time
    assert warm["rod `last` parted"].time < warm["spring `pedal` off"].time
    assert all(f.estimated for f in warm.values())
    cold = falls(assembly, working, factor=3.0)
    assert all(c.time > w.time for c, w in zip(cold, warm.values(), strict=True))
    assert falls(assemble(layout), replace(working, end=working.start)) == ()


def test_a_plate_that_does_not_come_back_says_where_it_stays():
    layout = with_springs(hauler(), torsion_spring("k", "pedal", -1, 20.0, 0.0))
    assembly = assemble(with_bearings(layout, 14))
    working = working_travel(assembly)
    found = {f.failure.text: f for f in falls(assembly, working)}
    loose = found["rod `last` parted"]
    assert math.isinf(loose.time)
    assert loose.stuck_at == pytest.approx(working.end)


def test_a_plate_that_hangs_part_way():
    # Opens below the middle and shuts above it, so that it cannot reach idle.
    layout = with_springs(
        hauler(),
        torsion_spring("opens", "spindle", 1, 3.0, 2.0),
        torsion_spring("shuts", "spindle", -1, 1e-6, 0.4),
    )
    assembly = assemble(layout)
    working = working_travel(assembly)
    hangs = falls(assembly, working)[0]
    assert math.isinf(hangs.time)
    assert working.start < hangs.stuck_at < working.end


@pytest.mark.parametrize("nodes", [3, 5, 9])
@pytest.mark.parametrize("power", [0, 1, 2, 3])
def test_simpsons_rule_is_exact_for_a_cubic(nodes, power):
    w = np.linspace(0.0, 1.0, nodes)
    whole = (w**power * _simpson(nodes)).sum() * w[1]
    assert whole == pytest.approx(1 / (power + 1), rel=1e-12)


def test_running_integral_is_exact_for_a_quadratic():
    x = np.linspace(0, 2, NODES)
    assert np.allclose(_running(3 * x**2, x[1]), x**3, atol=1e-12)


@pytest.mark.parametrize(
    ("vehicle", "cold", "limit", "factor"),
    [
        ({}, None, 1.0, 1.0),
        ({"mass": 4536.0}, None, 1.0, 1.0),
        ({"mass": 4537.0}, None, 2.0, 1.0),
        ({"mass": 9000.0, "temperature": -18.0}, None, 3.0, 2.0),
        ({"temperature": -17.0}, 5.0, 1.0, 1.0),
        ({"temperature": -40.0}, 3.0, 3.0, 3.0),
    ],
)
def test_limits_of_time_by_weight_and_temperature(vehicle, cold, limit, factor):
    """49 CFR 571.124 S5.3; 1 s and 2 s from memory."""
    layout = hauler(vehicle=Vehicle(**vehicle), cold_factor=cold)
    assert return_limit(layout)[0] == limit
    reason = return_limit(layout)[1]
    assert ("not given" in reason) == (limit == 1.0 and "mass" not in vehicle)
    assert cold_factor(layout) == factor


def test_inertia_given_and_estimated():
    layout = hauler()
    assembly = assemble(layout)
    own = inertias(assembly)
    # Steel flat 20 x 5 mm, two arms of 50 and 76 mm, and a 12 mm bar of 350 mm.
    flat = 7850 * 0.02 * 0.005 / 3 * (0.05**3 + 0.076**3)
    bar = 7850 * math.pi / 4 * 0.012**2 * 0.35 * 0.012**2 / 8
    assert own["cross shaft"].own == pytest.approx(flat + bar)
    assert own["cross shaft"].estimated()
    given = replace(layout.shafts["spindle"], inertia=1e-4)
    rods = {n: replace(r, mass=0.1) for n, r in layout.rods.items()}
    known = replace(layout, shafts={**layout.shafts, "spindle": given}, rods=rods)
    spindle = inertias(assemble(known))["spindle"]
    assert spindle.value() == pytest.approx(1e-4 + 0.05 * 0.034**2)
    assert not spindle.estimated()
    # A rod whose mass is guessed makes an estimate of it, until it is gone.
    guessed = replace(known, rods={n: replace(r, mass=0.0) for n, r in rods.items()})
    spindle = inertias(assemble(guessed))["spindle"]
    assert spindle.estimated()
    assert not spindle.estimated(frozenset({Ref("rod", "last")}))
    assert spindle.estimated(frozenset({Ref("rod", "first")}))
    assert spindle.value(frozenset({Ref("rod", "last")})) == 1e-4
    lever = replace(layout.shafts["spindle"].arms["lever"], mass=0.09)
    arms = {**layout.shafts["spindle"].arms, "lever": lever}
    weighed = replace(layout.shafts["spindle"], arms={"lever": lever, "spring": arms["spring"]})  # fmt: skip
    own = inertias(assemble(replace(layout, shafts={**layout.shafts, "spindle": weighed})))  # fmt: skip
    assert own["spindle"].own == pytest.approx(0.09 * 0.034**2 / 3 + 7850 * 0.02 * 0.005 * 0.03**3 / 3)  # fmt: skip
    # A pad is part of a lever that was weighed, and comes on top of one that was not.
    pads = layout.shafts["pedal"].arms
    just = {"pad": replace(pads["pad"], mass=0.4), "rod": pads["rod"]}
    both = [replace(layout.shafts["pedal"], arms=arms) for arms in (just, pads)]
    weighed, guessed = (inertias(assemble(layout.with_shaft(s)))["pedal"] for s in both)
    rest = 7850 * 0.02 * 0.005 * 0.07**3 / 3
    assert weighed.own == pytest.approx(0.4 * 0.18**2 / 3 + rest)
    lever = 7850 * 0.02 * 0.005 * 0.18**3 / 3
    assert guessed.own == pytest.approx(lever + 0.3 * 0.18**2 + rest)
    plate = replace(layout.main, bore=0.04)
    own = inertias(assemble(replace(layout, throttles={"throttle": plate})))
    disc = 8400 * math.pi / 4 * 0.04**2 * 0.002 * 0.04**2 / 16
    bare = inertias(assembly)["spindle"].own
    assert own["spindle"].own - bare == pytest.approx(disc)


def test_rod_mass_of_tube_and_bar():
    end = hole("a.b")
    tube = Rod(name="t", start=end, end=end, diameter=0.01, bore=0.008, material="aluminium")  # fmt: skip
    assert rod_mass(tube, 0.5) == pytest.approx(2700 * math.pi / 4 * 36e-6 * 0.5)
    assert rod_mass(Rod(name="r", start=end, end=end), 1.0) == pytest.approx(7850 * math.pi / 4 * 36e-6)  # fmt: skip
    assert rod_mass(replace(tube, mass=0.3), 0.5) == 0.3
    assert euler_load(Rod(name="r", start=end, end=end), 1.0) is None


def test_stamped_foot_on_the_full_stop_keeps_the_work_of_the_foot():
    layout = weightless(sprung_hauler())
    assembly = assemble(layout)
    working = working_travel(assembly)
    s = stamped(assembly, working, load=500.0)
    assert not s.by_pedal
    assert s.real is s.plate_stop
    lines = force_lines(sweep(assembly, np.array([working.end])))
    # Virtual work: what the springs do not hold goes to the stop.
    springs = float(at_pad(lines)[0][0])
    lost = (500 - springs) / float(lines.first["spindle"][0])
    assert s.plate_stop.stop_torque == pytest.approx(lost)
    assert s.plate_stop.clamps[Ref("arm", "spindle", "lever")] == pytest.approx(lost + 0.9290809, rel=1e-6)  # fmt: skip
    assert s.plate_stop.clamps[Ref("arm", "pedal", "pad")] == pytest.approx(500 * 0.18)
    one, two = (
        s.plate_stop.clamps[Ref("arm", "cross shaft", a)] for a in ("inner", "outer")
    )
    assert one == pytest.approx(two)
    assert s.taken_by == Ref("full stop", "throttle")
    assert s.pedal_stop.pedal_stop == pytest.approx(500 - springs)
    assert abs(s.pedal_stop.rods["last"]) < abs(s.plate_stop.rods["last"]) / 10


def test_a_stamped_foot_is_taken_where_the_travel_ends():
    """Lines of the whole travel give what those of its end alone give."""
    assembly = assemble(sprung_hauler())
    working = working_travel(assembly)
    whole = force_lines(sweep(assembly, np.linspace(0, working.end, 7)))
    there = force_lines(sweep(assembly, np.array([working.end])))
    one, two = (stamped(assembly, working, lines=lines) for lines in (whole, there))
    for a, b in ((one.plate_stop, two.plate_stop), (one.pedal_stop, two.pedal_stop)):
        assert a.rods == pytest.approx(b.rods, rel=1e-9)
        assert a.clamps == pytest.approx(b.clamps, rel=1e-9)
        assert a.stop_torque == pytest.approx(b.stop_torque, rel=1e-9, abs=1e-12)
        assert a.pedal_stop == pytest.approx(b.pedal_stop, rel=1e-9, abs=1e-12)
    assert one.stiffness == pytest.approx(two.stiffness, rel=1e-9)


@pytest.mark.parametrize("stop_mm", [60, 71.5, 74])
def test_a_pedal_stop_takes_the_foot_before_the_full_stop_or_after(stop_mm):
    """How late it may come is in `test_rules_stamp`."""
    layout = sprung_hauler(pedal={"stop": stop_mm / 1e3})
    assembly = assemble(layout)
    s = stamped(assembly, working_travel(assembly))
    assert s.by_pedal is True
    assert s.load == Limits().stamp_load


def test_euler_load_of_the_trades_rods():
    # Round steel, pin-ended; worked out in the trade's tables as about 300 N
    # and 620 N with 200 GPa (common practice, no source).
    end = hole("a.b")
    for d_mm, length, about in ((5, 0.45, 300), (6, 0.45, 620), (8, 0.6, 1100)):
        rod = Rod(name="r", start=end, end=end, diameter=d_mm / 1e3)
        assert euler_load(rod, length) == pytest.approx(about, rel=0.1)


def test_failure_names():
    assert failed("spring", "a").text == "spring `a` off"
