"""A pedal and a hand lever on one spindle against a solve of springs, stops and contact.

Random planar layouts: a rod with a slot from each input to the spindle, in holes of their
own. The other solve knows pivots, arms and slots alone: at every place of the inputs the
springs store as little as they can while no pin passes an end of its slot and nothing
passes its stop. What waits is held at home by a weak spring of its own, or by the hand or
foot that has it where it is.

No code of the package but the layout read as data, and what is asked of it.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize

from linkage.errors import LinkageError
from linkage.model import Hand
from linkage.motion import assemble, sweep
from linkage.motion.by_hand import by_hand
from tests.build import arm, rod, shaft, tree

SEEDS = range(10)
#: Travel of pad and hand lever, and the radius of both. [m]
TRAVEL, RADIUS = 0.05, 0.2
#: Springs of the spindle and of what waits: torque at rest and rate. [N·m], [N·m/rad]
STRONG, WEAK = (0.4, 0.3), (0.001, 0.001)


def drawn(rng, *, short):
    """Return the sizes of the next layout: pivots, arms, slots and what they lose."""
    sizes = {"spindle": (np.zeros(2), {})}
    for name in ("pedal", "hand"):
        way = rng.uniform(-math.pi, math.pi)
        pivot = rng.uniform(0.25, 0.4) * np.array([math.cos(way), math.sin(way)])
        own = (rng.uniform(0.06, 0.11), rng.uniform(-180, 180))
        sizes[name] = (pivot, {"rod": own})
        there = (rng.uniform(0.03, 0.05), rng.uniform(-180, 180))
        sizes["spindle"][1][name] = there
    slots = {
        name: (
            rng.uniform(0.004, 0.012) if short else 0.09,
            rng.uniform(0.0, 0.003),
        )
        for name in ("pedal", "hand")
    }
    return sizes, slots


def layout_of(sizes, slots, pulls, opens):
    shafts, rods = [], []
    for name, (pivot, arms) in sizes.items():
        made = [arm("end", 1e3 * RADIUS, 0)] if name != "spindle" else []
        made += [arm(n, 1e3 * size, angle) for n, (size, angle) in arms.items()]
        shafts.append(shaft(name, (1e3 * pivot[0], 0, 1e3 * pivot[1]), "across", *made))
    for name, (slot, lost) in slots.items():
        rods.append(rod(name, f"{name}.rod", f"spindle.{name}", slot=slot, lost=lost))
    pedal, hand, spindle = shafts[1], shafts[2], shafts[0]
    pedal = replace(
        pedal,
        arms={**pedal.arms, "pad": replace(pedal.arms["end"], name="pad")},
    )
    plain = tree([pedal, hand, spindle], rods, travel_mm=1e3 * TRAVEL, opens=opens)
    lever = Hand(shaft="hand", lever="end", travel=TRAVEL, pulls=pulls)
    return replace(plain, hand=lever)


def sides(layout):
    """Return a layout put together as the foot and as the hand sees it."""
    one = assemble(layout)
    return one, assemble(by_hand(one))


def sound(seed, *, short=False):
    """Return the first layout of a seed that both inputs open well, and its sizes."""
    rng = np.random.default_rng(seed)
    pads = np.linspace(0, TRAVEL, 21)
    while True:
        sizes, slots = drawn(rng, short=short)
        for pulls in (1, -1):
            try:
                layout = layout_of(sizes, slots, pulls, 1)
                turns = [sweep(a, pads).turns["spindle"] for a in sides(layout)]
            except LinkageError:
                continue
            ends = [t[-1] for t in turns]
            if np.isnan(turns).any() or ends[0] * ends[1] <= 0:
                continue
            if not all(0.15 < abs(end) < 1.2 for end in ends):
                continue
            if any((np.diff(abs(t)) < -1e-9).any() for t in turns):
                continue
            opens = int(np.sign(ends[0]))
            return (sizes, slots), layout_of(sizes, slots, pulls, opens)


class Solve:
    """The other solve: spindle and what waits, by energy and contact."""

    def __init__(self, made, layout) -> None:
        self.sizes, self.slots = made
        self.opens = layout.main.opens
        self.way = {"pedal": layout.pedal.presses, "hand": layout.hand.pulls}
        self.reach = {}
        for name, (slot, lost) in self.slots.items():
            # It pulls where its input, taken a little on, takes the pins apart.
            rest = self.apart(name, 0.0, 0.0)
            step = self.apart(name, 1e-5 * self.way[name], 0.0) - rest
            far = rest + math.copysign(lost, step)
            near = far - math.copysign(slot, step)
            self.reach[name] = (min(near, far), max(near, far))

    def pin(self, shaft, hole, turn):
        pivot, arms = self.sizes[shaft]
        size, angle = arms[hole]
        angle = math.radians(angle) + turn
        return pivot + size * np.array([math.cos(angle), math.sin(angle)])

    def apart(self, name, turn, spindle):
        gap = self.pin(name, "rod", turn) - self.pin("spindle", name, spindle)
        return math.hypot(*gap)

    def in_slot(self, name, turn, spindle):
        low, high = self.reach[name]
        apart = self.apart(name, turn, spindle)
        return [1e2 * (apart - low), 1e2 * (high - apart)]

    @staticmethod
    def stored(spring, turn):
        return spring[0] * turn + spring[1] * turn**2 / 2

    def both_held(self, pedal, hand, start):
        """Return the spindle's opening with both inputs held where they are. [rad]."""

        def rules(x):
            spindle = self.opens * x[0]
            held = {"pedal": pedal, "hand": hand}
            inside = [
                v for n in held for v in self.in_slot(n, self.way[n] * held[n], spindle)
            ]
            return [*inside, x[0]]

        return self._least(lambda x: self.stored(STRONG, x[0]), rules, [start])[0]

    def one_free(self, name, turn, start):
        """Return the openings of spindle and other input, with one held. [rad]."""
        other = "hand" if name == "pedal" else "pedal"

        def rules(x):
            spindle = self.opens * x[0]
            return [
                *self.in_slot(name, self.way[name] * turn, spindle),
                *self.in_slot(other, self.way[other] * x[1], spindle),
                *x,
            ]

        def energy(x):
            return self.stored(STRONG, x[0]) + self.stored(WEAK, x[1])

        return self._least(energy, rules, start)

    @staticmethod
    def _least(energy, rules, start):
        found = minimize(
            energy, start, method="SLSQP", constraints=[{"type": "ineq", "fun": rules}],
            options={"ftol": 1e-15, "maxiter": 400},
        )  # fmt: skip
        return found.x


