"""Forces of cables against one system of all equations of equilibrium (`wire_balance`).

Levers and drums on shafts that lie any way, their sheaths in the planes of their arms, and
points through which those go. Not here: where they stand (`test_cables`).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from linkage.forces.balance import balanced
from linkage.forces.lines import force_lines
from linkage.forces.statics import statics
from linkage.model.rows import stack
from linkage.motion import assemble, sweep
from tests.independent.random_wires import PAIRS, RADIUS, TRAVEL, Case, case, push_pull
from tests.independent.wire_balance import Balance
from tests.sprung import torsion_spring, weightless, with_springs

#: Where the cable drives, whatever hangs loose.
PADS = np.linspace(0.3, 0.95, 5) * TRAVEL
SEEDS = range(5)
LEVERS = PAIRS[0]
PRESSED = ("pad_force_pressing", "pad_force_releasing")


def rubbing(found: Case, rng, *, springs=(0.8, 0.5, 0.5, 0.3)) -> Case:
    """Return a case with bearings, nipples and sheath that rub, and springs that shut."""
    layout = weightless(found.layout)
    shafts = {}
    for name, s in layout.shafts.items():
        two = sorted(rng.uniform(-0.09, 0.09, 2))
        shafts[name] = replace(
            s,
            bearing=rng.uniform(6e-3, 16e-3),
            friction=rng.uniform(0.05, 0.3),
            drag=float(rng.choice([0.0, 0.03])),
            bearings=(two[0], two[1] + 0.02),
        )
    cable = layout.rods["wire"]
    one, two = (np.array(end.point) for end in cable.ends)
    count = int(rng.integers(0, 3))
    through = [one + (two - one) * (k + 1) / (count + 1) + rng.normal(size=3) * 0.03 for k in range(count)]  # fmt: skip
    cable = replace(
        cable,
        through=tuple(tuple(float(x) for x in point) for point in through),
        sheath_friction=rng.uniform(0.05, 0.2),
        joint_friction=rng.uniform(0.05, 0.3),
        joint_diameter=rng.uniform(4e-3, 9e-3),
    )
    presses, opens = layout.pedal.presses, layout.main.opens
    torque, rate, pedal_torque, pedal_rate = springs
    both = (
        torsion_spring("pedal", "pedal", -presses, pedal_rate, pedal_torque),
        torsion_spring("spindle", "spindle", -opens, rate, torque),
    )
    layout = with_springs(replace(layout, shafts=shafts, rods={"wire": cable}), *both)
    return replace(found, layout=layout)


def smoothed(found: Case) -> Case:
    layout = found.layout
    shafts = {n: replace(s, friction=0.0, drag=0.0) for n, s in layout.shafts.items()}
    cable = replace(layout.rods["wire"], sheath_friction=0.0, joint_friction=0.0)
    return replace(found, layout=replace(layout, shafts=shafts, rods={"wire": cable}))


def pushed(found: Case) -> Case:
    """Return a push-pull cable that pressing pushes: both shafts turn the other way."""
    found = push_pull(found)
    pedal = replace(found.layout.pedal, presses=-found.layout.pedal.presses)
    main = found.layout.main
    throttles = {main.name: replace(main, opens=-main.opens)}
    return replace(
        found, layout=replace(found.layout, pedal=pedal, throttles=throttles)
    )


@cache
def pull_case(kinds, seed: int) -> Case:
    rng = np.random.default_rng(100 + seed)
    return rubbing(case(seed, kinds, tilted=False), rng)


@cache
def push_case(seed: int) -> Case:
    rng = np.random.default_rng(200 + seed)
    return rubbing(pushed(case(seed, LEVERS, tilted=False)), rng)


def compare(found: Case, pads) -> list[float]:
    """Hold foot and pull to the other balance; return what friction costs the foot."""
    s = statics(sweep(assemble(found.layout), pads))
    costs = []
    for k, pad in enumerate(pads):
        balance = Balance(found, float(pad))
        for sense, foot, pulls in (
            (1, s.pad_force_pressing, s.rod_pressing),
            (-1, s.pad_force_releasing, s.rod_releasing),
            (0, s.pad_force, None),
        ):
            theirs = balance.solved(sense)
            assert foot[k] == pytest.approx(theirs.foot, rel=1e-5)
            if pulls is not None:
                assert pulls["wire"][k] == pytest.approx(theirs.pull, rel=1e-5)
        costs.append(s.pad_force_pressing[k] / s.pad_force_releasing[k])
    return costs


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kinds", PAIRS[:4], ids="-".join)
def test_the_foot_feels_what_all_equations_of_equilibrium_say(kinds, seed):
    costs = compare(pull_case(kinds, seed), PADS)
    assert min(costs) > 1.03


@pytest.mark.parametrize("seed", SEEDS)
def test_a_push_pull_cable_that_pushes_is_held_the_same_way(seed):
    found = push_case(seed)
    pads = np.linspace(0.02, 0.3, 4) * TRAVEL
    assert min(compare(found, pads)) > 1.03
    s = statics(sweep(assemble(found.layout), pads))
    assert (s.rod_pressing["wire"] < 0).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_held_at_the_spindle_the_pedals_spring_reaches_it_through_the_sheath(seed):
    """The foot is off; what the spindle must be held with, by either way it moves."""
    found = push_case(seed)
    pads = np.linspace(0.02, 0.3, 4) * TRAVEL
    lines = force_lines(sweep(assemble(found.layout), pads))
    for sense in (1, -1):
        ours = balanced(lines, sense).held("spindle")
        theirs = [Balance(found, float(p), hold=True).solved(sense).foot for p in pads]
        np.testing.assert_allclose(ours, theirs, rtol=1e-5)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("push", [False, True], ids=["pulled", "pushed"])
def test_round_a_loop_the_foot_loses_what_bearings_nipples_and_sheath_take(push, seed):
    found = push_case(seed) if push else pull_case(PAIRS[seed % 4], seed)
    pads = np.linspace(0.02, 0.3, 7) * TRAVEL if push else PADS
    s = statics(sweep(assemble(found.layout), pads))
    loop = np.trapezoid(s.pad_force_pressing - s.pad_force_releasing, pads)
    lost = [sum(Balance(found, float(p)).solved(k).lost for k in (1, -1)) for p in pads]
    assert loop == pytest.approx(np.trapezoid(lost, pads), rel=1e-5)
    # Of all that is lost, the sheath's part alone: it is no small one.
    slippery = replace(found.layout.rods["wire"], sheath_friction=0.0)
    freed = replace(found.layout, rods={"wire": slippery})
    bare = statics(sweep(assemble(freed), pads))
    rest = np.trapezoid(bare.pad_force_pressing - bare.pad_force_releasing, pads)
    assert rest < 0.95 * loop


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kinds", PAIRS[:6], ids="-".join)
def test_without_friction_the_foot_does_the_work_of_the_springs(kinds, seed):
    """Snails and sheaths aside of the drum too; torques by hand, turns by differences."""
    rng = np.random.default_rng(seed)
    found = smoothed(rubbing(case(seed, kinds), rng))
    s = statics(sweep(assemble(found.layout), PADS))
    step = 1e-7
    turns = [sweep(assemble(found.layout), PADS + d).turns for d in (-step, 0.0, step)]
    work = np.zeros(len(PADS))
    for name, spring in found.layout.springs.items():
        known = spring.known
        torque = known.shuts * known.preload - known.rate * turns[1][name]
        work -= torque * (turns[2][name] - turns[0][name]) / (2 * step)
    np.testing.assert_allclose(s.pad_force, work, rtol=1e-6)
    np.testing.assert_allclose(s.pad_force_pressing, work, rtol=1e-6)
    np.testing.assert_allclose(s.pad_force_releasing, work, rtol=1e-6)


def test_where_it_is_slack_a_cable_carries_nothing_and_its_sheath_takes_nothing():
    found = pull_case(LEVERS, 0)
    cable = replace(found.layout.rods["wire"], lost=4e-3)
    layout = replace(found.layout, rods={"wire": cable})
    pads = np.array([0.0, 1e-3, TRAVEL])
    s = statics(sweep(assemble(layout), pads))
    np.testing.assert_array_equal(s.rod_pressing["wire"][:2], 0)
    assert s.rod_pressing["wire"][2] > 5
    known = found.layout.springs["pedal"].known
    near = known.preload / RADIUS
    assert (np.abs(s.pad_force[:2] - near) < 0.1 * near).all()


def _bent(found: Case, rng):
    """Return layouts that differ in the points and friction of their sheath alone."""
    out = []
    for _ in range(5):
        cable = found.layout.rods["wire"]
        points = [tuple(x + rng.uniform(-0.04, 0.04) for x in p) for p in [cable.ends[0].point] * 2]  # fmt: skip
        cable = replace(cable, through=tuple(points), sheath_friction=rng.uniform(0, 0.3))  # fmt: skip
        out.append(replace(found.layout, rods={"wire": cable}))
    return out


@pytest.mark.parametrize("what", ["points", "bend", "friction"])
def test_rows_that_differ_in_their_sheath_alone_are_what_each_is_alone(what):
    layouts = _bent(pull_case(PAIRS[1], 1), np.random.default_rng(4))
    first = layouts[0].rods["wire"]
    for i, layout in enumerate(layouts):
        cable = layout.rods["wire"]
        if what == "points":
            cable = replace(cable, sheath_friction=first.sheath_friction)
        elif what == "bend":
            cable = replace(first, through=(), bend=0.5 + 0.4 * i)
        else:
            cable = replace(first, sheath_friction=cable.sheath_friction)
        layouts[i] = replace(layout, rods={"wire": cable})
    together = statics(sweep(assemble(stack(layouts)), PADS))
    alone = [statics(sweep(assemble(layout), PADS)) for layout in layouts]
    for name in PRESSED:
        np.testing.assert_allclose(
            getattr(together, name), [getattr(s, name) for s in alone], rtol=1e-12
        )
    assert np.ptp(together.pad_force_pressing[:, 0]) > 0.1
