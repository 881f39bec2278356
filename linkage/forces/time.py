r"""Time to idle: from the end of the travel, pedal let go, to the idle stop.

One degree of freedom, the pad travel s. With the closing force F(s) as felt at
the pad, friction R(s) and the reflected mass m(s) = Σ J (dq/ds)², the energy is

.. math:: \tfrac12 m v^2 = \int_s^{end} (F - R)\,ds'  \qquad  t = \int ds / v

so the motion needs no steps in time: two integrals over the travel give it and
keep the energy exactly. With s = end - L w² both integrands are smooth at the
start, where v = 0.

Friction is that of slow motion (`returns.pad_forces`): the loads that inertia
puts on bearings are left out.

Not here: estimates of inertia (`inertia`), the verdict (`rules`).
"""

from __future__ import annotations

import math
from functools import cache, reduce
from operator import or_
from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from linkage.forces.balance import MANY
from linkage.forces.inertia import inertias
from linkage.forces.lines import Lines, force_lines
from linkage.forces.returns import all_cases, pad_forces
from linkage.model.columns import pick, some
from linkage.motion import sweep_clear
from linkage.motion.tip_in import first_move
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from linkage.forces.balance import Gone
    from linkage.forces.failures import Failure
    from linkage.forces.returns import Case
    from linkage.model import Layout
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion import Assembly, Working

#: Rods that are gone, and the first of the shafts that still move together.
Moved: TypeAlias = "tuple[Gone, str]"
#: Nodes over the travel; odd.
NODES: Final = 401
#: Heaviest light vehicle, 10 000 lb. 49 CFR 571.124 S5.3. [kg]
LIGHT: Final = 4536.0
#: At and below this the limit of deep cold holds. 49 CFR 571.124 S5.3. [°C]
COLD: Final = -18.0
#: Factor on friction in deep cold where the layout gives none; common
#: practice, no source.
COLD_FACTOR: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """Return of one plate to idle after one failure.

    Parameters
    ----------
    failure : Failure
        What has failed.
    throttle : str
        The plate.
    time : float or column
        inf where it never gets there; nan in rows in which pressing does not
        open the plate. [s]
    stuck_at : float or column
        Pad travel at which it comes to rest short of idle; nan where it gets
        there. [m]
    estimated : bool or column
        Whether inertias were estimated from sizes.
    """

    failure: Failure
    throttle: str
    time: Number
    stuck_at: Number
    estimated: Truth


def return_limit(layout: Layout) -> tuple[float, str]:
    """Return the longest time to idle of one layout, and why it is that. [s]."""
    cold = layout.vehicle.temperature
    mass = layout.vehicle.mass
    if cold is not None and cold <= COLD:
        return layout.limits.return_cold, f"at {cold:.0f} °C"
    if mass is not None and mass > LIGHT:
        return layout.limits.return_heavy, f"vehicle over {LIGHT:.0f} kg"
    if mass is None:
        return layout.limits.return_light, "vehicle's mass not given, taken as light"
    return layout.limits.return_light, f"vehicle up to {LIGHT:.0f} kg"


def cold_factor(layout: Layout) -> Number:
    """Return the factor on friction at the layout's temperature."""
    cold = layout.vehicle.temperature
    if cold is None:
        return 1.0
    factor = COLD_FACTOR if layout.cold_factor is None else layout.cold_factor
    return pick(cold <= COLD, factor, 1.0)


def _way(assembly: Assembly, working: Working) -> Number:
    return working.end - first_move(assembly.layout, working)


def way_back(assembly: Assembly, working: Working, nodes: int = NODES) -> Positions:
    """Return the pad positions at which `falls` looks, from the end of the travel.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel.
    nodes : int
        How many; odd, and fewer serve a search.

    Returns
    -------
    ndarray, shape (nodes,) or (rows, nodes)
        Dense where the plate is slow. [m]
    """
    w = np.linspace(0.0, 1.0, nodes)
    with np.errstate(invalid="ignore"):
        return np.asarray(working.end - _way(assembly, working) * w**2)


