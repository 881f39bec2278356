"""Growth against a handbook's sum, against solving anew, and against the derivatives.

The reference knows points, radii and angles alone, in mpmath's numbers: it lets them grow
by its own few lines and turns each driven arm until its rod is as long as it has grown to.
Nothing of `motion` is in it but where it begins to look.
"""

from __future__ import annotations

import math
from dataclasses import replace

import mpmath
import numpy as np
import pytest

from linkage.model import Cable, Heat, Stop
from linkage.model.heat import EXPANSION, HOT, PARTS
from linkage.model.refs import Ref
from linkage.motion import assemble, frame, sweep, working_travel
from linkage.motion.grown import Growth, grown
from linkage.motion.sweep import pads
from linkage.motion.tangent import carried
from tests.unit.edits import edited

#: Layouts of rods and of a cable between bare arms, some of it on the engine.
CHAINS = (
    "hanging-pedal",
    "bulkhead-cross-shaft",
    "quarter-turn",
    "twin-side-draught",
    "push-pull-cable",
)
HELD = (0.31, 0.04, -0.17)
SEAT = (0.27, -0.06, 0.09)
#: By part, hot on a cold day and some: no two alike, so that none goes for another. [°C]
WARM = {"body": -7.0, "block": 91.0, "manifold": 124.0, "rods": 33.0}
SET_AT = 18.0


def told(name, **more):
    """Return a shipped layout of which everything of heat is told."""
    layout = edited(name)
    heat = Heat(
        held=HELD,
        block="cast iron",
        manifold="aluminium",
        seat=SEAT,
        set_at=SET_AT,
        **more,
    )
    return replace(layout, heat=heat)


class Reference:
    """A layout in mpmath's numbers, grown where it is warm."""

    def __init__(self, layout, warm):
        self.layout, self.warm = layout, warm

    def grow(self, part, material):
        """Return 1 + α ΔT."""
        if self.warm is None:
            return mpmath.mpf(1)
        alpha = mpmath.mpf(EXPANSION[material])
        return 1 + alpha * (mpmath.mpf(self.warm[part]) - mpmath.mpf(SET_AT))

    def part(self, shaft):
        if shaft not in self.layout.engine.carries:
            return "body"
        return "manifold" if shaft in self.plates() else "block"

    def plates(self):
        named = self.layout.heat.carries
        return set(named or (t.shaft for t in self.layout.throttles.values()))

    def at(self, part, point):
        held, seat = (mpmath.matrix([mpmath.mpf(c) for c in p]) for p in (HELD, SEAT))
        point = mpmath.matrix([mpmath.mpf(float(c)) for c in point])
        if part == "body":
            return held + (point - held) * self.grow("body", "steel")
        if part == "block":
            return held + (point - held) * self.grow("block", "cast iron")
        there = held + (seat - held) * self.grow("block", "cast iron")
        return there + (point - seat) * self.grow("manifold", "aluminium")

    def pin(self, hole, turn):
        shaft = self.layout.shafts[hole.shaft]
        arm, part = shaft.arms[hole.arm], self.part(hole.shaft)
        material = {"body": "steel", "block": "cast iron", "manifold": "aluminium"}
        by = self.grow(part, material[part])
        u, v, n = (
            mpmath.matrix([mpmath.mpf(float(c)) for c in w])
            for w in (shaft.axis.u, shaft.axis.v, shaft.axis.n)
        )
        angle = mpmath.mpf(arm.angle) + turn
        ray = (u * mpmath.cos(angle) + v * mpmath.sin(angle)) * mpmath.mpf(arm.length)
        return self.at(part, shaft.pivot) + (ray + n * mpmath.mpf(arm.offset)) * by

    def size(self, link, one, two):
        """Return how far pins are apart, or how much wire both ends need."""
        rod = link.rod
        first, second = self.pin(link.driver, one), self.pin(link.driven, two)
        if not isinstance(rod, Cable):
            return mpmath.norm(first - second)
        ends = []
        for end, hole in zip(rod.ends, (rod.start, rod.end), strict=True):
            part = "body"
            if end.on == "engine":
                part = "manifold" if hole.shaft in self.plates() else "block"
            ends.append(self.at(part, end.point))
        if link.driver != rod.start:
            ends.reverse()
        return mpmath.norm(first - ends[0]) + mpmath.norm(second - ends[1])

    def turns(self, pad, near, cold):
        """Return the turn of every shaft with the pad pressed so far."""
        pedal = self.layout.pedal
        radius = self.layout.shafts[pedal.shaft].arms[pedal.pad].length
        turns = {
            pedal.shaft: pedal.presses * mpmath.mpf(float(pad)) / mpmath.mpf(radius)
        }
        for link in self.layout.links:
            material = getattr(link.rod, "material", "steel") or "steel"
            long = cold.size(link, mpmath.mpf(0), mpmath.mpf(0))
            long *= self.grow("rods", material)
            one, begin = turns[link.driver.shaft], near[link.driven.shaft]

            def off(two, *, link=link, one=one, long=long):
                return self.size(link, one, two) - long

            begins = (begin, begin + mpmath.mpf("1e-6"))
            turns[link.driven.shaft] = mpmath.findroot(off, begins)
        return turns


