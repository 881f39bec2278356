"""The formulas of free runs of wire are exact: what is left over is zero in symbols.

Bare arm: the run is the distance of two points, written out here in coordinates. Drum:
its wire is a straight piece that touches the circle and an arc, laid out here by points
and differentiated; the arc is the integral of the radius.
"""

from __future__ import annotations

import pytest
import sympy as sp

from linkage.formulas import derivation as c
from linkage.formulas import run_derivation as d
from tests.symbolic.test_closed_form import polynomial, turned_basis

BRANCHES = (1, -1)
SENSES = (1, -1)
q = sp.Symbol("q", real=True)
TURN = {c.C2: sp.cos(q), c.S2: sp.sin(q)}


def square() -> sp.Expr:
    """Return the square of a bare arm's run as its three coefficients give it."""
    return d.K - d.P * c.C2 - d.Q * c.S2


def test_the_coefficients_are_the_distance_for_any_axis():
    """From the hole, in coordinates of a shaft that lies any way, to the sheath."""
    values = {}
    for symbols, vector in zip((c.u2, c.v2, c.n2), turned_basis("q"), strict=True):
        values.update(zip(symbols, vector, strict=True))
    angle = c.alpha2 + q
    hole = c.c2 + c.s2 * c.n2 + c.r * (c.u2 * sp.cos(angle) + c.v2 * sp.sin(angle))
    distance = (hole - d.o).dot(hole - d.o)
    ours = square().subs(d.arm_coefficients()).subs(d.given()).subs(TURN)
    assert polynomial(sp.expand_trig((ours - distance).subs(values))) == 0


@pytest.mark.parametrize("branch", BRANCHES)
def test_the_turn_of_a_bare_arm_gives_its_run_back(branch):
    cosine, sine, _ = (e.subs(c.sigma, branch) for e in d.arm_turn())
    assert sp.simplify(d.P * cosine + d.Q * sine - (d.K - d.a**2)) == 0
    assert sp.simplify(cosine**2 + sine**2 - 1) == 0


@pytest.mark.parametrize("branch", BRANCHES)
def test_on_its_branch_a_pull_turns_the_arm_that_way(branch):
    """The run gets less with a turn of that sense: d(a²)/dq = P S2 - Q C2."""
    cosine, sine, _ = (e.subs(c.sigma, branch) for e in d.arm_turn())
    slope = sp.simplify(d.P * sine - d.Q * cosine)
    left = d.P**2 + d.Q**2 - (d.K - d.a**2) ** 2
    assert sp.simplify(slope + branch * sp.sqrt(left)) == 0


def test_the_reach_of_a_bare_arm_is_zero_where_its_branches_meet():
    plus, minus = ([e.subs(c.sigma, s) for e in d.arm_turn()] for s in BRANCHES)
    gap = (plus[0] - minus[0]) ** 2 + (plus[1] - minus[1]) ** 2
    assert sp.simplify(gap - 4 * plus[2]) == 0
    assert sp.simplify(plus[0] - minus[0]) != 0


def test_the_rates_of_a_bare_arm_are_derivatives_of_its_run():
    run = sp.sqrt(square().subs(TURN))
    first, second = (e.subs(TURN) for e in d.arm_rates())
    assert sp.simplify(d.arm_run().subs(TURN) - run) == 0
    assert sp.simplify(first - sp.diff(run, q)) == 0
    assert sp.simplify(second - sp.diff(run, q, 2)) == 0


def test_by_radius_is_the_derivative_of_the_distance():
    """In the plane of the arm and along its shaft; the turn kept."""
    x, y, z = sp.symbols("x y z", real=True)
    run = sp.sqrt((c.r * sp.cos(q) - x) ** 2 + (c.r * sp.sin(q) - y) ** 2 + z**2)
    known = {
        d.K: c.r**2 + x**2 + y**2 + z**2,
        d.P: 2 * c.r * x,
        d.Q: 2 * c.r * y,
        **TURN,
    }
    assert sp.simplify(d.arm_by_radius().subs(known) - sp.diff(run, c.r)) == 0


class Laid:
    """A drum about the origin, its nipple at an angle, its sheath's end at (D, 0, Z)."""

    def __init__(self, sense: int) -> None:
        self.sense = sense
        self.r, self.far, self.z = sp.symbols("r D Z", positive=True)
        self.nipple = sp.Symbol("nipple", real=True)
        # The foot: where radius and wire are square, back against the winding.
        self.leaves = -sense * sp.acos(self.r / self.far)
        self.foot = sp.Matrix([self.r * sp.cos(self.leaves), self.r * sp.sin(self.leaves), 0])  # fmt: skip
        self.gap = sp.Matrix([self.far, 0, self.z]) - self.foot
        self.wound = sense * (self.leaves - self.nipple)

    @property
    def straight(self) -> sp.Expr:
        return sp.sqrt(self.gap.dot(self.gap))

    @property
    def length(self) -> sp.Expr:
        """Return straight piece and arc."""
        return self.straight + self.r * self.wound

    def known(self) -> dict:
        """Return what the derivation calls all that."""
        return {
            d.straight: self.straight,
            d.flat: sp.sqrt(self.far**2 - self.r**2),
            d.wound: self.wound,
            c.r: self.r,
        }