def falls(
    assembly: Assembly,
    working: Working,
    *,
    factor: Number | None = None,
    failed: Positions | None = None,
    like: Lines | None = None,
    lines: Lines | None = None,
) -> tuple[Fall, ...]:
    """Return the time to idle of every plate, with nothing and each part failed.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel.
    factor : float or column, optional
        On every friction; by the layout's temperature where it is not given.
    failed : ndarray, optional
        That with anything failed, of all positions of which ``lines`` are a part; the
        same where it is not given.
    like : Lines, optional
        Of another motion of the same layout, to take over what is the same.
    lines : Lines, optional
        Of the motion through `way_back`, where they are known already.

    Returns
    -------
    tuple of Fall
        Without a plate that pressing does not open in any row.
    """
    layout = assembly.layout
    factor = cold_factor(layout) if factor is None else factor
    way = _way(assembly, working)
    if not some(way > 0):
        return ()
    if lines is None:
        lines = force_lines(sweep_clear(assembly, way_back(assembly, working)), like)
    at_end, at_rest = working.opening_at_end, working.opening_at_rest
    opens = {
        plate.name: (at_end[plate.name] > at_rest[plate.name]) & (way > 0)
        for plate in layout.plates
    }
    cases = all_cases(lines, (plate for plate in opens if some(opens[plate])))
    return _fallen(lines, cases, way, (factor, failed), opens) if cases else ()


def _fallen(
    lines: Lines,
    cases: Sequence[Case],
    way: Number,
    factors: tuple[Number, Positions | None],
    opens: Mapping[str, Truth],
) -> tuple[Fall, ...]:
    """Return the falls of plates from nodes at end - way w², w from 0 to 1."""
    factor, failed = factors
    closing, friction, shafts = pad_forces(lines, cases, factor=factor, failed=failed)
    heavy = inertias(lines.motion.assembly)
    square = {name: first**2 for name, first in lines.first.items()}
    mass: dict[Moved, Positions] = {}
    guessed: dict[Moved, Truth] = {}
    moved: list[Moved] = []
    for (failure, _), part in zip(cases, shafts, strict=True):
        rods = failure.gone & lines.hanging.all_rods
        moved.append((rods, part[0]))
        if moved[-1] not in mass:
            mass[moved[-1]] = sum(heavy[s].value(rods) * square[s] for s in part)
            guessed[moved[-1]] = reduce(or_, (heavy[s].estimated(rods) for s in part))
    times, places = [], []
    step = max(MANY // max(math.prod(lines.shape), 1), 1)
    for i in range(0, len(cases), step):
        few = slice(i, i + step)
        heaviness = np.empty_like(closing[few])
        for k, key in enumerate(moved[few]):
            heaviness[k] = mass[key]
        net = closing[few] - friction[few]
        time, place = _down(net, heaviness, way, lines.motion.pad_travel)
        times += [*time]
        places += [*place]
    return tuple(
        Fall(
            failure=failure,
            throttle=plate,
            time=pick(opens[plate], times[i], np.nan),
            stuck_at=pick(opens[plate], places[i], np.nan),
            estimated=guessed[moved[i]],
        )
        for i, (failure, plate) in enumerate(cases)
    )


def _down(
    net: Positions, mass: Positions, way: Number, travel: Positions
) -> tuple[Positions, Positions]:
    """Return times to idle, inf where stuck, and where, nan where not. [s], [m].

    From net force and mass as felt at the pad at the nodes, shape (cases, n) or
    (cases, rows, n), to shape (cases,) or (cases, rows, 1).
    """
    w = np.linspace(0.0, 1.0, net.shape[-1])
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        good = np.isfinite(net)
        energy = _running(np.where(good, net, 0.0) * (2 * way * w), w[1])
        stops = ~(good & (energy > 0))
        stops[..., 0] = ~(net[..., 0] > 0)
        pace = np.sqrt(mass / energy) * (np.sqrt(2) * way * w)
        pace[..., :1] = np.sqrt(2 * way * mass[..., :1] / net[..., :1])
        time = (pace * _simpson(w.size)).sum(axis=-1, keepdims=True) * w[1]
    stuck = stops.any(axis=-1, keepdims=True)
    travel = np.broadcast_to(travel, stops.shape)
    place = np.take_along_axis(travel, stops.argmax(axis=-1, keepdims=True), axis=-1)
    time, place = np.where(stuck, np.inf, time), np.where(stuck, place, np.nan)
    return (time, place) if net.ndim > 2 else (time[:, 0], place[:, 0])


@cache
def _simpson(nodes: int) -> Positions:
    """Return the weights of Simpson's rule over evenly spaced values, an odd number."""
    return np.array([1.0, *([4.0, 2.0] * (nodes // 2 - 1)), 4.0, 1.0]) / 3


def _running(values: Positions, step: float) -> Positions:
    """Return the running integral from the first of evenly spaced values, an odd number.

    The parabola through three neighbours is integrated over each step: exact
    for cubics over two steps, as Simpson's rule is.
    """
    one, two, three = values[..., :-1:2], values[..., 1::2], values[..., 2::2]
    parts = np.empty_like(values)
    parts[..., 0] = 0.0
    middle = 8 * two
    parts[..., 1::2] = 5 * one + middle - three
    parts[..., 2::2] = 5 * three + middle - one
    return np.cumsum(parts, axis=-1) * (step / 12)