@pytest.mark.parametrize(
    ("name", "on"),
    [*((name, None) for name in CHAINS), ("push-pull-cable", ("reversing", "spindle"))],
)
def test_every_shaft_of_a_grown_layout_is_where_the_reference_turns_it(name, on):
    layout = told(name, carries=on)
    rest = assemble(layout)
    warm = grown(rest, WARM)
    # The pad's arc is as much longer as its radius has grown.
    by = warm.layout.pad_radius / layout.pad_radius
    pad = 0.6 * working_travel(rest).end
    motion = sweep(warm, [0.0, pad * by])
    with mpmath.workdps(40):
        for k, travel in enumerate((0.0, pad)):
            near = {s: float(t[k]) for s, t in motion.turns.items()}
            found = Reference(layout, WARM).turns(travel, near, Reference(layout, None))
            loose = {k.driven.shaft for k in layout.links if k.rod.loose}
            assert len({*found} - loose) > 1
            for shaft, turn in found.items():
                if shaft in loose:
                    continue  # slack at rest
                assert near[shaft] == pytest.approx(float(turn), abs=1e-11), shaft
    main = layout.main.name
    assert abs(float(motion.opening(main)[0])) > 1e-4  # it did grow


@pytest.mark.parametrize("play", [0.4e-3, 2.5e-3])
def test_free_play_is_used_up_before_the_plate_is_held_open(play):
    """Pushed back by it, the reference's plate is on its stop or off it as far."""
    plain = told("hanging-pedal")
    layout = replace(plain, pedal=replace(plain.pedal, free_play=play))
    warm = grown(assemble(layout), WARM)
    main = layout.main
    with mpmath.workdps(40):
        near = {s: float(np.ravel(t)[0]) for s, t in sweep(warm, [0.0]).turns.items()}
        near["pedal"] = -layout.pedal.presses * play / layout.pad_radius
        found = Reference(layout, WARM).turns(-play, near, Reference(layout, None))
    asked = main.opens * float(found[main.shaft])
    assert (asked > 0) == (play < 1e-3)
    working = working_travel(warm)
    assert working.opening_at_rest[main.name] == pytest.approx(asked, abs=1e-11)
    held = working.opening_at_start[main.name]
    assert held == pytest.approx(max(asked, 0.0), abs=1e-9)


