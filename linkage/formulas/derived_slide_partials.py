"""The derived formulas of what each size of a rod on a slide changes, as plain arithmetic over NumPy.

Written by ``python -m linkage.formulas.write`` from `formulas.slide_derivation`: never
edit it. The names are the derivation's own; lengths in m, angles in rad.

Not here: shapes, blocks and units (`formulas.slide_kernels`).
"""

from __future__ import annotations

from typing import Any

from numpy import cos, sin


def partials_turn_slide(
    C1: Any, S1: Any, X2: Any, R: Any, alpha1: Any, s1: Any, c1x: Any, c1y: Any,
    c1z: Any, u1x: Any, u1y: Any, u1z: Any, v1x: Any, v1y: Any, v1z: Any, n1x: Any,
    n1y: Any, n1z: Any, r: Any, alpha2: Any, s2: Any, c2x: Any, c2y: Any, c2z: Any,
    u2x: Any, u2y: Any, u2z: Any, v2x: Any, v2y: Any, v2z: Any, n2x: Any, n2y: Any,
    n2z: Any, L: Any
) -> tuple[Any, ...]:
    """Return the change of the driven place by each measured parameter."""
    t0 = X2*n2x
    t1 = n2x*s2
    t2 = cos(alpha2)
    t3 = t2*u2x
    t4 = sin(alpha2)
    t5 = t4*v2x
    t6 = r*(t3 + t5)
    t7 = cos(alpha1)
    t8 = sin(alpha1)
    t9 = t7*u1x + t8*v1x
    t10 = C1*t9
    t11 = t7*v1x - t8*u1x
    t12 = S1*t11
    t13 = t10 + t12
    t14 = R*t13 + c1x - c2x + n1x*s1 - t0 - t1 - t6
    t15 = 2*t14
    t16 = X2*n2y
    t17 = n2y*s2
    t18 = t2*u2y
    t19 = t4*v2y
    t20 = r*(t18 + t19)
    t21 = t7*u1y + t8*v1y
    t22 = C1*t21
    t23 = t7*v1y - t8*u1y
    t24 = S1*t23
    t25 = t22 + t24
    t26 = R*t25 + c1y - c2y + n1y*s1 - t16 - t17 - t20
    t27 = 2*t26
    t28 = X2*n2z
    t29 = n2z*s2
    t30 = t2*u2z
    t31 = t4*v2z
    t32 = r*(t30 + t31)
    t33 = t7*u1z + t8*v1z
    t34 = C1*t33
    t35 = t7*v1z - t8*u1z
    t36 = S1*t35
    t37 = t34 + t36
    t38 = R*t37 + c1z - c2z + n1z*s1 - t28 - t29 - t32
    t39 = 2*t38
    t40 = n2x*t15 + n2y*t27 + n2z*t39
    t41 = -1/t40
    t42 = 2*c2x + 2*t0 + 2*t1 + 2*t6 - 2*R*t13 - 2*c1x - 2*n1x*s1
    t43 = 2*c2y + 2*t16 + 2*t17 + 2*t20 - 2*R*t25 - 2*c1y - 2*n1y*s1
    t44 = 2*c2z + 2*t28 + 2*t29 + 2*t32 - 2*R*t37 - 2*c1z - 2*n1z*s1
    by_R = t41*(-t14*(2*t10 + 2*t12) - t26*(2*t22 + 2*t24) - t38*(2*t34 + 2*t36))
    by_alpha1 = (
        t41*(-R*t15*(C1*t11 - S1*t9) - R*t27*(C1*t23 - S1*t21) - R*t39*(C1*t35 -
        S1*t33))
    )
    by_s1 = t41*(-n1x*t15 - n1y*t27 - n1z*t39)
    by_c1x = t41*t42
    by_c1y = t41*t43
    by_c1z = t41*t44
    by_r = t41*(-t14*(-2*t3 - 2*t5) - t26*(-2*t18 - 2*t19) - t38*(-2*t30 - 2*t31))
    by_alpha2 = (
        t41*(r*t15*(t2*v2x - t4*u2x) + r*t27*(t2*v2y - t4*u2y) + r*t39*(t2*v2z -
        t4*u2z))
    )
    by_s2 = t40*t41
    by_c2x = -t41*t42
    by_c2y = -t41*t43
    by_c2z = -t41*t44
    by_L = 2*L*t41
    return (
        by_R, by_alpha1, by_s1, by_c1x, by_c1y, by_c1z, by_r, by_alpha2, by_s2, by_c2x,
        by_c2y, by_c2z, by_L
    )


