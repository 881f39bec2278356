"""The derived formulas, as plain arithmetic over NumPy.

Written by ``python -m linkage.formulas.write`` from `formulas.derivation`: never
edit it. The names are the derivation's own; lengths in m, angles in rad.

Not here: shapes, blocks and units (`formulas.kernels`).
"""

from __future__ import annotations

from typing import Any

from numpy import cos, sin, sqrt

#: Parameters of a rod, in their order.
PARAMETER_NAMES = (
    "R", "alpha1", "s1", "c1x", "c1y", "c1z", "u1x", "u1y", "u1z", "v1x", "v1y", "v1z",
    "n1x", "n1y", "n1z", "r", "alpha2", "s2", "c2x", "c2y", "c2z", "u2x", "u2y", "u2z",
    "v2x", "v2y", "v2z", "n2x", "n2y", "n2z", "L"
)
#: Those that `partials` returns.
MEASURED_NAMES = (
    "R", "alpha1", "s1", "c1x", "c1y", "c1z", "r", "alpha2", "s2", "c2x", "c2y", "c2z",
    "L"
)


def coefficients(
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
    t4 = 1/r
    t5 = R*t4
    A0 = e2x*hx + e2y*hy + e2z*hz
    A1 = R*(e1x*e2x + e1y*e2y + e1z*e2z)
    A2 = R*(e2x*f1x + e2y*f1y + e2z*f1z)
    B0 = f2x*hx + f2y*hy + f2z*hz
    B1 = R*(e1x*f2x + e1y*f2y + e1z*f2z)
    B2 = R*(f1x*f2x + f1y*f2y + f1z*f2z)
    K0 = (1/2)*t4*((R*R) + (hx*hx) + (hy*hy) + (hz*hz) + (r*r) - (L*L))
    K1 = t5*(e1x*hx + e1y*hy + e1z*hz)
    K2 = t5*(f1x*hx + f1y*hy + f1z*hz)
    return A0, A1, A2, B0, B1, B2, K0, K1, K2


def close(
    C1: Any, S1: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any, K0: Any,
    K1: Any, K2: Any, sigma: Any
) -> tuple[Any, ...]:
    """Return cosine and sine of the driven turn, and the reach."""
    t0 = A0 + A1*C1 + A2*S1
    t1 = B0 + B1*C1 + B2*S1
    t2 = (t0*t0) + (t1*t1)
    t3 = 1/t2
    t4 = C1*K1 + K0 + K2*S1
    t5 = t2 - (t4*t4)
    t6 = sigma*sqrt(t5)
    C2 = t3*(t0*t4 + t1*t6)
    S2 = t3*(t1*t4 - t0*t6)
    reach = t3*t5
    return C2, S2, reach


def close_moments(
    C1: Any, S1: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any, K0: Any,
    K1: Any, K2: Any, sigma: Any
) -> tuple[Any, ...]:
    """Return what `close` and `moments` do, common parts worked out once."""
    t0 = A0 + A1*C1 + A2*S1
    t1 = B0 + B1*C1 + B2*S1
    t2 = (t0*t0) + (t1*t1)
    t3 = 1/t2
    t4 = C1*K1 + K0 + K2*S1
    t5 = t2 - (t4*t4)
    t6 = sigma*sqrt(t5)
    C2 = t3*(t0*t4 + t1*t6)
    S2 = t3*(t1*t4 - t0*t6)
    reach = t3*t5
    driver = C1*(A2*C2 + B2*S2 - K2) - S1*(A1*C2 + B1*S2 - K1)
    driven = t6
    return C2, S2, reach, driver, driven


def ray(
    T1: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any, B2: Any, K0: Any, K1: Any,
    K2: Any, sigma: Any
) -> tuple[Any, ...]:
    """Return a point in the direction of the driven turn, sine first."""
    t0 = B0 + B1 + T1*(2*B2 + T1*(B0 - B1))
    t1 = K0 + K1 + T1*(2*K2 + T1*(K0 - K1))
    t2 = A0 + A1 + T1*(2*A2 + T1*(A0 - A1))
    t3 = sigma*sqrt((t0*t0) - (t1*t1) + (t2*t2))
    y = t0*t1 - t2*t3
    x = t0*t3 + t1*t2
    return y, x


def moments(
    C1: Any, S1: Any, C2: Any, S2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any,
    B2: Any, K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return the loop's derivatives by the driver's and the driven turn."""
    driver = C1*(A2*C2 + B2*S2 - K2) - S1*(A1*C2 + B1*S2 - K1)
    driven = C2*(B0 + B1*C1 + B2*S1) - S2*(A0 + A1*C1 + A2*S1)
    return driver, driven


def miss(
    C1: Any, S1: Any, C2: Any, S2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any,
    B2: Any, K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return the loop itself, zero where it is closed."""
    miss = C2*(A0 + A1*C1 + A2*S1) + S2*(B0 + B1*C1 + B2*S1) - C1*K1 - K0 - K2*S1
    return miss,


def rates(
    C1: Any, S1: Any, C2: Any, S2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any,
    B2: Any, K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return first and second derivative of the driven turn."""
    t0 = B0 + B1*C1 + B2*S1
    t1 = A0 + A1*C1 + A2*S1
    t2 = C2*t0 - S2*t1
    t3 = 1/t2
    t4 = A2*C2 + B2*S2 - K2
    t5 = A1*C2 + B1*S2 - K1
    t6 = S1*t5 - C1*t4
    t7 = t3*t6
    t8 = t6/(t2*t2)
    first = t7
    second = (
        C1*(t3*t5 + t8*(A2*S2 - B2*C2)) - S1*(t8*(A1*S2 - B1*C2) - t3*t4) +
        t7*(C2*(t1*t8 + t3*(B1*S1 - B2*C1)) - S2*(t3*(A1*S1 - A2*C1) - t0*t8))
    )
    return first, second


def ratio(
    C1: Any, S1: Any, C2: Any, S2: Any, A0: Any, A1: Any, A2: Any, B0: Any, B1: Any,
    B2: Any, K0: Any, K1: Any, K2: Any
) -> tuple[Any, ...]:
    """Return the first derivative of the driven turn."""
    first = (
        (S1*(A1*C2 + B1*S2 - K1) - C1*(A2*C2 + B2*S2 - K2))/(C2*(B0 + B1*C1 + B2*S1) -
        S2*(A0 + A1*C1 + A2*S1))
    )
    return first,


def partials(
    C1: Any, S1: Any, C2: Any, S2: Any, R: Any, alpha1: Any, s1: Any, c1x: Any,
    c1y: Any, c1z: Any, u1x: Any, u1y: Any, u1z: Any, v1x: Any, v1y: Any, v1z: Any,
    n1x: Any, n1y: Any, n1z: Any, r: Any, alpha2: Any, s2: Any, c2x: Any, c2y: Any,
    c2z: Any, u2x: Any, u2y: Any, u2z: Any, v2x: Any, v2y: Any, v2z: Any, n2x: Any,
    n2y: Any, n2z: Any, L: Any
) -> tuple[Any, ...]:
    """Return the change of the driven turn by each measured parameter."""
    t0 = sin(alpha2)
    t1 = cos(alpha2)
    t2 = t1*v2x - t0*u2x
    t3 = n1x*s1
    t4 = cos(alpha1)
    t5 = sin(alpha1)
    t6 = t4*u1x + t5*v1x
    t7 = C1*t6
    t8 = t4*v1x - t5*u1x
    t9 = S1*t8
    t10 = R*(t7 + t9)
    t11 = t0*v2x + t1*u2x
    t12 = C2*t11
    t13 = S2*t2
    t14 = t12 + t13
    t15 = c1x - c2x - n2x*s2 - r*t14 + t10 + t3
    t16 = 2*t15
    t17 = r*t16
    t18 = t1*v2y - t0*u2y
    t19 = n1y*s1
    t20 = t4*u1y + t5*v1y
    t21 = C1*t20
    t22 = t4*v1y - t5*u1y
    t23 = S1*t22
    t24 = R*(t21 + t23)
    t25 = t0*v2y + t1*u2y
    t26 = C2*t25
    t27 = S2*t18
    t28 = t26 + t27
    t29 = c1y - c2y - n2y*s2 - r*t28 + t19 + t24
    t30 = 2*t29
    t31 = r*t30
    t32 = t1*v2z - t0*u2z
    t33 = n1z*s1
    t34 = t4*u1z + t5*v1z
    t35 = C1*t34
    t36 = t4*v1z - t5*u1z
    t37 = S1*t36
    t38 = R*(t35 + t37)
    t39 = t0*v2z + t1*u2z
    t40 = C2*t39
    t41 = S2*t32
    t42 = t40 + t41
    t43 = c1z - c2z - n2z*s2 - r*t42 + t33 + t38
    t44 = 2*t43
    t45 = r*t44
    t46 = 1/(C2*(-t17*t2 - t18*t31 - t32*t45) - S2*(-t11*t17 - t25*t31 - t39*t45))
    t47 = 2*c1x - 2*c2x - 2*n2x*s2 - 2*r*t14 + 2*t10 + 2*t3
    t48 = 2*c1y - 2*c2y - 2*n2y*s2 - 2*r*t28 + 2*t19 + 2*t24
    t49 = 2*c1z - 2*c2z - 2*n2z*s2 - 2*r*t42 + 2*t33 + 2*t38
    by_R = t46*(-t15*(2*t7 + 2*t9) - t29*(2*t21 + 2*t23) - t43*(2*t35 + 2*t37))
    by_alpha1 = (
        t46*(-R*t16*(C1*t8 - S1*t6) - R*t30*(C1*t22 - S1*t20) - R*t44*(C1*t36 - S1*t34))
    )
    by_s1 = t46*(-n1x*t16 - n1y*t30 - n1z*t44)
    by_c1x = -t46*t47
    by_c1y = -t46*t48
    by_c1z = -t46*t49
    by_r = t46*(-t15*(-2*t12 - 2*t13) - t29*(-2*t26 - 2*t27) - t43*(-2*t40 - 2*t41))
    by_alpha2 = (
        t46*(t17*(C2*t2 - S2*t11) + t31*(C2*t18 - S2*t25) + t45*(C2*t32 - S2*t39))
    )
    by_s2 = t46*(n2x*t16 + n2y*t30 + n2z*t44)
    by_c2x = t46*t47
    by_c2y = t46*t48
    by_c2z = t46*t49
    by_L = 2*L*t46
    return (
        by_R, by_alpha1, by_s1, by_c1x, by_c1y, by_c1z, by_r, by_alpha2, by_s2, by_c2x,
        by_c2y, by_c2z, by_L
    )
