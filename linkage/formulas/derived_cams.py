"""The derived formulas of cams, as plain arithmetic over NumPy.

Written by ``python -m linkage.formulas.write`` from `formulas.cam_derivation`: never
edit it. The names are the derivation's own; lengths in m, angles in rad.

Not here: shapes, blocks and units (`formulas.cam_kernels`).
"""

from __future__ import annotations

from typing import Any

from numpy import sqrt


def pin_way(
    C1: Any, S1: Any, C2: Any, S2: Any, ax: Any, ay: Any, bx: Any, by: Any, cx: Any,
    cy: Any, q1_1: Any, q2_1: Any, q1_2: Any, q2_2: Any
) -> tuple[Any, ...]:
    """Return the pin in the cam, the normal of its way, its bend, and the push."""
    t0 = C2*bx + S2*cx + ax
    t1 = C2*by + S2*cy + ay
    t2 = S1*t1
    t3 = C1*t1 - S1*t0
    t4 = C1*cx + S1*cy
    t5 = C1*bx + S1*by
    t6 = C2*t4 - S2*t5
    t7 = q2_1*t6
    t8 = q1_1*t3 + t7
    t9 = -t0
    t10 = C1*t9 - t2
    t11 = C1*cy - S1*cx
    t12 = C1*by - S1*bx
    t13 = C2*t11 - S2*t12
    t14 = q2_1*t13
    t15 = q1_1*t10 + t14
    t16 = (t15*t15) + (t8*t8)
    t17 = 1/sqrt(t16)
    t18 = t15*t17
    t19 = -t17*t8
    t20 = q1_1*t9 + q2_1*(C2*cy - S2*by)
    t21 = C2*cx - S2*bx
    t22 = -t5
    t23 = (q2_1*q2_1)
    x = C1*t0 + t2
    y = t3
    out_x = t18
    out_y = t19
    bend = (
        (t8*(q1_1*(C1*(-q1_1*t1 - q2_1*t21) - S1*t20) + q1_2*t10 + q2_1*(C2*(-q1_1*t4 -
        q2_1*t12) - S2*(q1_1*t22 + q2_1*t11)) + q2_2*t13) - t15*(q1_1*(C1*t20 -
        S1*(q1_1*t1 + q2_1*t21)) + q1_2*t3 + q2_1*(C2*(q1_1*t11 + q2_1*t22) -
        S2*(q1_1*t12 + q2_1*t4)) + q2_2*t6))/t16**(3/2)
    )
    push = (t14*t19 + t18*t7)/sqrt((t13*t13)*t23 + t23*(t6*t6))
    return x, y, out_x, out_y, bend, push