@pytest.mark.parametrize("sense", SENSES)
def test_the_wire_leaves_a_drum_on_its_tangent(sense):
    laid = Laid(sense)
    assert sp.simplify(laid.foot.dot(laid.gap)) == 0
    # Along the wire from the nipple on one goes round in the sense of the winding.
    onward = laid.foot[0] * laid.gap[1] - laid.foot[1] * laid.gap[0]
    away = sp.sqrt(laid.far**2 - laid.r**2)
    assert sp.simplify(onward - sense * laid.r * away) == 0


@pytest.mark.parametrize("sense", SENSES)
def test_straight_part_and_foot_of_a_drum_are_those_of_the_tangent(sense):
    laid = Laid(sense)
    flat = dict(zip((*c.e2, *c.f2, *c.n2), (1, 0, 0, 0, 1, 0, 0, 0, 1), strict=True))
    flat |= dict(zip(d.w, (laid.far, 0, laid.z), strict=True))
    flat |= {d.omega: sense, c.r: laid.r}
    ours = {k: sp.simplify(e.subs(flat)) for k, e in d.drum_at_rest().items()}
    assert sp.simplify(ours["straight"] ** 2 - laid.gap.dot(laid.gap)) == 0
    assert sp.simplify(ours["clear"] - (laid.far**2 - laid.r**2)) == 0
    # Two angles of less than a quarter turn with one cosine are one angle.
    assert sp.simplify(sp.cos(ours["leaves"]) - sp.cos(laid.leaves)) == 0
    assert sp.simplify(sp.sin(ours["leaves"]) - sp.sin(laid.leaves)) == 0


def test_where_the_wire_leaves_does_not_hang_on_where_the_sheath_is():
    """The direction of the foot turns with that of the sheath, and by no more."""
    beta, far = sp.symbols("beta D", positive=True)
    flat = dict(zip((*c.e2, *c.f2, *c.n2), (1, 0, 0, 0, 1, 0, 0, 0, 1), strict=True))
    back = {d.w[0]: far * sp.cos(beta), d.w[1]: far * sp.sin(beta), d.omega: 1}
    found = d.drum_at_rest()["leaves"].subs(flat).subs(back)
    sheath = sp.atan2(back[d.w[1]], back[d.w[0]])
    assert beta in found.free_symbols
    assert beta not in sp.simplify(found - sheath).free_symbols


@pytest.mark.parametrize("sense", SENSES)
def test_the_run_of_a_drum_changes_by_its_radius_against_the_winding(sense):
    """Of the laid out length, differentiated by the turn of the nipple."""
    laid = Laid(sense)
    turned = laid.length.subs(laid.nipple, laid.nipple + q)
    assert sp.simplify(sp.diff(turned, q) + sense * laid.r) == 0
    assert sp.diff(turned, q, 2) == 0


@pytest.mark.parametrize("sense", SENSES)
def test_the_run_of_a_drum_is_the_laid_out_length(sense):
    laid = Laid(sense)
    assert sp.simplify(d.drum_run().subs(laid.known()) - laid.length) == 0


def test_the_arc_is_the_integral_of_the_radius():
    t = sp.Symbol("t", real=True)
    point = sp.Matrix([c.r * sp.cos(t), c.r * sp.sin(t)]).diff(t)
    speed = sp.simplify(sp.sqrt(point.dot(point)))
    arc = sp.integrate(speed, (t, 0, d.wound))
    assert sp.simplify(d.drum_run() - d.straight - arc) == 0


def test_the_angle_wound_gives_the_run_of_a_drum_back():
    assert sp.simplify(d.drum_run().subs(d.wound, d.drum_wound()) - d.a) == 0


@pytest.mark.parametrize("sense", SENSES)
def test_a_drums_by_radius_is_the_derivative_of_the_laid_out_length(sense):
    """The foot moves with the radius too; nipple and sheath stay in their directions."""
    laid = Laid(sense)
    ours = d.drum_by_radius().subs(laid.known())
    assert sp.simplify(ours - sp.diff(laid.length, laid.r)) == 0


def test_no_float_enters_a_formula_of_a_run():
    everything = [*d.arm_coefficients().values(), d.arm_run(), *d.arm_rates(), d.arm_by_radius(), *d.arm_turn(), *d.drum_at_rest().values(), d.drum_run(), d.drum_wound(), d.drum_by_radius()]  # fmt: skip
    assert not any(e.atoms(sp.Float) for e in everything)


def test_a_term_of_a_run_that_is_not_covered_is_refused(monkeypatch):
    monkeypatch.setattr(d, "square", lambda: c.C2**3 * c.r)
    d.arm_coefficients.cache_clear()
    try:
        with pytest.raises(ValueError, match="does not cover"):
            d.arm_coefficients()
    finally:
        monkeypatch.undo()
        d.arm_coefficients.cache_clear()
