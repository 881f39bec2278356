"""Andrews' squeezing mechanism, three coupled loops, start values of 30 digits.

E. Hairer, G. Wanner, Solving Ordinary Differential Equations II, p. 533, (7.11);
Test Set for IVP Solvers. Seen.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import sympy as sp

from linkage.motion import assemble, frame, sweep
from tests.published.measure import andrews_file, andrews_layout


def test_printed_loop_equations_hold_at_thirty_digits():
    """The source's own six equations, so that the data are not mistyped."""
    data = andrews_file()
    rr, d, ss, e, zt, zf, u, xa, ya, xb, yb = (
        sp.Rational(data["lengths"][k])
        for k in ("rr", "d", "ss", "e", "zt", "zf", "u", "xa", "ya", "xb", "yb")
    )
    beta, theta, gamma, phi, delta, omega, epsilon = (
        sp.Float(data["start"][k], 50)
        for k in ("beta", "Theta", "gamma", "Phi", "delta", "Omega", "epsilon")
    )
    x = rr * sp.cos(beta) - d * sp.cos(beta + theta)
    y = rr * sp.sin(beta) - d * sp.sin(beta + theta)
    residuals = [
        x - ss * sp.sin(gamma) - xb,
        y + ss * sp.cos(gamma) - yb,
        x - e * sp.sin(phi + delta) - zt * sp.cos(delta) - xa,
        y + e * sp.cos(phi + delta) - zt * sp.sin(delta) - ya,
        x - zf * sp.cos(omega + epsilon) - u * sp.sin(epsilon) - xa,
        y - zf * sp.sin(omega + epsilon) + u * sp.cos(epsilon) - ya,
    ]
    assert max(abs(r) for r in residuals) < sp.Float("2e-31", 50)


@pytest.fixture(scope="module")
def start():
    return sweep(assemble(andrews_layout()), [0.0])


@pytest.mark.parametrize(
    ("rod", "names"),
    [("d", ("gamma",)), ("zt", ("Phi", "delta")), ("zf", ("epsilon",))],
)
def test_compiled_floats_agree_to_twelve_digits(start, rod, names):
    printed = sum(float(andrews_file()["start"][n]) for n in names) - math.pi / 2
    layout = start.assembly.layout
    link = start.assembly.loop(rod).link
    arm = frame(start).pin(link.driven).T[0] - np.array(
        layout.shafts[link.driven.shaft].pivot
    )
    assert math.atan2(arm[1], arm[0]) == pytest.approx(printed, abs=1e-12)


def test_joints_meet_where_the_source_puts_them(start):
    """Both outer rods start at the pin that the first rod and its lever share."""
    data = {k: float(v) for k, v in andrews_file()["start"].items()}
    size = {k: float(v) for k, v in andrews_file()["lengths"].items()}
    joint = [
        size["rr"] * math.cos(data["beta"]) - size["d"] * math.cos(data["beta"]),
        size["rr"] * math.sin(data["beta"]) - size["d"] * math.sin(data["beta"]),
        0.0,
    ]
    pin = frame(start).pin(start.assembly.loop("d").link.driven).T[0]
    assert np.allclose(pin, joint, atol=1e-15)