@pytest.mark.parametrize(
    "name",
    [
        "hanging-pedal",
        "bulkhead-cross-shaft",
        "cable-drum",
        "hand-and-foot",
        "crossbar-twin",
        "slide-to-pump",
    ],
)
@pytest.mark.parametrize("play", [0.0, 2e-3])
def test_as_warm_as_when_it_was_set_it_is_what_it_was(name, play):
    """Given back its free play it goes on to the very same end, by a pedal's stop too."""
    plain = told(name)
    pedal = plain.pedal
    stop = Stop(name="bracket", shaft=pedal.shaft, turn=pedal.presses * 0.15)
    for stops in ({}, {"bracket": stop}):
        layout = replace(
            plain, pedal=replace(pedal, free_play=play), stops={**plain.stops, **stops}
        )
        rest = assemble(layout)
        again = grown(rest, dict.fromkeys(PARTS, SET_AT))
        was, now = working_travel(rest), working_travel(again)
        assert (was.stopped_by == Ref("stop", "bracket")) == bool(stops)
        assert now.stopped_by == was.stopped_by
        assert now.end == pytest.approx(was.end, abs=1e-8)
        for throttle, opening in was.opening_at_end.items():
            assert now.opening_at_end[throttle] == pytest.approx(opening, abs=1e-7)


def test_three_hundred_millimetres_of_aluminium_by_a_handbook():
    """ΔL = α L ΔT: 23 µm/m·K over 300 mm and 80 K make 0.552 mm.

    The coefficient of aluminium, 23 to 24e-6 a kelvin, is from tables of thermal
    expansion (Machinery's Handbook; CRC Handbook of Chemistry and Physics), from memory.
    """
    heat = Heat(held=(0.0, 0.0, 0.0), block="aluminium", set_at=20.0)
    growth = Growth(heat, dict.fromkeys(PARTS, 100.0))
    x, y, z = growth.at("block", (0.3, 0.0, -0.1))
    assert 1e3 * (x - 0.3) == pytest.approx(0.552, abs=5e-4)
    assert (y, 1e3 * (z + 0.1)) == (0.0, pytest.approx(-0.184, abs=5e-4))


def test_a_rod_of_steel_in_front_of_it_by_the_same_sum():
    """A 300 mm steel rod 40 K warmer: 11.7e-6 x 0.3 x 40 is 0.1404 mm."""
    layout = edited("hanging-pedal")
    layout = replace(layout, heat=Heat(held=(0, 0, 0), block="cast iron"))
    rest = assemble(layout)
    warm = grown(rest, {**dict.fromkeys(PARTS, 20.0), "rods": 60.0})
    name = next(iter(layout.rods))
    was, now = (a.loop(name).length for a in (rest, warm))
    assert 1e3 * (now - was) == pytest.approx(1e3 * 0.468e-3 * was, rel=1e-9)


@pytest.mark.parametrize("to", [-40.0, 130.0])
@pytest.mark.parametrize(
    "name",
    [*CHAINS, "cable-drum", "slide-to-pump", "kickdown-branch", "progressive-row"],
)
def test_one_material_equally_warm_turns_no_shaft(name, to):
    """A vehicle that only gets larger is the same: a law, whatever it consists of."""
    layout = edited(name)
    steel = {
        n: r if isinstance(r, Cable) else replace(r, material="steel")
        for n, r in layout.rods.items()
    }
    heat = Heat(held=HELD, block="steel", manifold="steel", seat=SEAT)
    layout = replace(layout, rods=steel, heat=heat, stops={})
    # A slot, and what is lost in it, are a hundredth of what they stand in.
    loose = any(rod.loose for rod in steel.values())
    rest = assemble(layout)
    warm = grown(rest, dict.fromkeys(PARTS, to))
    by = warm.layout.pad_radius / layout.pad_radius
    places = np.linspace(0, 0.9, 5) * working_travel(rest).end
    was, now = sweep(rest, places), sweep(warm, places * by)
    for shaft in layout.shafts:
        size = by if layout.shafts[shaft].slides else 1.0  # a way is a length
        far = np.abs(now.turns[shaft] / size - was.turns[shaft]).max()
        assert far < (2e-3 if loose else 1e-9), shaft
    if not loose:
        ends = (working_travel(a).opening_at_end for a in (rest, warm))
        for one, two in zip(*(end.values() for end in ends), strict=True):
            assert one == pytest.approx(two, abs=1e-7)
        end, stop = (a.layout.pedal.end for a in (rest, warm))
        assert stop == pytest.approx(end * by)
        assert warm.layout.pedal.travel == pytest.approx(layout.pedal.travel * by)


