"""A cam that was sought, cut again by a mill and felt for by a search for contact.

The mill lays the roller where the wanted curve has it, at many turns, and takes off what
lies within it: along every ray from the cam's shaft as far as its nearest roller. Nothing
of that knows of normals, arcs or bars. The contact search turns the roller's arm by SciPy
until its circle just touches the profile that is written in the layout.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage import load
from linkage.model.profile import on
from linkage.motion import assemble, sweep, working_travel
from linkage.search.cam_profile import shape_cam
from linkage.sheet.rim import rim_places, rim_sheet
from tests.unit.test_rim_shaping import lines_of

STARTER = Path(__file__).parents[2] / "configs" / "cam-roller.toml"
#: Of the starter: the roller's shaft from the cam's, its arm, its roller. [mm, deg]
AWAY, REACH, ANGLE, ROLLER, SWING = (60.0, 0.0), 28.0, 119.5, 8.0, 62.0
ASKED = [(0.31, 0.45), (0.29, 0.45), (1 / 3, 0.5)]


@pytest.fixture(scope="module", params=ASKED, ids=["gentle", "gentler", "late"])
def found(request):
    return shape_cam(load(STARTER).layout, "cross.cam", *request.param)


def cam_turns(found, pads):
    """Return the turn of the cam's shaft by the rods before it alone. [rad]."""
    return sweep(assemble(found.layout), pads).turns["cross"]


def wanted(found, turns):
    """Return the share of the throttle at turns of the cam, by a root of the law.

    A ratio that changes evenly with the cam is a parabola: through none, what was asked
    for, and full at 96.5 %, from where the throttle began to open before.
    """
    layout = found.layout
    end = layout.pedal.end
    begins = float(working_travel(assemble(load(STARTER).layout)).picked_up)
    first, at, last = cam_turns(
        found, np.array([begins, found.wanted[1] * end, 0.965 * end])
    )
    part = (at - first) / (last - first)
    throttle = found.wanted[0]
    parabola = np.polyfit([0.0, part, 1.0], [0.0, throttle, 1.0], 2)
    return np.polyval(parabola, (np.asarray(turns) - first) / (last - first))


def pins(turns, shares):
    """Return the roller's pin as the turning cam has it, from its shaft. [mm]."""
    arm = math.radians(ANGLE) - math.radians(SWING) * shares  # it opens clockwise
    pin = complex(*AWAY) + REACH * np.exp(1j * arm)
    return pin * np.exp(-1j * turns)


def milled(middles, rays):
    """Return how far a cam reaches along rays after rollers were cut out of it. [mm]."""
    out = np.full(len(rays), np.inf)
    for middle in middles:
        along = (middle * np.exp(-1j * rays)).real
        aside = (middle * np.exp(-1j * rays)).imag
        hit = np.abs(aside) < ROLLER
        near = along - np.sqrt(np.where(hit, ROLLER**2 - aside**2, 0.0))
        out = np.where(hit & (along > 0), np.minimum(out, near), out)
    return out


@pytest.fixture(scope="module")
def cut(found):
    """Return rays, and the mill's radii along them, where the roller comes by. [rad, mm]."""
    end = found.layout.pedal.end
    pads = np.linspace(
        float(working_travel(assemble(found.layout)).picked_up) + 1e-4,
        0.964 * end,
        4001,
    )
    turns = cam_turns(found, pads)
    middles = pins(turns, wanted(found, turns))
    ends = np.angle(middles[[0, -1]])
    rays = np.linspace(ends.min() + 0.06, ends.max() - 0.06, 301)
    return rays, milled(middles, rays)


def radii(places, rays):
    angle = np.unwrap(np.arctan2(places[:, 1], places[:, 0]))
    order = np.argsort(angle)
    return np.interp(rays, angle[order], np.hypot(*places.T)[order])


def test_the_profile_is_what_a_mill_leaves(found, cut):
    rays, left = cut
    assert np.isfinite(left).all()
    ours = radii(rim_places(found.layout, found.hole), rays)
    np.testing.assert_allclose(ours, left, atol=0.02)
    assert np.ptp(left) > 19


