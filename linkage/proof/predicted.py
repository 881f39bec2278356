"""What a layout says of each reading: as measured, and with its unknowns off.

Not here: the readings (`model.readings`), which unknowns fit them best (`proof.fit`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.forces import INTACT, returns
from linkage.forces.time import cold_factor
from linkage.model.columns import every, pick
from linkage.motion import assemble, sweep
from linkage.motion.stops import first_met, opens_by
from linkage.proof.unknowns import vehicles

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.measured import Measured
    from linkage.model.readings import Reading
    from linkage.motion import Assembly, Motion

    FloatArray = NDArray[np.float64]

#: By how much the pad is moved to see what a reading hangs on it. [m]
BY: Final = 1e-5
#: By which share of its error an unknown is moved to see what hangs on it.
SHARE: Final = 0.05


class Predicted:
    """What a layout says of readings.

    A throttle that was read at one of its stops is held against what its stops leave;
    else it is as if they were not there, so that one that is predicted to be at its stop
    and was not seen there tells by how much. One that is never full within twice the
    pedal's travel would be beyond, as far as it goes on as there.

    Parameters
    ----------
    layout : Layout
        As measured; one.
    some : tuple of Measured
        From `unknowns`.
    readings : sequence of Reading
        What is read.
    """

    def __init__(
        self, layout: Layout, some: tuple[Measured, ...], readings: Sequence[Reading]
    ) -> None:
        self.layout = layout
        self.some = some
        self.readings = tuple(readings)
        self.errors = np.array([m.error for m in some])
        pads = [0.0]
        for r in self.readings:
            if r.what not in {"full", "rod"}:
                pads += [r.pad - BY, r.pad, r.pad + BY] if r.pad_error else [r.pad]
        self._pads = np.unique(pads)

    @property
    def wanted(self) -> FloatArray:
        """What was read, shape (readings,). [rad, m or N]."""
        return np.array([r.value for r in self.readings])

    def at(self, off: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return what is said of vehicles with their unknowns off.

        Parameters
        ----------
        off : ndarray, shape (rows, unknowns)
            [SI]

        Returns
        -------
        values : ndarray, shape (rows, readings)
            [rad, m or N]; nan where the parts cannot be put together or do not reach.
        by_pad : ndarray, shape (rows, readings)
            The same by a unit of the pad travel at which it is read.
        """
        layout = vehicles(self.layout, self.some, off)
        assembly = assemble(layout)
        motion = sweep(assembly, self._pads)
        pulls: dict[str, Any] = {}
        values = np.empty((len(off), len(self.readings)))
        by_pad = np.zeros_like(values)
        for k, r in enumerate(self.readings):
            found = self._one(assembly, motion, r, pulls)
            if r.what in {"full", "rod"}:
                values[:, k] = np.ravel(found)
                continue
            values[:, k] = self._where(found, r.pad)
            if r.pad_error:
                more, less = (self._where(found, r.pad + s * BY) for s in (1, -1))
                by_pad[:, k] = (more - less) / (2 * BY)
        torn = np.ravel(np.logical_not(assembly.ok))
        values[np.broadcast_to(torn, len(off))] = np.nan
        return values, by_pad

    def _where(self, found: FloatArray, pad: float) -> FloatArray:
        return found[..., int(np.searchsorted(self._pads, pad - BY / 10))]

    def slopes(self, off: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return what is said of one vehicle, by its pad, and by a unit of each unknown.

        Parameters
        ----------
        off : ndarray, shape (unknowns,)
            [SI]

        Returns
        -------
        values, by_pad : ndarray, shape (readings,)
        by_unknown : ndarray, shape (readings, unknowns)
            By central differences of the whole vehicle, set anew each time.
        """
        steps = np.diag(SHARE * self.errors)
        rows = off + np.vstack([np.zeros((1, len(off))), steps, -steps])
        values, by_pad = self.at(rows)
        n = len(off)
        more, less, still = values[1 : n + 1], values[n + 1 :], values[0]
        halves = (more - less) / 2
        # Where one way cannot be put together the other tells it.
        halves = np.where(np.isnan(more), still - less, halves)
        halves = np.where(np.isnan(less), more - still, halves)
        by = np.nan_to_num(halves / (SHARE * self.errors)[:, None])
        return still, np.nan_to_num(by_pad[0]), by.T

    def _one(
        self, assembly: Assembly, motion: Motion, r: Reading, pulls: dict[str, Any]
    ) -> FloatArray:
        """Return one reading at all pad travels; of a rod, its length; of full, where."""
        layout = assembly.layout
        if r.what == "rod":
            return np.asarray(assembly.loop(r.about.name).length, dtype=float)
        if r.what == "lever":
            arm = layout.shafts[r.about.name].arms[r.about.part]
            turned = motion.turns[r.about.name] + arm.angle
            return np.asarray(r.value + _wrapped(turned - r.value))
        if r.what == "pull":
            return self._pull(motion, r, pulls)
        t = layout.throttles[r.about.name]
        if r.what == "full":
            return self._full(assembly, t.name)
        opening = np.asarray(motion.opening(t.name))
        swing = float(self.layout.throttles[t.name].swing)
        if r.value <= r.error:
            opening = np.maximum(opening, 0.0)
        if r.value >= swing - 2 * r.error:
            opening = np.minimum(opening, t.swing)
        return opening

    def _full(self, assembly: Assembly, throttle: str) -> FloatArray:
        """Return the pad travel at which a throttle is full. [m]."""
        swing = assembly.layout.throttles[throttle].swing
        far = 2 * float(self.layout.pedal.travel)
        met = first_met(assembly, opens_by(assembly.layout, throttle, swing), far)
        if every(np.isfinite(met)):
            return np.asarray(met)
        end = far / 2
        ends = sweep(assembly, [end - BY, end]).opening(throttle)
        rate = (ends[..., 1:] - ends[..., :1]) / BY
        there = end + (swing - ends[..., 1:]) / rate
        return np.asarray(pick(np.isfinite(met), met, there))

    def _pull(self, motion: Motion, r: Reading, pulls: dict[str, Any]) -> FloatArray:
        """Return what a spring balance would show without friction. [N]."""
        closing, _ = self.torques(motion, r.about.name, pulls)
        return np.asarray(closing / self._radius(motion, r))

    def rubs(self, off: FloatArray) -> FloatArray:
        """Return the friction that is reckoned with at each pull's hole.

        Returns
        -------
        ndarray, shape (readings,)
            nan of what is no pull. [N]
        """
        assembly = assemble(vehicles(self.layout, self.some, off[None]))
        motion = sweep(assembly, self._pads)
        pulls: dict[str, Any] = {}
        out = np.full(len(self.readings), np.nan)
        for k, r in enumerate(self.readings):
            if r.what == "pull":
                _, lost = self.torques(motion, r.about.name, pulls)
                found = np.asarray(lost / self._radius(motion, r))
                out[k] = np.ravel(self._where(found, r.pad))[0]
        return out

    def torques(
        self, motion: Motion, shaft: str, known: dict[str, Any]
    ) -> tuple[FloatArray, FloatArray]:
        """Return closing and friction torque of the throttle on a shaft. [N·m]."""
        if shaft not in known:
            layout = motion.assembly.layout
            (name,) = (n for n, t in layout.throttles.items() if t.shaft == shaft)
            factor = cold_factor(layout)
            (found,) = returns(motion, factor=factor, cases=[(INTACT, name)])
            known[shaft] = found.closing_torque, found.friction_torque
        closing, lost = known[shaft]
        return closing, lost

    @staticmethod
    def _radius(motion: Motion, r: Reading) -> Any:  # noqa: ANN401
        return motion.assembly.layout.shafts[r.about.name].arms[r.about.part].length


def _wrapped(angle: Any) -> Any:  # noqa: ANN401
    return (angle + np.pi) % (2 * np.pi) - np.pi
