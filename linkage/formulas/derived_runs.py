"""The derived formulas of free runs of wire, as plain arithmetic over NumPy.

Written by ``python -m linkage.formulas.write`` from `formulas.run_derivation`: never
edit it. The names are the derivation's own; lengths in m, angles in rad.

Not here: shapes, blocks and units (`formulas.run_kernels`).
"""

from __future__ import annotations

from typing import Any

from numpy import arctan2 as atan2
from numpy import cos, sin, sqrt

#: An arm and the end of a sheath.
ARM_NAMES = (
    "r", "alpha2", "s2", "c2x", "c2y", "c2z", "u2x", "u2y", "u2z", "v2x", "v2y", "v2z",
    "n2x", "n2y", "n2z", "ox", "oy", "oz"
)


def arm_coefficients(
    r: Any, alpha2: Any, s2: Any, c2x: Any, c2y: Any, c2z: Any, u2x: Any, u2y: Any,
    u2z: Any, v2x: Any, v2y: Any, v2z: Any, n2x: Any, n2y: Any, n2z: Any, ox: Any,
    oy: Any, oz: Any
) -> tuple[Any, ...]:
    """Return the coefficients of the run to a bare arm."""
    t0 = cos(alpha2)
    t1 = sin(alpha2)
    wx = ox - c2x - n2x*s2
    wy = oy - c2y - n2y*s2
    wz = oz - c2z - n2z*s2
    e2x = t0*u2x + t1*v2x
    e2y = t0*u2y + t1*v2y
    e2z = t0*u2z + t1*v2z
    f2x = t0*v2x - t1*u2x
    f2y = t0*v2y - t1*u2y
    f2z = t0*v2z - t1*u2z
    t2 = 2*r
    K = (r*r) + (wx*wx) + (wy*wy) + (wz*wz)
    P = t2*(e2x*wx + e2y*wy + e2z*wz)
    Q = t2*(f2x*wx + f2y*wy + f2z*wz)
    return K, P, Q


def arm_run(C2: Any, S2: Any, K: Any, P: Any, Q: Any) -> tuple[Any, ...]:
    """Return the run to a bare arm."""
    run = sqrt(K - C2*P - Q*S2)
    return run,


def arm_rates(C2: Any, S2: Any, K: Any, P: Any, Q: Any) -> tuple[Any, ...]:
    """Return its first and second derivative by the turn."""
    t0 = C2*P
    t1 = Q*S2
    t2 = K - t0 - t1
    t3 = 1/sqrt(t2)
    t4 = (1/2)*t3
    t5 = Q*t4
    t6 = t2**(-3/2)
    t7 = (1/4)*t6
    first = (1/2)*P*S2*t3 - C2*t5
    second = C2*(P*t1*t7 + P*t4 - C2*(Q*Q)*t7) - S2*((1/4)*(P*P)*S2*t6 - Q*t0*t7 - t5)
    return first, second


def arm_by_radius(C2: Any, S2: Any, K: Any, P: Any, Q: Any, r: Any) -> tuple[Any, ...]:
    """Return its derivative by the arm's length."""
    t0 = C2*P + Q*S2
    by_radius = (1/2)*(2*(r*r) - t0)/(r*sqrt(K - t0))
    return by_radius,


def arm_turn(a: Any, K: Any, P: Any, Q: Any, sigma: Any) -> tuple[Any, ...]:
    """Return cosine and sine of the turn at a run, and the reach."""
    t0 = (P*P) + (Q*Q)
    t1 = 1/t0
    t2 = K - (a*a)
    t3 = t0 - (t2*t2)
    t4 = sigma*sqrt(t3)
    C2 = t1*(P*t2 + Q*t4)
    S2 = t1*(Q*t2 - P*t4)
    reach = t1*t3
    return C2, S2, reach


def drum_at_rest(
    r: Any, alpha2: Any, s2: Any, c2x: Any, c2y: Any, c2z: Any, u2x: Any, u2y: Any,
    u2z: Any, v2x: Any, v2y: Any, v2z: Any, n2x: Any, n2y: Any, n2z: Any, ox: Any,
    oy: Any, oz: Any, omega: Any
) -> tuple[Any, ...]:
    """Return straight part, direction of its foot, and its square."""
    t0 = cos(alpha2)
    t1 = sin(alpha2)
    wx = ox - c2x - n2x*s2
    wy = oy - c2y - n2y*s2
    wz = oz - c2z - n2z*s2
    e2x = t0*u2x + t1*v2x
    e2y = t0*u2y + t1*v2y
    e2z = t0*u2z + t1*v2z
    f2x = t0*v2x - t1*u2x
    f2y = t0*v2y - t1*u2y
    f2z = t0*v2z - t1*u2z
    t2 = e2x*wx + e2y*wy + e2z*wz
    t3 = f2x*wx + f2y*wy + f2z*wz
    t4 = (t2*t2) + (t3*t3) - (r*r)
    straight = sqrt(t4 + (n2x*wx + n2y*wy + n2z*wz)**2)
    leaves = atan2(t3, t2) - omega*atan2(sqrt(t4), r)
    clear = t4
    return straight, leaves, clear


def drum_run(straight: Any, lam: Any, r: Any) -> tuple[Any, ...]:
    """Return the run to a drum."""
    run = lam*r + straight
    return run,


def drum_wound(straight: Any, a: Any, r: Any) -> tuple[Any, ...]:
    """Return the angle on which the wire lies at a run."""
    wound = (a - straight)/r
    return wound,


def drum_by_radius(straight: Any, lam: Any, r: Any, flat: Any) -> tuple[Any, ...]:
    """Return the derivative of the run to a drum by its radius."""
    by_radius = lam - r/straight + r/flat
    return by_radius,