@pytest.mark.parametrize("seed", SEEDS)
def test_with_both_part_way_the_plate_is_where_either_would_have_it_that_opens_more(
    seed,
):
    made, layout = sound(seed)
    other = Solve(made, layout)
    pads = np.linspace(0, TRAVEL, 9)
    foot, hand = (sweep(a, pads).opening("throttle") for a in sides(layout))
    for j, held in enumerate(pads):
        start = 0.0
        for i, pad in enumerate(pads):
            start = other.both_held(pad / RADIUS, held / RADIUS, start)
            assert start == pytest.approx(max(foot[i], hand[j]), abs=3e-6)
    assert foot[-1] > 0.1
    assert hand[-1] > 0.1


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("short", [False, True])
@pytest.mark.parametrize("name", ["pedal", "hand"])
def test_what_waits_stays_at_home_until_its_slot_is_used_up(seed, short, name):
    made, layout = sound(seed, short=short)
    other = Solve(made, layout)
    waits = "hand" if name == "pedal" else "pedal"
    pads = np.linspace(0, TRAVEL, 41)
    motion = sweep(sides(layout)[name == "hand"], pads)
    ours = np.abs(motion.turns[waits])
    found = [np.zeros(2)]
    for pad in pads[1:]:
        found.append(other.one_free(name, pad / RADIUS, found[-1]))
    theirs = np.array(found)
    np.testing.assert_allclose(motion.opening("throttle"), theirs[:, 0], atol=3e-6)
    np.testing.assert_allclose(ours, theirs[:, 1], atol=2e-5)
    if not short:
        assert (ours == 0).all()


def test_there_are_layouts_in_which_each_drags_the_other():
    pads = np.linspace(0, TRAVEL, 11)
    for i, waits in enumerate(("hand", "pedal")):
        far = [
            np.abs(sweep(sides(sound(seed, short=True)[1])[i], pads).turns[waits][-1])
            for seed in SEEDS
        ]
        assert sum(turn > 0.02 for turn in far) >= 3
