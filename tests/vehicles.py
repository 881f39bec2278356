"""Invented vehicles: made after a layout with errors of their own, and read with errors.

What is read is worked out from the motion itself at the pad travel at which the vehicle
truly stood, not by what the proof says of readings.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from linkage.motion import assemble, sweep, working_travel
from linkage.proof.unknowns import unknowns, vehicles

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.model import Layout
    from linkage.model.readings import Reading


@dataclass
class Vehicle:
    """A vehicle and what was read on it."""

    off: np.ndarray
    readings: tuple[Reading, ...]


class Exact:
    """A generator of no errors at all."""

    def standard_normal(self, count):
        return np.zeros(count)


class Even:
    """Errors anywhere within what is known, as likely here as there, as `draws` has them."""

    def __init__(self, seed):
        self._generator = np.random.default_rng(seed)

    def standard_normal(self, count):
        return np.sqrt(3) * self._generator.uniform(-1, 1, count)


def vehicle(
    layout: Layout,
    readings: Sequence[Reading],
    generator: np.random.Generator | Exact | Even,
    *,
    wrong: int | None = None,
    tolerances: float = 3.0,
) -> Vehicle:
    """Return a vehicle with what was read on it.

    Parameters
    ----------
    layout : Layout
        As measured.
    readings : sequence of Reading
        What is read; their values do not count.
    generator : Generator
        Of the errors: each normal, of the standard uncertainty of its instrument.
    wrong : int, optional
        Which unknown, or reading after them, is off by some tolerances more.
    tolerances : float
        By how many.
    """
    some = unknowns(layout)
    errors = np.array([m.error for m in some])
    off = generator.standard_normal(len(some)) / np.sqrt(3) * errors
    more = np.zeros(len(some) + len(readings))
    if wrong is not None:
        more[wrong] = tolerances
    off = off + more[: len(some)] * errors
    made = assemble(vehicles(layout, some, off[None]))
    noise = generator.standard_normal(2 * len(readings)) / np.sqrt(3)
    out = []
    for k, r in enumerate(readings):
        at = max(r.pad + noise[k] * r.pad_error, 0.0) if r.pad_error else r.pad
        true = _true(made, r, at)
        seen = true + (noise[len(readings) + k] + more[len(some) + k]) * r.error
        out.append(replace(r, value=seen))
    return Vehicle(off, tuple(out))


def _true(made, r, at):
    layout = made.layout
    if r.what == "rod":
        return float(np.ravel(made.loop(r.about.name).length)[0])
    if r.what == "full":
        far = 2 * layout.pedal.travel
        free = replace(layout, pedal=replace(layout.pedal, stop=None, travel=far))
        working = working_travel(assemble(free))
        assert working.is_stopped_by("full stop", r.about.name)
        return float(np.ravel(working.end)[0])
    motion = sweep(made, [at])
    if r.what == "throttle":
        return float(np.ravel(motion.between_stops(r.about.name))[0])
    assert r.what == "lever"
    arm = layout.shafts[r.about.name].arms[r.about.part]
    return float(np.ravel(motion.turns[r.about.name] + arm.angle)[0])
