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

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.forces.failures import INTACT, Failure, failures
from linkage.forces.inertia import inertias
from linkage.forces.lines import Lines, force_lines
from linkage.forces.returns import pad_forces
from linkage.model.columns import any_of, at, pick, some, where_most
from linkage.motion import sweep
from linkage.motion.tip_in import first_move

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from linkage.forces.balance import Gone
    from linkage.model import Layout
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion import Assembly, Working
    from linkage.springs import SpringLaw

#: Nodes over the travel; odd.
NODES: Final = 401
#: Simpson's rule over the nodes, but for the step.
_SIMPSON: Final = np.array([1.0, *([4.0, 2.0] * (NODES // 2 - 1)), 4.0, 1.0]) / 3
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
    assembly: Assembly,
    working: Working,
    *,
    factor: Number | None = None,
    laws: Mapping[str, SpringLaw] | None = None,
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
    laws : mapping of str to SpringLaw, optional
        Of the springs, where they are known already.

    Returns
    -------
    tuple of Fall
        Without a plate that pressing does not open in any row.
    """
    layout = assembly.layout
    factor = cold_factor(layout) if factor is None else factor
    way = working.end - first_move(layout, working)
    if not some(way > 0):
        return ()
    w = np.linspace(0.0, 1.0, NODES)
    with np.errstate(invalid="ignore"):
        lines = force_lines(sweep(assembly, working.end - way * w**2), laws)
    nodes = _Nodes(lines, way, factor)
    at_end, at_rest = working.opening_at_end, working.opening_at_rest
    opens = {
        plate.name: (at_end[plate.name] > at_rest[plate.name]) & (way > 0)
        for plate in layout.plates
    }
    return tuple(
        nodes.fall(failure, plate, opens[plate])
        for failure in (INTACT, *failures(layout))
        for plate in opens
        if some(opens[plate])
    )


class _Nodes:
    """The way from full to idle, at pad travels end - way w², w from 0 to 1."""

    def __init__(self, lines: Lines, way: Number, factor: Number) -> None:
        self.lines = lines
        self.way = way
        self.factor = factor
        self.heavy = inertias(lines.motion.assembly)
        self._masses: dict[tuple[Any, ...], Positions] = {}

    def mass(self, shafts: Iterable[str], gone: Gone) -> Positions:
        """Return the mass as felt at the pad of all that hangs together. [kg]."""
        key = *shafts, *(ref for ref in gone if ref.kind == "rod")
        if key not in self._masses:
            self._masses[key] = sum(
                self.heavy[s].value(gone) * self.lines.first[s] ** 2 for s in shafts
            )
        return self._masses[key]

    def fall(self, failure: Failure, plate: str, opens: Truth) -> Fall:
        """Return the fall of a plate, in the rows in which pressing opens it."""
        gone, way = failure.gone, self.way
        closing, friction, shafts = pad_forces(
            self.lines, plate, gone=gone, factor=self.factor
        )
        mass = self.mass(shafts, gone)
        w = np.linspace(0.0, 1.0, NODES)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            net = closing - friction
            good = np.isfinite(net)
            energy = _running(np.where(good, net, 0.0) * (2 * way * w), w[1])
            stops = ~(good & (energy > 0))
            stops[..., :1] = ~(net[..., :1] > 0)
            pace = 2 * way * w * np.sqrt(mass / (2 * energy))
            pace[..., :1] = np.sqrt(2 * way * mass[..., :1] / net[..., :1])
            time = np.sum(pace * _SIMPSON, axis=-1, keepdims=pace.ndim > 1) * w[1]
        stuck = any_of(stops)
        place = at(self.lines.motion.pad_travel, where_most(stops))
        estimated: Truth = False
        for s in shafts:
            estimated = estimated | self.heavy[s].estimated(gone)
        return Fall(
            failure=failure,
            throttle=plate,
            time=pick(opens, pick(stuck, np.inf, time), np.nan),
            stuck_at=pick(opens, pick(stuck, place, np.nan), np.nan),
            estimated=estimated,
        )


def _running(values: Positions, step: float) -> Positions:
    """Return the running integral from the first of evenly spaced values.

    The parabola through three neighbours is integrated over each step: exact
    for cubics over two steps, as Simpson's rule is.
    """
    a, b, c = values[..., :-2], values[..., 1:-1], values[..., 2:]
    parts = np.zeros_like(values)
    parts[..., 1:-1] = (5 * a + 8 * b - c) / 12
    # The second step of each pair; the number of values is odd.
    parts[..., 2::2] = ((-a + 8 * b + 5 * c) / 12)[..., ::2]
    return np.cumsum(parts, axis=-1) * step
