"""Random cables between two shafts that lie any way in space: levers, drums, snails.

Not here: their taut wires (`wires`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from linkage.errors import LinkageError
from linkage.model import Arm, Cable, Hole, Layout, SheathEnd
from linkage.motion import assemble, frame, sweep
from tests.build import arm, axis_of, random_basis, shaft, tree
from tests.independent.wires import End, Wire

#: Kinds of arm at driver and driven end.
PAIRS = (
    ("lever", "lever"),
    ("lever", "drum"),
    ("drum", "lever"),
    ("drum", "drum"),
    ("lever", "snail"),
    ("snail", "drum"),
    ("lever", "hollow"),
)
#: Pad travel and radius of the pad. [m]
TRAVEL, RADIUS = 0.06, 0.2


@dataclass
class Case:
    """A layout, and what the other reckoning knows of it."""

    layout: Layout
    wire: Wire
    kinds: tuple[str, str]

    @property
    def turns(self) -> float:
        """Sense in which pressing turns the pedal."""
        return self.layout.pedal.presses

    def pedal(self, pads: np.ndarray) -> np.ndarray:
        return self.turns * pads / RADIUS


def _rim(rng, kind: str, radius: float) -> tuple[tuple[float, float], ...]:
    if kind == "drum":
        return ()
    turns = np.radians([0, 40, 85, 140, 200, 260])
    radii = radius * np.cumprod([1, *rng.uniform(1.0, 1.18, 5)])
    if kind == "hollow":
        radii[2] *= 0.8  # the wire bridges it
    if rng.random() < 0.5 and kind == "snail":
        radii = radius * np.cumprod([1, *rng.uniform(0.88, 0.99, 5)])
    return tuple((float(t), float(r)) for t, r in zip(turns, radii, strict=True))


def _end(rng, name: str, kind: str, tilted: bool, driver: bool):
    """Return a shaft with a pad, one arm, the sheath's end, and the pull's sense."""
    basis = random_basis(rng)
    radius = rng.uniform(60, 100) if driver else rng.uniform(22, 40)
    if driver and kind != "lever":
        radius = rng.uniform(25, 45)
    angle, offset = rng.uniform(-180, 180), rng.uniform(-60, 60)
    sense = int(rng.choice([1, -1]))
    one = arm("wire", radius, angle, offset)
    pad = arm("pad", 1e3 * RADIUS, angle + 40)
    built = shaft(name, rng.uniform(-300, 300, 3), axis_of(basis), pad, one)
    u, v, n = basis
    centre = np.array(built.centre("wire"))
    if kind == "lever":
        # About square to the arm in mid travel: ahead in the sense of the pull.
        pin = np.array(built.pin("wire"))
        lean = math.radians(angle) + sense * math.radians(90 - rng.uniform(-5, 40) * (1 if not driver else -0.3))  # fmt: skip
        way = u * math.cos(lean) + v * math.sin(lean)
        point = pin + rng.uniform(0.05, 0.15) * way
        ahead = 0.0
    else:
        rim = _rim(rng, kind, radius / 1e3)
        one = replace(one, wound=sense, rim=rim)
        built = replace(built, arms={"pad": pad, "wire": one})
        # A driver winds on from little, a driven drum is wound and gives it back.
        ahead = rng.uniform(1.6, 2.6) if driver else rng.uniform(2.9, 4.0)
        to = math.radians(angle) + sense * ahead
        far = rng.uniform(2.2, 4.0) * max(
            radius / 1e3, *(r for _, r in rim or [(0, 0)])
        )
        point = centre + far * (u * math.cos(to) + v * math.sin(to))
    if tilted:
        point = point + n * rng.uniform(-3e-3, 3e-3)
    return built, tuple(float(x) for x in point), sense, ahead


def drawn(rng, kinds: tuple[str, str], *, tilted: bool = True) -> Case:
    """Return the next cable, right or not."""
    one, at_one, sense_one, ahead_one = _end(rng, "pedal", kinds[0], tilted, True)
    two, at_two, sense_two, ahead_two = _end(rng, "spindle", kinds[1], tilted, False)
    lost = float(rng.choice([0.0, rng.uniform(0, 2e-3)]))
    cable = Cable(
        name="wire",
        start=Hole(shaft="pedal", arm="wire"),
        end=Hole(shaft="spindle", arm="wire"),
        ends=(SheathEnd(point=at_one), SheathEnd(point=at_two)),
        only="pull",
        lost=lost,
    )
    # The foot turns the driver against what the wire would.
    layout = tree([one, two], [cable], travel_mm=1e3 * TRAVEL, presses=-sense_one, opens=sense_two)  # fmt: skip
    wire = Wire(
        driver=End(one, one.arms["wire"], np.array(at_one), ahead_one),
        driven=End(two, two.arms["wire"], np.array(at_two), ahead_two),
        pulls=sense_two,
        lost=lost,
    )
    return Case(layout, wire, kinds)


@cache
def case(seed: int, kinds: tuple[str, str], *, tilted: bool = True) -> Case:
    """Return the first cable of a seed that drives all the way, clear of dead centres."""
    rng = np.random.default_rng(seed)
    while True:
        found = drawn(rng, kinds, tilted=tilted)
        try:
            motion = sweep(assemble(found.layout), np.linspace(0, TRAVEL, 13))
        except LinkageError:
            continue
        turn = motion.opening("throttle")
        if np.isnan(turn).any() or not 0.2 < turn[-1] < 1.5:
            continue
        line = frame(motion).rod("wire")
        if min(np.abs(s).min() for s in (line.driver_side, line.driven_side)) > 0.35:
            return found


def push_pull(found: Case) -> Case:
    """Return a cable as one that pushes too, and has nothing loose."""
    cable = replace(found.layout.rods["wire"], only="", lost=0.0)
    return replace(
        found,
        layout=replace(found.layout, rods={"wire": cable}),
        wire=replace(found.wire, lost=0.0),
    )


def with_arm(layout: Layout, name: str, **more: float) -> Layout:
    """Return a layout with the wire's arm on a shaft changed."""
    on = layout.shafts[name]
    new: Arm = replace(on.arms["wire"], **more)
    return layout.with_shaft(replace(on, arms={**on.arms, "wire": new}))