def test_the_template_on_paper_is_what_a_mill_leaves(found, cut):
    """The line of the PDF file that ends elsewhere, in its points, from its axis' cross."""
    rays, left = cut
    lines = lines_of(rim_sheet(found.layout, found.hole, paper="a4"))
    edge, circle = (
        next(
            p for p in lines if len(p) > 50 and (math.dist(p[0], p[-1]) > 1) is is_open
        )
        for is_open in (True, False)
    )
    assert np.ptp(circle, axis=0) == pytest.approx([2 * ROLLER] * 2, abs=0.01)
    crosses = [p for p in lines if len(p) == 2 and math.dist(*p) < 9]
    axis = crosses[0].mean(axis=0)
    assert crosses[1].mean(axis=0) == pytest.approx(axis, abs=1e-3)
    ours = radii(edge - axis, rays)
    np.testing.assert_allclose(ours, left, atol=0.03)


def test_a_search_for_contact_finds_the_throttle_where_it_was_wanted(found):
    cam, arm = found.cam, found.arm
    edge = np.array(
        [
            complex(*on(arc, normal))
            for arc in cam.profile
            for normal in np.linspace(arc.begins, arc.ends, 2000)
        ]
    )
    edge = 1e3 * edge * np.exp(1j * arm.angle)  # it goes round anticlockwise

    def clear(share, turn):
        middle = pins(np.array([turn]), np.array([share]))
        return np.abs(edge - middle).min() - ROLLER

    end = found.layout.pedal.end
    turns = cam_turns(found, np.linspace(0.1, 0.96, 12) * end)
    want = wanted(found, turns)
    theirs = [
        brentq(clear, w - 0.03, w + 0.03, args=(t,), xtol=1e-10)
        for w, t in zip(want, turns, strict=True)
    ]
    most = math.degrees(found.off) / SWING
    np.testing.assert_allclose(theirs, want, atol=most + 1e-5)
    assert most < 0.003
    at = np.interp(found.wanted[0], theirs, np.linspace(0.1, 0.96, 12))
    assert at == pytest.approx(found.wanted[1], abs=0.01)


def test_a_feeler_gauge_finds_the_gaps_that_are_told(found):
    """With the pedal up, from the roller to the nearest point of either profile."""
    gaps = []
    for layout in (load(STARTER).layout, found.layout):
        arm, cam = layout.shafts["cross"].arms["cam"], layout.rods["main"]
        edge = np.array(
            [
                complex(*on(arc, normal))
                for arc in cam.profile
                for normal in np.linspace(arc.begins, arc.ends, 4000)
            ]
        )
        edge = 1e3 * edge * np.exp(1j * arm.angle)
        middle = pins(np.zeros(1), np.zeros(1))
        gaps.append(float(np.abs(edge - middle).min()) - ROLLER)
    assert gaps == pytest.approx([1e3 * gap for gap in found.gaps], abs=0.002)
    assert min(gaps) > 0.1


def test_the_push_leans_as_the_textbook_has_it(found):
    """Cam with an oscillating roller follower: pressure angle, from memory.

    tan α = (l (1 - dψ/dθ) - d cos β) / (d sin β), with l the arm, d the distance of both
    shafts, β the arm from the line to the cam's shaft, and dψ/dθ positive where both
    turn the same way; as textbooks of mechanisms have it (R. L. Norton, Design of
    Machinery; from memory). The ratio is had by differences of the wanted curve.
    """
    end = found.layout.pedal.end
    pads = np.linspace(0.1, 0.96, 400) * end
    turns = cam_turns(found, pads)
    arm = -math.radians(SWING) * wanted(found, turns)
    ratio = np.gradient(arm, turns)[1:-1]
    beta = math.pi - (math.radians(ANGLE) + arm)[1:-1]
    d = AWAY[0]
    lean = np.arctan2(np.abs(REACH * (1 - ratio) - d * np.cos(beta)), d * np.sin(beta))
    lines = found.check.examined.lines[found.cam.name]
    ours = np.interp(
        pads[1:-1], found.check.examined.motion.pad_travel, lines.pressure_angle
    )
    np.testing.assert_allclose(ours, lean, atol=math.radians(0.6))
    assert found.leans >= lean.max() - math.radians(0.1)
