"""Time to idle against a general multibody library and a general integrator.

SymPy's mechanics module gets the parts as it would get any mechanism: rigid
levers, rods as two particles, holonomic constraints for the rods' lengths. Kane's
equations follow, SciPy's solve_ivp runs them from full throttle at rest until the
spindle meets its idle stop. Nothing of the linkage's own closure is used but the
sizes and the starting position. Nothing rubs here. A half of a rod that rises while the
plate opens pulls with half its weight alone, as the program counts it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import sympy as sp
from scipy.integrate import solve_ivp
from scipy.optimize import fsolve
from sympy.physics.mechanics import (
    KanesMethod,
    Particle,
    Point,
    ReferenceFrame,
    RigidBody,
    dynamicsymbols,
    inertia,
)

from linkage.connect.bar import rod_mass
from linkage.forces import GRAVITY, falls
from linkage.motion import assemble, sweep, working_travel
from tests.sprung import smooth, sprung_hauler, weightless


def _axes(frame, axis):
    return [sum(c * e for c, e in zip(v, frame, strict=True)) for v in (axis.u, axis.v, axis.n)]  # fmt: skip


def _spring_loads(layout, q, pins, levers, ground):
    """Return the springs as loads on points and frames."""
    origin, frame = ground
    names = list(layout.shafts)
    loads = []
    for spring in layout.springs.values():
        d = spring.known
        index = names.index(spring.shaft)
        _, _, en = _axes(frame, layout.shafts[spring.shaft].axis)
        if spring.kind == "torsion":
            torque = d.shuts * (d.preload - d.shuts * d.rate * q[index])
            loads.append((levers[index], torque * en))
            continue
        pin = pins[spring.shaft, spring.arm]
        anchor = origin.locatenew("anchor", sum(c * e for c, e in zip(spring.anchor, frame, strict=True)))  # fmt: skip
        line = anchor.pos_from(pin)
        length = sp.sqrt(line.dot(line))
        pull = d.initial_tension + d.rate * (length - d.free_length)
        loads.append((pin, pull / length * line))
    return loads


def _kane(assembly, inertias, opens):
    """Return Kane's equations of the whole tree as numeric functions of (q, u)."""
    layout = assembly.layout
    names = list(layout.shafts)
    q = dynamicsymbols(f"q:{len(names)}")
    u = dynamicsymbols(f"u:{len(names)}")
    fixed, origin = ReferenceFrame("N"), Point("O")
    origin.set_vel(fixed, 0)
    frame = (fixed.x, fixed.y, fixed.z)
    bodies, loads, pins = [], [], {}
    for name, qi, ui in zip(names, q, u, strict=True):
        s = layout.shafts[name]
        eu, ev, en = _axes(frame, s.axis)
        lever = ReferenceFrame(f"F{names.index(name)}")
        lever.orient_axis(fixed, en, qi)
        lever.set_ang_vel(fixed, ui * en)
        pivot = origin.locatenew(f"P{names.index(name)}", sum(c * e for c, e in zip(s.pivot, frame, strict=True)))  # fmt: skip
        pivot.set_vel(fixed, 0)
        i = inertias[name]
        bodies.append(
            RigidBody(name, pivot, lever, 0, (inertia(lever, i, i, i), pivot))
        )
        for a in s.arms.values():
            # The position must be written in fixed axes: the constraint needs it.
            angle = a.angle + qi
            at = a.length * (sp.cos(angle) * eu + sp.sin(angle) * ev) + a.offset * en
            pin = pivot.locatenew(f"A{len(pins)}", at)
            pin.set_vel(
                fixed, a.length * ui * (-sp.sin(angle) * eu + sp.cos(angle) * ev)
            )
            pins[name, a.name] = pin
    conditions = []
    for loop in assembly.loops:
        k = loop.link
        one, two = (
            pins[k.driver.shaft, k.driver.arm],
            pins[k.driven.shaft, k.driven.arm],
        )
        gap = two.pos_from(one)
        conditions.append(gap.dot(gap) - loop.length**2)
        m = rod_mass(k.rod, loop.length)
        for j, p in enumerate((one, two)):
            bodies.append(Particle(f"{k.rod.name}{j}", p, m / 2))
            hole = (k.driver, k.driven)[j]
            turn = q[names.index(hole.shaft)]
            climbs = p.pos_from(origin).dot(fixed.z).diff(turn) * opens[hole.shaft]
            share = sp.Piecewise((0.5, climbs > 0), (1.0, True))
            loads.append((p, -share * m / 2 * GRAVITY * fixed.z))
    loads += _spring_loads(
        layout, q, pins, [b.frame for b in bodies[: len(names)]], (origin, frame)
    )
    t = dynamicsymbols._t
    rates = [c.diff(t).subs(dict(zip([x.diff(t) for x in q], u, strict=True))) for c in conditions]  # fmt: skip
    kane = KanesMethod(
        fixed,
        q_ind=[q[-1]],
        u_ind=[u[-1]],
        q_dependent=q[:-1],
        u_dependent=u[:-1],
        kd_eqs=[x.diff(t) - y for x, y in zip(q, u, strict=True)],
        configuration_constraints=conditions,
        velocity_constraints=rates,
    )
    kane.kanes_equations(bodies, loads)
    state = list(kane.q) + list(kane.u)
    mass = sp.lambdify(state, kane.mass_matrix_full)
    force = sp.lambdify(state, kane.forcing_full)
    closed = sp.lambdify(list(kane.q), conditions)
    return [q.index(x) for x in kane.q], mass, force, closed, names


def _integrate(assembly, working, inertias):
    full = sweep(assembly, np.array([working.end]))
    opens = {n: float(np.sign(t[0])) for n, t in full.turns.items()}
    order, mass, force, closed, names = _kane(assembly, inertias, opens)
    turns = np.array([float(full.turns[names[i]][0]) for i in order])
    # The independent coordinate leads; close the loops by SciPy, not by us.
    rest = fsolve(lambda y: closed(turns[0], *y), turns[1:] + 1e-4, xtol=1e-13)
    start = np.concatenate([[turns[0]], rest, np.zeros(len(order))])

    def rate(_time, state):
        return np.linalg.solve(mass(*state), np.ravel(force(*state)))

    def idle(_time, state):
        return state[0]

    idle.terminal, idle.direction = True, -1
    run = solve_ivp(rate, (0, 2), start, events=idle, rtol=1e-9, atol=1e-10)
    return float(run.t_events[0][0])


@pytest.mark.parametrize("heavy", [1.0, 40.0])
def test_time_to_idle_agrees_with_kanes_equations(heavy):
    layout = smooth(weightless(sprung_hauler()))
    inertias = {"pedal": 4e-3 * heavy, "cross shaft": 6e-4 * heavy, "spindle": 1.2e-4}
    shafts = {n: replace(s, inertia=inertias[n]) for n, s in layout.shafts.items()}
    rods = {n: replace(r, mass=0.08 * heavy) for n, r in layout.rods.items()}
    layout = replace(layout, shafts=shafts, rods=rods)
    assembly = assemble(layout)
    working = working_travel(assembly)
    time = _integrate(assembly, working, inertias)
    ours = next(f for f in falls(assembly, working) if f.failure.kind == "none")
    assert ours.time == pytest.approx(time, rel=0.005)
    assert ours.time == pytest.approx(time, rel=1e-5)  # and in truth much nearer
