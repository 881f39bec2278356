"""A small careful judge of one layout, that shares no code with the program's forces.

It asks of every plate, at every position, with the engine at rest, rolled, lifted and
in the corners: does it shut, with everything whole and after every single failure of
a part? Nothing here is fast or exact; friction is estimated by work.

Not here: geometry (`judge_places`), forces (`judge_loads`, `judge_friction`), parts
(`judge_parts`), layouts to judge (`altered`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.independent.judge_friction import left_at, walk
from tests.independent.judge_loads import Load, Loads, counted, loads_of
from tests.independent.judge_parts import Loss, losses, together
from tests.independent.judge_places import Places, places_of

#: What is asked of the closing torque: times friction, and at least [N·m].
ALL_ON, ONE_OFF = (2.0, 0.25), (1.2, 0.10)
#: Dirt and cold, where a part has failed: times all friction.
DIRT = 2.0
#: Closing torque over friction below which a plate sticks, margin or not.
STICKS = 1.0
WHOLE = Loss("nothing failed", frozenset())
#: An engine that lifts or sinks has lost a mount: that is the one failure then.
MOUNT = Loss("a mount gone", frozenset())


@dataclass(frozen=True)
class Fault:
    """What is wrong with one plate or spring.

    Parameters
    ----------
    kind : str
        ``unsprung``: no spring is left on it; ``stuck``: friction holds it, or the
        torque is below the floor; ``thin``: it shuts, but with less than the
        margin; ``slack``, ``overstretched``: a spring; ``short``: a rod does not
        reach.
    who : str
        The plate, spring or rod.
    part : str
        What has failed.
    state : str
        How the engine stands.
    pad : float
        Travel of the pad. [m]
    closing, friction : float
        At the spindle; of a spring its length and its bound. [N·m] or [m]
    asked : float
        Of a plate: the closing torque that is asked for there. [N·m]
    """

    kind: str
    who: str
    part: str
    state: str
    pad: float = 0.0
    closing: float = 0.0
    friction: float = 0.0
    asked: float = 0.0

    def __str__(self) -> str:
        return (
            f"{self.who} {self.kind} with {self.part}, {self.state}, pad {1e3 * self.pad:.1f} "
            f"mm: {self.closing:.3f} against {self.friction:.3f}"
        )


@dataclass(frozen=True)
class Judgement:
    """All faults of a layout, and what was not judged."""

    faults: tuple[Fault, ...]
    not_judged: tuple[str, ...]

    def of(self, *kinds: str) -> tuple[Fault, ...]:
        return tuple(f for f in self.faults if f.kind in kinds)

    @property
    def dangerous(self) -> tuple[Fault, ...]:
        """What may leave a plate open."""
        return self.of("unsprung", "stuck")

    def below(self, share: float) -> tuple[Fault, ...]:
        """What shuts with less than a share of the closing torque that is asked for."""
        return tuple(f for f in self.of("thin") if f.closing < share * f.asked)

    @property
    def sound(self) -> bool:
        return not self.faults and not self.not_judged


class _Case:
    """One layout with everything that failures share."""

    def __init__(self, layout) -> None:
        self.layout = layout
        self.places: Places = places_of(layout)
        self.loads: Loads = loads_of(self.places)
        self._known: dict = {}

    def acting(self, shafts: set[str], gone) -> tuple[list[Load], list[Load]]:
        """Springs and weights on some shafts, without those of what is gone."""
        return tuple(
            [x for x in some if x.shaft in shafts and x.part not in gone]
            for some in (self.loads.springs, self.loads.weights)
        )

    def hanging(self, shafts: set[str], gone) -> list[Load]:
        """Half weights of parted rods, each at an end that is still on a shaft."""
        rods = [x for x in self.loads.weights if x.part and x.part in gone]
        return [x for x in rods if x.shaft in shafts]

    def shutting(self, plate, load: Load) -> np.ndarray:
        """Return the torque by which a spring or weight shuts a plate. [N·m]."""
        rates = self.places.rates
        with np.errstate(invalid="ignore", divide="ignore"):
            by = rates[load.shaft] / (plate.opens * rates[plate.shaft])
            return -load.about(self.places) * by

    def torques(self, plate, gone, factor: float):
        """Return springs left, closing torque and friction of a plate."""
        key = plate.name, gone, factor
        if key not in self._known:
            self._known[key] = self._torques(plate, gone, factor)
        return self._known[key]

    def _torques(self, plate, gone, factor: float):
        layout, places = self.layout, self.places
        shafts = together(layout, plate.shaft, gone)
        springs, weights = self.acting(shafts, gone)
        weights = [counted(x, self.shutting(plate, x)) for x in weights]
        each = [self.shutting(plate, x) for x in springs]
        whole = np.sum([*each, *(self.shutting(plate, x) for x in weights)], axis=0)
        closing = whole
        for x in self.hanging(shafts, gone):  # with all its weight, or it is gone
            closing = closing + np.minimum(2 * self.shutting(plate, x), 0.0)
        top = layout.pedal.shaft
        if top not in shafts:
            driven = {k.driven.shaft: k.driver.shaft for k in layout.links}
            top = plate.shaft
            while driven[top] in shafts:
                top = driven[top]
        friction = np.zeros_like(whole)
        for root in {top, plate.shaft}:
            held = walk(layout, root, shafts, gone)
            left = left_at(places, plate, springs + weights, held, factor)
            friction = np.maximum(friction, whole - left)
        acts = [
            x.part[1]
            for x, torque in zip(springs, each, strict=True)
            if (np.abs(torque[places.valid]) > 1e-9).any()
        ]
        return acts, closing, friction


def _weakest(case: _Case, short: np.ndarray, among=True) -> tuple[int, int]:
    """Where least is left, among positions that are reached; nan counts as least."""
    least = np.where(np.isfinite(short), short, -np.inf)
    least = np.where(case.places.valid & among, least, np.inf)
    i, j = np.unravel_index(np.argmin(least), least.shape)
    return int(i), int(j)


def _plate(case: _Case, plate, loss: Loss) -> Fault | None:
    """Judge one plate after one failure, the engine at rest or rolled; or after a mount."""
    places = case.places
    lifted = np.array([bool(s.lift) for s in places.states])[:, None]
    among = lifted if loss is MOUNT else ~lifted
    if not (places.valid & among).any():
        return None
    factor, (times, floor) = (1.0, ALL_ON) if loss is WHOLE else (DIRT, ONE_OFF)
    springs, closing, friction = case.torques(plate, loss.gone, factor)
    if not springs:
        return Fault("unsprung", plate.name, loss.part, "anywhere")
    for kind, ratio in (("stuck", STICKS), ("thin", times)):
        short = np.minimum(closing - ratio * friction, closing - floor)
        i, j = _weakest(case, short, among)
        if not short[i, j] >= 0:
            asked = np.maximum(times * friction, floor)
            numbers = [float(x[i, j]) for x in (closing, friction, asked)]
            return _about(places, kind, plate.name, (i, j), *numbers, part=loss.part)
    return None


def _springs(case: _Case):
    """Springs that hang slack or are stretched too far anywhere."""
    places = case.places
    for name, length in case.loads.lengths.items():
        spring = case.layout.springs[name]
        pulls = spring.kind == "extension"
        out = length - case.loads.free[name]
        i, j = _weakest(case, out if pulls else -out)
        if not (out[i, j] > 0 if pulls else out[i, j] < 0):
            bound = case.loads.free[name]
            yield _about(places, "slack", name, (i, j), float(length[i, j]), bound)
        bound = spring.known.greatest_length
        if pulls and bound is not None:
            i, j = _weakest(case, bound - length)
            if length[i, j] > bound:
                yield _about(
                    places, "overstretched", name, (i, j), float(length[i, j]), bound
                )


def _about(
    places: Places, kind: str, who: str, at, *numbers: float, part: str = WHOLE.part
) -> Fault:
    """Return a fault at one position in one state, with its two numbers."""
    pad = float(places.pad[at])
    return Fault(kind, who, part, str(places.states[at[0]]), pad, *numbers)


def judge(layout) -> Judgement:
    """Judge one layout.

    Parameters
    ----------
    layout : Layout
        Read as data only.

    Returns
    -------
    Judgement
        Every fault, the worst place of each.
    """
    case = _Case(layout)
    faults = [
        Fault("short", rod, "nothing failed", str(s)) for rod, s in case.places.short
    ]
    if not case.places.valid.any():
        return Judgement(tuple(faults), ("no position is within all stops",))
    seen = {}
    for plate in layout.plates:
        for loss in [WHOLE, MOUNT, *losses(layout)]:
            found = _plate(case, plate, loss)
            if found is not None:
                seen.setdefault((plate.name, loss.gone, loss is MOUNT), found)
    return Judgement(
        (*faults, *seen.values(), *_springs(case)), tuple(case.loads.not_judged)
    )
