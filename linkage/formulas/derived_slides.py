"""The derived formulas of rods on slides, as plain arithmetic over NumPy.

Written by ``python -m linkage.formulas.write`` from `formulas.slide_derivation`: never
edit it. The names are the derivation's own; lengths in m, angles in rad.

Not here: shapes, blocks and units (`formulas.slide_kernels`).
"""

from __future__ import annotations

from typing import Any

from numpy import cos, sin, sqrt


def coefficients_turn_slide(
    R: Any, alpha1: Any, s1: Any, c1x: Any, c1y: Any, c1z: Any, u1x: Any, u1y: Any,
    u1z: Any, v1x: Any, v1y: Any, v1z: Any, n1x: Any, n1y: Any, n1z: Any, r: Any,
    alpha2: Any, s2: Any, c2x: Any, c2y: Any, c2z: Any, u2x: Any, u2y: Any, u2z: Any,
    v2x: Any, v2y: Any, v2z: Any, n2x: Any, n2y: Any, n2z: Any, L: Any
) -> tuple[Any, ...]:
    """Return the nine reduced coefficients of a rod."""
    t0 = cos(alpha1)
    t1 = sin(alpha1)
    t2 = cos(alpha2)
    t3 = sin(alpha2)
    hx = c1x - c2x + n1x*s1 - n2x*s2
    hy = c1y - c2y + n1y*s1 - n2y*s2
    hz = c1z - c2z + n1z*s1 - n2z*s2
    e1x = t0*u1x + t1*v1x
    e1y = t0*u1y + t1*v1y
    e1z = t0*u1z + t1*v1z
    f1x = t0*v1x - t1*u1x
    f1y = t0*v1y - t1*u1y
    f1z = t0*v1z - t1*u1z
    e2x = t2*u2x + t3*v2x
    e2y = t2*u2y + t3*v2y
    e2z = t2*u2z + t3*v2z
    f2x = t2*v2x - t3*u2x
    f2y = t2*v2y - t3*u2y
    f2z = t2*v2z - t3*u2z
    t4 = e2x*r
    t5 = e2y*r
    t6 = e2z*r
    A0 = 0
    A1 = 0
    A2 = 0
    B0 = hx*n2x + hy*n2y + hz*n2z
    B1 = R*(e1x*n2x + e1y*n2y + e1z*n2z)
    B2 = R*(f1x*n2x + f1y*n2y + f1z*n2z)
    K0 = (
        (1/2)*(R*R) + (1/2)*(hx*hx) + (1/2)*(hy*hy) + (1/2)*(hz*hz) + (1/2)*(r*r) -
        1/2*(L*L) - hx*t4 - hy*t5 - hz*t6
    )
    K1 = R*(e1x*hx - e1x*t4 + e1y*hy - e1y*t5 + e1z*hz - e1z*t6)
    K2 = R*(f1x*hx - f1x*t4 + f1y*hy - f1y*t5 + f1z*hz - f1z*t6)
    return A0, A1, A2, B0, B1, B2, K0, K1, K2


def close_turn_slide(
    C1: Any, S1: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any, K0: Any,
    K1: Any, K2: Any, L: Any, sigma: Any
) -> tuple[Any, ...]:
    """Return the driven slide's way, and the reach."""
    t0 = B0 + B1*C1 + B2*S1
    t1 = (t0*t0) - 2*C1*K1 - 2*K0 - 2*K2*S1
    X2 = t0 - sigma*sqrt(t1)
    reach = t1/(L*L)
    return X2, reach