def test_a_slide_grows_with_its_guide_and_its_pins_stay_on_it():
    layout = told("slide-to-pump")
    slide = grown(assemble(layout), WARM).layout.shafts["bar"]
    was = layout.shafts["bar"]
    assert slide.guided != was.guided
    one, two = (np.array(end) for end in slide.guide)
    assert np.linalg.norm(two - one) == pytest.approx(slide.guided, abs=1e-12)
    assert slide.pivot == slide.guide[0]
    for pin in slide.arms:
        assert slide.points[pin] == pytest.approx(slide.pin(pin), abs=1e-12)


def test_a_sheath_is_as_much_longer_as_its_wire():
    layout = told("push-pull-cable")
    rest = assemble(layout)
    cable = grown(rest, WARM).layout.rods["main"]
    by = 1 + EXPANSION["steel"] * (WARM["rods"] - SET_AT)
    assert cable.sheath_length == pytest.approx(layout.rods["main"].sheathed * by)
    assert cable.length == pytest.approx(rest.loop("main").length * by)


@pytest.mark.parametrize(
    "name", ["hanging-pedal", "bulkhead-cross-shaft", "quarter-turn"]
)
def test_to_first_order_it_is_what_the_derivatives_say(name):
    """Every number that grows, times what a unit of it does by the derived partials."""
    layout = told(name)
    rest = assemble(layout)
    main = layout.main
    half = {p: SET_AT + (t - SET_AT) / 100 for p, t in WARM.items()}
    warm = grown(rest, half)
    end = 0.6 * working_travel(rest).end
    still = frame(sweep(rest, pads(0.0, end)))
    growth = Growth(layout.heat, half)
    first = np.zeros(2)
    fixed = replace(
        layout,
        rods={
            n: replace(r, length=rest.loop(n).length) for n, r in layout.rods.items()
        },
    )
    still = frame(sweep(assemble(fixed), pads(0.0, end)))

    def does(path, by):
        slope = carried(still, path, set_again=False)[main.shaft]
        return by * np.broadcast_to(slope, (2,))

    for shaft in fixed.shafts.values():
        now = warm.layout.shafts[shaft.name]
        for i in range(3):
            by = now.pivot[i] - shaft.pivot[i]
            first += does(("shafts", shaft.name, "pivot", i), by)
        for arm in shaft.arms.values():
            path = ("shafts", shaft.name, "arms", arm.name)
            first += does((*path, "length"), now.arms[arm.name].length - arm.length)
            first += does((*path, "offset"), now.arms[arm.name].offset - arm.offset)
    for n, rod in fixed.rods.items():
        first += does(("rods", n, "length"), warm.layout.rods[n].length - rod.length)
    # The pad's own radius is counted among the arms, its travel as it was.
    turned = sweep(warm, pads(0.0, end)).turns[main.shaft]
    exact = turned - sweep(rest, pads(0.0, end)).turns[main.shaft]
    assert growth.strain("manifold") > 1e-5
    np.testing.assert_allclose(first, exact, rtol=5e-3, atol=1e-8)
    assert np.abs(exact).max() > 5e-6


def test_arms_of_another_material_than_their_shaft_stands_on_hardly_matter():
    """What the decision says: 0.03 mm of radius, hardly anything at the plate."""
    by = (EXPANSION["aluminium"] - EXPANSION["steel"]) * (HOT["manifold"] - 20.0)
    assert 0.034 * by < 0.035e-3
    layout = told("hanging-pedal")
    warm = grown(assemble(layout), WARM)
    spindle = warm.layout.shafts["spindle"]
    lever = spindle.arms["lever"]
    steel = replace(lever, length=lever.length * (1 - by), offset=lever.offset)
    other = replace(
        warm.layout,
        shafts={**warm.layout.shafts, "spindle": spindle.with_arm(steel)},
    )
    far = assemble(other).rest["spindle"] - warm.rest["spindle"]
    assert abs(math.degrees(far)) < 0.06
