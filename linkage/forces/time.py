r"""Time to idle: from the end of the travel, pedal let go, to the idle stop.

One degree of freedom, the pad travel s. With the closing force F(s) as felt at
the pad, friction R(s) and the reflected mass m(s) = Σ J (dq/ds)², the energy is

.. math:: \tfrac12 m v^2 = \int_s^{end} (F - R)\,ds'  \qquad  t = \int ds / v

so the motion needs no steps in time: two integrals over the travel give it and
keep the energy exactly. With s = end - L w² both integrands are smooth at the
start, where v = 0.

Friction is that of slow motion (`returns.pad_forces`): the loads that inertia
puts on bearings are left out.

Not here: estimates of inertia (`inertia`), the verdict (`checks.forces`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.forces.inertia import inertias
from linkage.forces.lines import Lines, force_lines
from linkage.forces.returns import (
    INTACT,
    Failure,
    failures,
    left_after,
    pad_forces,
)
from linkage.motion import sweep
from linkage.motion.tip_in import first_move

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.motion import Assembly, Working

    FloatArray = NDArray[np.float64]

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
    time : float
        inf where it never gets there. [s]
    stuck_at : float
        Pad travel at which it comes to rest short of idle; nan where it gets
        there. [m]
    speed : float
        Of the plate as it meets the idle stop; 0 where it does not. [rad/s]
    estimated : bool
        Whether inertias were estimated from sizes.
    """

    failure: Failure
    throttle: str
    time: float
    stuck_at: float
    speed: float
    estimated: bool


def return_limit(layout: Layout) -> tuple[float, str]:
    """Return the longest time to idle and why it is that.

    Returns
    -------
    limit : float
        [s]
    reason : str
        In words, for the report.
    """
    cold = layout.vehicle.temperature
    mass = layout.vehicle.mass
    if cold is not None and cold <= COLD:
        return layout.limits.return_cold, f"at {cold:.0f} °C"
    if mass is not None and mass > LIGHT:
        return layout.limits.return_heavy, f"vehicle over {LIGHT:.0f} kg"
    if mass is None:
        return layout.limits.return_light, "vehicle's mass not given, taken as light"
    return layout.limits.return_light, f"vehicle up to {LIGHT:.0f} kg"


def cold_factor(layout: Layout) -> float:
    """Return the factor on friction at the layout's temperature."""
    cold = layout.vehicle.temperature
    if cold is None or cold > COLD:
        return 1.0
    return COLD_FACTOR if layout.cold_factor is None else layout.cold_factor


def falls(
    assembly: Assembly, working: Working, *, factor: float | None = None
) -> tuple[Fall, ...]:
    """Return the time to idle of every plate, with nothing and each part failed.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel.
    factor : float, optional
        On every coefficient of friction; by the layout's temperature where it
        is not given.

    Returns
    -------
    tuple of Fall
        Empty where pressing does not open the plate.
    """
    layout = assembly.layout
    factor = cold_factor(layout) if factor is None else factor
    way = working.end - first_move(layout, working)
    if not way > 0:
        return ()
    w = np.linspace(0.0, 1.0, NODES)
    lines = force_lines(sweep(assembly, working.end - way * w**2))
    return tuple(
        fall(lines, failure, plate.name, way=way, factor=factor)
        for failure in (INTACT, *failures(layout))
        for plate in layout.plates
        if working.opening_at_end[plate.name] > working.opening_at_rest[plate.name]
    )


def fall(
    lines: Lines, failure: Failure, plate: str, *, way: float, factor: float = 1.0
) -> Fall:
    """Return the time to idle of one plate after one failure.

    Parameters
    ----------
    lines : Lines
        At pad travels end - way w², w from 0 to 1 in equal steps.
    failure : Failure
        What has failed.
    plate : str
        The plate.
    way : float
        Pad travel from end to idle. [m]
    factor : float
        On every coefficient of friction.
    """
    motion = lines.motion
    springs = left_after(failure, lines.springs)
    parted = (failure.name,) if failure.kind == "rod" else ()
    closing, friction, shafts = pad_forces(
        lines, plate, springs=springs, parted=parted, factor=factor
    )
    heavy = inertias(motion.assembly, parted)
    mass = np.zeros(closing.shape)
    for s in shafts:
        mass += heavy[s].value * lines.first[s] ** 2
    estimated = any(heavy[s].estimated for s in shafts)
    net = closing - friction
    w = np.linspace(0.0, 1.0, net.size)
    energy = _running(np.where(np.isfinite(net), net, 0.0) * 2 * way * w, w[1])
    stops = ~(energy[1:] > 0) | ~np.isfinite(net[1:])
    if not net[0] > 0 or stops.any():
        at = 0 if not net[0] > 0 else int(np.argmax(stops)) + 1
        return Fall(
            failure=failure,
            throttle=plate,
            time=math.inf,
            stuck_at=float(motion.pad_travel[at]),
            speed=0.0,
            estimated=estimated,
        )
    pace = np.empty_like(net)
    pace[0] = np.sqrt(2 * way * mass[0] / net[0])
    pace[1:] = 2 * way * w[1:] * np.sqrt(mass[1:] / (2 * energy[1:]))
    spindle = motion.assembly.layout.throttles[plate].shaft
    return Fall(
        failure=failure,
        throttle=plate,
        time=float(_running(pace, w[1])[-1]),
        stuck_at=math.nan,
        speed=float(abs(lines.first[spindle][-1]) * np.sqrt(2 * energy[-1] / mass[-1])),
        estimated=estimated,
    )


def _running(values: FloatArray, step: float) -> FloatArray:
    """Return the running integral from the first of evenly spaced values.

    The parabola through three neighbours is integrated over each step: exact
    for cubics over two steps, as Simpson's rule is.
    """
    a, b, c = values[:-2], values[1:-1], values[2:]
    forward = (5 * a + 8 * b - c) / 12
    backward = (-a + 8 * b + 5 * c) / 12
    parts = np.empty(values.size)
    parts[0] = 0.0
    parts[1:-1] = forward
    # The second step of each pair; the number of values is odd.
    parts[2::2] = backward[::2]
    return np.asarray(np.cumsum(parts) * step)