def moments_turn_slide(
    C1: Any, S1: Any, X2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any,
    K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return the loop's derivatives by the driver's and the driven place."""
    t0 = 2*X2
    driver = C1*(2*K2 - B2*t0) - S1*(2*K1 - B1*t0)
    driven = 2*X2 - 2*B0 - 2*B1*C1 - 2*B2*S1
    return driver, driven


def miss_turn_slide(
    C1: Any, S1: Any, X2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any,
    K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return the loop itself, zero where it is closed."""
    miss = 2*C1*K1 + 2*K0 + 2*K2*S1 + (X2*X2) - 2*X2*(B0 + B1*C1 + B2*S1)
    return miss,


def rates_turn_slide(
    C1: Any, S1: Any, X2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any,
    K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return first and second derivative of the driven place."""
    t0 = 2*B1
    t1 = 2*B2
    t2 = 2*X2 - 2*B0 - C1*t0 - S1*t1
    t3 = 1/t2
    t4 = 2*X2
    t5 = B2*t4 - 2*K2
    t6 = 2*K1 - B1*t4
    t7 = C1*t5 + S1*t6
    t8 = t3*t7
    t9 = t7/(t2*t2)
    first = t8
    second = C1*(t1*t9 + t3*t6) - S1*(t0*t9 + t3*t5) + t8*(t3*(2*B2*C1 - S1*t0) - 2*t9)
    return first, second


def coefficients_slide_turn(
    R: Any, alpha1: Any, s1: Any, c1x: Any, c1y: Any, c1z: Any, u1x: Any, u1y: Any,
    u1z: Any, v1x: Any, v1y: Any, v1z: Any, n1x: Any, n1y: Any, n1z: Any, r: Any,
    alpha2: Any, s2: Any, c2x: Any, c2y: Any, c2z: Any, u2x: Any, u2y: Any, u2z: Any,
    v2x: Any, v2y: Any, v2z: Any, n2x: Any, n2y: Any, n2z: Any, L: Any
) -> tuple[Any, ...]:
    """Return the nine reduced coefficients of a rod."""
    t0 = cos(alpha1)
    t1 = sin(alpha1)
    t2 = cos(alpha2)
    t3 = sin(alpha2)
    hx = c1x - c2x + n1x*s1 - n2x*s2
    hy = c1y - c2y + n1y*s1 - n2y*s2
    hz = c1z - c2z + n1z*s1 - n2z*s2
    e1x = t0*u1x + t1*v1x
    e1y = t0*u1y + t1*v1y
    e1z = t0*u1z + t1*v1z
    f1x = t0*v1x - t1*u1x
    f1y = t0*v1y - t1*u1y
    f1z = t0*v1z - t1*u1z
    e2x = t2*u2x + t3*v2x
    e2y = t2*u2y + t3*v2y
    e2z = t2*u2z + t3*v2z
    f2x = t2*v2x - t3*u2x
    f2y = t2*v2y - t3*u2y
    f2z = t2*v2z - t3*u2z
    t4 = R*e1x
    t5 = R*e1y
    t6 = R*e1z
    A0 = r*(e2x*hx + e2x*t4 + e2y*hy + e2y*t5 + e2z*hz + e2z*t6)
    A1 = r*(e2x*n1x + e2y*n1y + e2z*n1z)
    A2 = 0
    B0 = r*(f2x*hx + f2x*t4 + f2y*hy + f2y*t5 + f2z*hz + f2z*t6)
    B1 = r*(f2x*n1x + f2y*n1y + f2z*n1z)
    B2 = 0
    K0 = (
        (1/2)*(R*R) + (1/2)*(hx*hx) + hx*t4 + (1/2)*(hy*hy) + hy*t5 + (1/2)*(hz*hz) +
        hz*t6 + (1/2)*(r*r) - 1/2*(L*L)
    )
    K1 = hx*n1x + hy*n1y + hz*n1z
    K2 = 1/2
    return A0, A1, A2, B0, B1, B2, K0, K1, K2


def moments_slide_turn(
    X1: Any, C2: Any, S2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any,
    K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return the loop's derivatives by the driver's and the driven place."""
    t0 = 2*X1
    t1 = 2*(X1*X1)
    driver = 2*K1 + 4*K2*X1 - 2*C2*(A1 + A2*t0) - 2*S2*(B1 + B2*t0)
    driven = C2*(-2*B0 - B1*t0 - B2*t1) - S2*(-2*A0 - A1*t0 - A2*t1)
    return driver, driven


def miss_slide_turn(
    X1: Any, C2: Any, S2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any,
    K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return the loop itself, zero where it is closed."""
    t0 = (X1*X1)
    miss = (
        2*K0 + 2*K1*X1 + 2*K2*t0 - 2*C2*(A0 + A1*X1 + A2*t0) - 2*S2*(B0 + B1*X1 + B2*t0)
    )
    return miss,


def rates_slide_turn(
    X1: Any, C2: Any, S2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any,
    K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return first and second derivative of the driven place."""
    t0 = 2*B1
    t1 = 2*(X1*X1)
    t2 = 2*B0 + B2*t1 + X1*t0
    t3 = 2*A1
    t4 = -2*A0 - A2*t1 - X1*t3
    t5 = -C2*t2 - S2*t4
    t6 = 1/t5
    t7 = 4*K2
    t8 = 2*X1
    t9 = 2*C2*(A1 + A2*t8) - 2*K1 + 2*S2*(B1 + B2*t8) - X1*t7
    t10 = t6*t9
    t11 = 4*A2
    t12 = 4*B2
    t13 = X1*t12 + t0
    t14 = t9/(t5*t5)
    t15 = X1*t11 + t3
    first = t10
    second = (
        t10*(C2*(t13*t6 + t14*t4) - S2*(t14*t2 + t15*t6)) + t14*(C2*t13 - S2*t15) +
        t6*(C2*t11 + S2*t12 - t7)
    )
    return first, second


def coefficients_slide_slide(
    R: Any, alpha1: Any, s1: Any, c1x: Any, c1y: Any, c1z: Any, u1x: Any, u1y: Any,
    u1z: Any, v1x: Any, v1y: Any, v1z: Any, n1x: Any, n1y: Any, n1z: Any, r: Any,
    alpha2: Any, s2: Any, c2x: Any, c2y: Any, c2z: Any, u2x: Any, u2y: Any, u2z: Any,
    v2x: Any, v2y: Any, v2z: Any, n2x: Any, n2y: Any, n2z: Any, L: Any
) -> tuple[Any, ...]:
    """Return the nine reduced coefficients of a rod."""
    t0 = cos(alpha1)
    t1 = sin(alpha1)
    t2 = cos(alpha2)
    t3 = sin(alpha2)
    hx = c1x - c2x + n1x*s1 - n2x*s2
    hy = c1y - c2y + n1y*s1 - n2y*s2
    hz = c1z - c2z + n1z*s1 - n2z*s2
    e1x = t0*u1x + t1*v1x
    e1y = t0*u1y + t1*v1y
    e1z = t0*u1z + t1*v1z
    f1x = t0*v1x - t1*u1x
    f1y = t0*v1y - t1*u1y
    f1z = t0*v1z - t1*u1z
    e2x = t2*u2x + t3*v2x
    e2y = t2*u2y + t3*v2y
    e2z = t2*u2z + t3*v2z
    f2x = t2*v2x - t3*u2x
    f2y = t2*v2y - t3*u2y
    f2z = t2*v2z - t3*u2z
    t4 = R*e1x
    t5 = R*e1y
    t6 = R*e1z
    t7 = e2x*r
    t8 = e2y*r
    t9 = e2z*r
    A0 = 0
    A1 = 0
    A2 = 0
    B0 = hx*n2x + hy*n2y + hz*n2z + n2x*t4 + n2y*t5 + n2z*t6
    B1 = n1x*n2x + n1y*n2y + n1z*n2z
    B2 = 0
    K0 = (
        (1/2)*(R*R) + (1/2)*(hx*hx) + hx*t4 + (1/2)*(hy*hy) + hy*t5 + (1/2)*(hz*hz) +
        hz*t6 + (1/2)*(r*r) - 1/2*(L*L) - hx*t7 - hy*t8 - hz*t9 - t4*t7 - t5*t8 - t6*t9
    )
    K1 = hx*n1x + hy*n1y + hz*n1z - n1x*t7 - n1y*t8 - n1z*t9
    K2 = 1/2
    return A0, A1, A2, B0, B1, B2, K0, K1, K2


def close_slide_slide(
    X1: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any, K0: Any, K1: Any,
    K2: Any, L: Any, sigma: Any
) -> tuple[Any, ...]:
    """Return the driven slide's way, and the reach."""
    t0 = (X1*X1)
    t1 = B0 + B1*X1 + B2*t0
    t2 = (t1*t1) - 2*K0 - 2*K1*X1 - 2*K2*t0
    X2 = t1 - sigma*sqrt(t2)
    reach = t2/(L*L)
    return X2, reach


def moments_slide_slide(
    X1: Any, X2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any, K0: Any,
    K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return the loop's derivatives by the driver's and the driven place."""
    t0 = 2*X1
    driver = 2*K1 + 4*K2*X1 - 2*X2*(B1 + B2*t0)
    driven = 2*X2 - 2*B0 - B1*t0 - 2*B2*(X1*X1)
    return driver, driven


def miss_slide_slide(
    X1: Any, X2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any, K0: Any,
    K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return the loop itself, zero where it is closed."""
    t0 = (X1*X1)
    miss = 2*K0 + 2*K1*X1 + 2*K2*t0 + (X2*X2) - 2*X2*(B0 + B1*X1 + B2*t0)
    return miss,


def rates_slide_slide(
    X1: Any, X2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any, K0: Any,
    K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return first and second derivative of the driven place."""
    t0 = 2*B1
    t1 = 2*B2
    t2 = 2*X2 - 2*B0 - (X1*X1)*t1 - X1*t0
    t3 = 1/t2
    t4 = 4*K2
    t5 = 2*X2*(B1 + X1*t1) - 2*K1 - X1*t4
    t6 = t3*t5
    t7 = 4*B2
    t8 = X1*t7 + t0
    t9 = t5/(t2*t2)
    first = t6
    second = t3*(X2*t7 - t4) + t6*(t3*t8 - 2*t9) + t8*t9
    return first, second
