"""Forces through the travel, while the pedal goes down slowly and while it comes up.

From the plate back to the pedal: springs, rods, bearings with friction, weight,
pad. Closed form over all positions.

Not here: what may fail (`returns`), how fast it shuts (`time`).
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from linkage.forces.balance import balance, loads, rubbing
from linkage.forces.lines import Lines, force_lines

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Statics:
    """Forces at every position; all arrays are read-only, nan where jammed.

    Within the pedal's free play the forces are those just after it.

    Parameters
    ----------
    lines : Lines
        Geometry they rest on.
    springs : tuple of str
        Springs that act.
    parted_rods : tuple of str
        Rods that do not.
    pad_travel : ndarray, shape (n,)
        [m]
    pad_force_pressing, pad_force_releasing, pad_force : ndarray, shape (n,)
        Force of the foot along the pad's path, positive pressing: going down,
        coming up, and without friction. Negative means that the pad must be
        pulled up. nan where friction locks. [N]
    split : mapping of str to ndarray, shape (n,)
        Share of each spring in ``pad_force``, by virtual work. [N]
    weight_share : ndarray, shape (n,)
        Share of the weight of rods and arms in it. [N]
    rod_pressing, rod_releasing : mapping of str to ndarray, shape (n,)
        Force in each rod, pull positive, push negative. [N]
    bearing_pressing, bearing_releasing : mapping of str to ndarray, shape (n, 3)
        Force of each shaft on its bearing, in vehicle axes. [N]
    closing_torque : mapping of str to ndarray, shape (n,)
        By throttle: torque of all springs and weight that still hang together
        with its spindle, brought to the spindle without friction, positive
        shutting. [N·m]
    friction_torque : mapping of str to ndarray, shape (n,)
        By throttle: what bearings take of it while the pad comes up slowly. [N·m]
    spring_length : mapping of str to ndarray, shape (n,)
        From hook to anchor, of springs along a line. [m]
    spring_load : mapping of str to ndarray, shape (n,)
        Pull positive, push negative [N]; torque about a shaft [N·m].
    spring_arm : mapping of str to ndarray, shape (n,)
        Torque arm about its shaft, positive where the spring shuts, of springs
        along a line. [m]
    frictionless : tuple of str
        Shafts of which neither bearing diameter nor drag is given, so that they
        count without friction.
    """

    lines: Lines
    springs: tuple[str, ...]
    parted_rods: tuple[str, ...]
    pad_travel: FloatArray
    pad_force_pressing: FloatArray
    pad_force_releasing: FloatArray
    pad_force: FloatArray
    split: Mapping[str, FloatArray]
    weight_share: FloatArray
    rod_pressing: Mapping[str, FloatArray]
    rod_releasing: Mapping[str, FloatArray]
    bearing_pressing: Mapping[str, FloatArray]
    bearing_releasing: Mapping[str, FloatArray]
    closing_torque: Mapping[str, FloatArray]
    friction_torque: Mapping[str, FloatArray]
    spring_length: Mapping[str, FloatArray]
    spring_load: Mapping[str, FloatArray]
    spring_arm: Mapping[str, FloatArray]
    frictionless: tuple[str, ...]

    @property
    def hysteresis(self) -> FloatArray:
        """Pad force pressing less releasing, shape (n,). [N]."""
        return np.asarray(self.pad_force_pressing - self.pad_force_releasing)


def hanging_together(
    layout: Layout, shaft: str, parted: Iterable[str] = ()
) -> list[str]:
    """Return the shafts that still move with a shaft when some rods are parted."""
    gone = set(parted)
    links = [k for k in layout.links if k.rod.name not in gone]
    found = [shaft]
    for one in found:
        for link in links:
            ends = (link.driver.shaft, link.driven.shaft)
            if one in ends:
                found += [s for s in ends if s not in found]
    return found


def closing_force(
    lines: Lines, springs: Iterable[str], shafts: Iterable[str]
) -> FloatArray:
    """Return the closing force of springs and weight as felt at the pad.

    By virtual work, -Σ M dq/ds over some shafts; without friction.

    Returns
    -------
    ndarray, shape (n,)
        Positive closing. [N]
    """
    among = set(shafts)
    total = np.zeros(lines.motion.pad_travel.shape)
    for shaft in among:
        if lines.weight[shaft]:
            total -= lines.weight_torque[shaft] * lines.first[shaft]
    for name in springs:
        line = lines.springs[name]
        if line.shaft in among:
            total -= line.torque * lines.first[line.shaft]
    return total


def per_opening(lines: Lines, throttle: str) -> FloatArray:
    """Return the opening of a throttle by pad travel, dψ/ds. [rad/m]."""
    t = lines.motion.assembly.layout.throttles[throttle]
    return np.asarray(t.opens * lines.first[t.shaft])


def statics(
    motion: Motion,
    *,
    springs: Iterable[str] | None = None,
    parted_rods: Iterable[str] = (),
    cold_factor: float = 1.0,
    lines: Lines | None = None,
) -> Statics:
    """Work out all forces at every position of a motion.

    Parameters
    ----------
    motion : Motion
        From `linkage.motion.sweep`, usually over the working travel.
    springs : iterable of str, optional
        Those that act; all where not given.
    parted_rods : iterable of str
        Rods that have come off; what lies beyond them is balanced no more.
    cold_factor : float
        On every coefficient of friction.
    lines : Lines, optional
        Of this motion, where they are known already.

    Returns
    -------
    Statics

    Raises
    ------
    LayoutError
        If a spring of the layout is impossible.
    """
    lines = force_lines(motion) if lines is None else lines
    layout = motion.assembly.layout
    acting = tuple(lines.springs) if springs is None else tuple(springs)
    parted = tuple(parted_rods)
    shafts = hanging_together(layout, layout.pedal.shaft, parted)
    on = loads(lines, acting, shafts)
    rub = rubbing(layout, cold_factor)
    root = layout.pedal.shaft
    down = balance(lines, on, root=root, sense=1, rub=rub, foot=True)
    up = balance(lines, on, root=root, sense=-1, rub=rub, foot=True)
    rest = down if not rub.among(shafts) else balance(lines, on, root=root, foot=True)
    closing = _closing(lines, acting, parted)
    lost = rest.hold - up.hold
    return Statics(
        lines=lines,
        springs=acting,
        parted_rods=parted,
        pad_travel=motion.pad_travel,
        pad_force_pressing=_kept(down.hold),
        pad_force_releasing=_kept(up.hold),
        pad_force=_kept(rest.hold),
        split=_all({n: _share(lines, n, shafts) for n in acting}),
        weight_share=_kept(closing_force(lines, (), shafts)),
        rod_pressing=_all(down.rods),
        rod_releasing=_all(up.rods),
        bearing_pressing=_all({s: r.T for s, r in down.reactions.items()}),
        bearing_releasing=_all({s: r.T for s, r in up.reactions.items()}),
        closing_torque=_all(closing),
        friction_torque=_all({n: _at_plate(lines, n, lost) for n in closing}),
        spring_length=_all(
            {n: s.length for n, s in lines.springs.items() if s.length is not None}
        ),
        spring_load=_all({n: s.load for n, s in lines.springs.items()}),
        spring_arm=_all(_shutting_arms(lines)),
        frictionless=tuple(s for s in shafts if not rub.among([s])),
    )


def _closing(
    lines: Lines, springs: tuple[str, ...], parted: tuple[str, ...]
) -> dict[str, FloatArray]:
    layout = lines.motion.assembly.layout
    out = {}
    for name, throttle in layout.throttles.items():
        shafts = hanging_together(layout, throttle.shaft, parted)
        force = closing_force(lines, springs, shafts)
        out[name] = _at_plate(lines, name, force)
    return out


def _at_plate(lines: Lines, throttle: str, force: FloatArray) -> FloatArray:
    """Return a force at the pad as the torque it is at a spindle."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(force / per_opening(lines, throttle))