def partials_slide_turn(
    X1: Any, C2: Any, S2: Any, R: Any, alpha1: Any, s1: Any, c1x: Any, c1y: Any,
    c1z: Any, u1x: Any, u1y: Any, u1z: Any, v1x: Any, v1y: Any, v1z: Any, n1x: Any,
    n1y: Any, n1z: Any, r: Any, alpha2: Any, s2: Any, c2x: Any, c2y: Any, c2z: Any,
    u2x: Any, u2y: Any, u2z: Any, v2x: Any, v2y: Any, v2z: Any, n2x: Any, n2y: Any,
    n2z: Any, L: Any
) -> tuple[Any, ...]:
    """Return the change of the driven place by each measured parameter."""
    t0 = sin(alpha2)
    t1 = cos(alpha2)
    t2 = t1*v2x - t0*u2x
    t3 = X1*n1x
    t4 = n1x*s1
    t5 = cos(alpha1)
    t6 = t5*u1x
    t7 = sin(alpha1)
    t8 = t7*v1x
    t9 = R*(t6 + t8)
    t10 = t0*v2x + t1*u2x
    t11 = C2*t10
    t12 = S2*t2
    t13 = t11 + t12
    t14 = c1x - c2x - n2x*s2 - r*t13 + t3 + t4 + t9
    t15 = 2*t14
    t16 = r*t15
    t17 = t1*v2y - t0*u2y
    t18 = X1*n1y
    t19 = n1y*s1
    t20 = t5*u1y
    t21 = t7*v1y
    t22 = R*(t20 + t21)
    t23 = t0*v2y + t1*u2y
    t24 = C2*t23
    t25 = S2*t17
    t26 = t24 + t25
    t27 = c1y - c2y - n2y*s2 - r*t26 + t18 + t19 + t22
    t28 = 2*t27
    t29 = r*t28
    t30 = t1*v2z - t0*u2z
    t31 = X1*n1z
    t32 = n1z*s1
    t33 = t5*u1z
    t34 = t7*v1z
    t35 = R*(t33 + t34)
    t36 = t0*v2z + t1*u2z
    t37 = C2*t36
    t38 = S2*t30
    t39 = t37 + t38
    t40 = c1z - c2z - n2z*s2 - r*t39 + t31 + t32 + t35
    t41 = 2*t40
    t42 = r*t41
    t43 = 1/(C2*(-t16*t2 - t17*t29 - t30*t42) - S2*(-t10*t16 - t23*t29 - t36*t42))
    t44 = 2*c1x - 2*c2x - 2*n2x*s2 - 2*r*t13 + 2*t3 + 2*t4 + 2*t9
    t45 = 2*c1y - 2*c2y - 2*n2y*s2 - 2*r*t26 + 2*t18 + 2*t19 + 2*t22
    t46 = 2*c1z - 2*c2z - 2*n2z*s2 - 2*r*t39 + 2*t31 + 2*t32 + 2*t35
    by_R = t43*(-t14*(2*t6 + 2*t8) - t27*(2*t20 + 2*t21) - t40*(2*t33 + 2*t34))
    by_alpha1 = (
        t43*(-R*t15*(t5*v1x - t7*u1x) - R*t28*(t5*v1y - t7*u1y) - R*t41*(t5*v1z -
        t7*u1z))
    )
    by_s1 = t43*(-n1x*t15 - n1y*t28 - n1z*t41)
    by_c1x = -t43*t44
    by_c1y = -t43*t45
    by_c1z = -t43*t46
    by_r = t43*(-t14*(-2*t11 - 2*t12) - t27*(-2*t24 - 2*t25) - t40*(-2*t37 - 2*t38))
    by_alpha2 = (
        t43*(t16*(C2*t2 - S2*t10) + t29*(C2*t17 - S2*t23) + t42*(C2*t30 - S2*t36))
    )
    by_s2 = t43*(n2x*t15 + n2y*t28 + n2z*t41)
    by_c2x = t43*t44
    by_c2y = t43*t45
    by_c2z = t43*t46
    by_L = 2*L*t43
    return (
        by_R, by_alpha1, by_s1, by_c1x, by_c1y, by_c1z, by_r, by_alpha2, by_s2, by_c2x,
        by_c2y, by_c2z, by_L
    )


def partials_slide_slide(
    X1: Any, X2: Any, R: Any, alpha1: Any, s1: Any, c1x: Any, c1y: Any, c1z: Any,
    u1x: Any, u1y: Any, u1z: Any, v1x: Any, v1y: Any, v1z: Any, n1x: Any, n1y: Any,
    n1z: Any, r: Any, alpha2: Any, s2: Any, c2x: Any, c2y: Any, c2z: Any, u2x: Any,
    u2y: Any, u2z: Any, v2x: Any, v2y: Any, v2z: Any, n2x: Any, n2y: Any, n2z: Any,
    L: Any
) -> tuple[Any, ...]:
    """Return the change of the driven place by each measured parameter."""
    t0 = X1*n1x
    t1 = n1x*s1
    t2 = cos(alpha1)
    t3 = t2*u1x
    t4 = sin(alpha1)
    t5 = t4*v1x
    t6 = R*(t3 + t5)
    t7 = cos(alpha2)
    t8 = t7*u2x
    t9 = sin(alpha2)
    t10 = t9*v2x
    t11 = t10 + t8
    t12 = c1x + t0 + t1 + t6 - X2*n2x - c2x - n2x*s2 - r*t11
    t13 = 2*t12
    t14 = X1*n1y
    t15 = n1y*s1
    t16 = t2*u1y
    t17 = t4*v1y
    t18 = R*(t16 + t17)
    t19 = t7*u2y
    t20 = t9*v2y
    t21 = t19 + t20
    t22 = c1y + t14 + t15 + t18 - X2*n2y - c2y - n2y*s2 - r*t21
    t23 = 2*t22
    t24 = X1*n1z
    t25 = n1z*s1
    t26 = t2*u1z
    t27 = t4*v1z
    t28 = R*(t26 + t27)
    t29 = t7*u2z
    t30 = t9*v2z
    t31 = t29 + t30
    t32 = c1z + t24 + t25 + t28 - X2*n2z - c2z - n2z*s2 - r*t31
    t33 = 2*t32
    t34 = n2x*t13 + n2y*t23 + n2z*t33
    t35 = -1/t34
    t36 = 2*c1x + 2*t0 + 2*t1 + 2*t6 - 2*X2*n2x - 2*c2x - 2*n2x*s2 - 2*r*t11
    t37 = 2*c1y + 2*t14 + 2*t15 + 2*t18 - 2*X2*n2y - 2*c2y - 2*n2y*s2 - 2*r*t21
    t38 = 2*c1z + 2*t24 + 2*t25 + 2*t28 - 2*X2*n2z - 2*c2z - 2*n2z*s2 - 2*r*t31
    by_R = t35*(-t12*(2*t3 + 2*t5) - t22*(2*t16 + 2*t17) - t32*(2*t26 + 2*t27))
    by_alpha1 = (
        t35*(-R*t13*(t2*v1x - t4*u1x) - R*t23*(t2*v1y - t4*u1y) - R*t33*(t2*v1z -
        t4*u1z))
    )
    by_s1 = t35*(-n1x*t13 - n1y*t23 - n1z*t33)
    by_c1x = -t35*t36
    by_c1y = -t35*t37
    by_c1z = -t35*t38
    by_r = t35*(-t12*(-2*t10 - 2*t8) - t22*(-2*t19 - 2*t20) - t32*(-2*t29 - 2*t30))
    by_alpha2 = (
        t35*(r*t13*(t7*v2x - t9*u2x) + r*t23*(t7*v2y - t9*u2y) + r*t33*(t7*v2z -
        t9*u2z))
    )
    by_s2 = t34*t35
    by_c2x = t35*t36
    by_c2y = t35*t37
    by_c2z = t35*t38
    by_L = 2*L*t35
    return (
        by_R, by_alpha1, by_s1, by_c1x, by_c1y, by_c1z, by_r, by_alpha2, by_s2, by_c2x,
        by_c2y, by_c2z, by_L
    )