def _share(lines: Lines, spring: str, shafts: list[str]) -> FloatArray:
    line = lines.springs[spring]
    if line.shaft not in shafts:
        return np.zeros(lines.motion.pad_travel.shape)
    return np.asarray(-line.torque * lines.first[line.shaft])


def shutting_sense(lines: Lines, shaft: str) -> FloatArray:
    """Return the sense in which a shaft shuts the plate.

    A spindle shuts against the way its throttle opens; another shaft against
    the way pressing turns it.

    Returns
    -------
    ndarray, shape (n,)
        1 anticlockwise, -1 clockwise for the viewer of its axis.
    """
    throttle = lines.motion.assembly.layout.throttle_on(shaft)
    if throttle is not None:
        return np.full(lines.motion.pad_travel.shape, -float(throttle.opens))
    return np.asarray(-np.sign(lines.first[shaft]))


def _shutting_arms(lines: Lines) -> dict[str, FloatArray]:
    return {
        name: shutting_sense(lines, line.shaft) * line.arm
        for name, line in lines.springs.items()
        if line.arm is not None
    }


def _kept(array: FloatArray) -> FloatArray:
    out = np.array(array)
    out.flags.writeable = False
    return out


def _all(arrays: Mapping[str, FloatArray]) -> Mapping[str, FloatArray]:
    return MappingProxyType({name: _kept(a) for name, a in arrays.items()})
