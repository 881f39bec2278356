"""Rods with an over-travel spring, on pictures: tube, coil and collar, to scale, and words.

Everything is read back from the artists and held against the distance of both pins.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linkage.animation.page import page
from linkage.animation.scene import scene
from linkage.animation.words import readout
from linkage.drawing.canvas import points_per_metre
from linkage.drawing.layout import layout_figure
from linkage.drawing.loose import HALF
from linkage.drawing.sprung import COIL, SHANK, SHUT
from linkage.motion import assemble, frame, working_travel
from linkage.search import check
from tests.figures.clear import faults
from tests.figures.test_loose_rods import data, one_rod, posed, pushed
from tests.unit.test_over_travel import PUMP, SPRING


def reversed_rod():
    """Return one that is written from the lever to the pedal."""
    layout = one_rod(**SPRING)
    link = layout.rods["link"]
    back = replace(link, start=link.end, end=link.start)
    return replace(layout, rods={"link": back})


LAYOUTS = {
    "pulls": (lambda: one_rod(**SPRING), 1),
    "pushes": (lambda: pushed(**SPRING), -1),
    "from the lever": (reversed_rod, 1),
    "out of plane": (lambda: PUMP, 1),
}


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("name", LAYOUTS)
def test_tube_coil_and_collar_are_true_to_scale_along_the_rod(name, share):
    make, pulls = LAYOUTS[name]
    for pose in posed(make(), share):
        motion = pose.track.motion
        loop = motion.assembly.loop("link")
        assert loop.gives_by == pulls
        given = float(frame(motion).given["link"][pose.index])
        assert (given > 0.001) == (share == 1.0)
        eye, pin = (
            frame(motion).pin(h).T[pose.index]
            for h in (loop.link.driver, loop.link.driven)
        )
        away = float(np.linalg.norm(eye - pin))
        assert away == pytest.approx(loop.length + pulls * given, abs=1e-9)
        flat = [pose.view.project(p) for p in (pin, eye)]
        scale = np.hypot(*(flat[1] - flat[0])) / away
        unit = (flat[1] - flat[0]) / np.hypot(*(flat[1] - flat[0]))
        line = data(pose, "slot link") - flat[0]
        along = line @ unit / scale
        aside = line @ [-unit[1], unit[0]] * points_per_metre(pose.ax)
        way = loop.link.rod.over_travel
        tube = way + max(way, SHUT * loop.length)
        near, far = SHANK * loop.length, SHANK * loop.length + tube
        # Its first corner is the lever's hole, and the tube stays as far from it.
        np.testing.assert_allclose(line[0], 0, atol=1e-9)
        np.testing.assert_allclose(along[1:6], [near, near, far, far, near], atol=1e-9)
        np.testing.assert_allclose(
            np.abs(aside[1:6]), [0, HALF, HALF, HALF, HALF], atol=1e-6
        )
        # The collar is off its end of the tube by what it has given, and the coil fills
        # the rest of it.
        collar = along[np.isclose(np.abs(aside), COIL * HALF)][-1]
        off = collar - near if pulls > 0 else far - collar
        assert off == pytest.approx(given, abs=1e-9)
        bar = data(pose, "rod link")
        ends = bar if loop.link.driver == loop.link.rod.start else bar[::-1]
        np.testing.assert_allclose(ends[0], flat[1], atol=1e-9)
        np.testing.assert_allclose((ends[1] - flat[0]) @ unit / scale, far, atol=1e-9)


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_the_picture_says_how_far_it_gives_and_is_clear(share):
    assembly = assemble(PUMP)
    figure = layout_figure(assembly, working_travel(assembly), share=share)
    said = " ".join(t.get_text() for ax in figure.axes for t in ax.texts)
    said = " ".join(said.split())
    if share < 1:
        assert "431.6 mm c/c may give 12.0 mm" in said.replace("c/c, may", "c/c may")
        assert "gives" not in said
    else:
        assert "431.6 mm c/c until it gives, gives 3.7 mm of 12.0 mm" in said
    assert not faults(figure, figure.axes)


def test_films_and_pages_say_how_far_it_gives():
    checked = check(PUMP, cures=False)
    shown = scene(checked, np.linspace(0, 0.066, 12))
    assert readout(shown, 11, pressing=True)[-1] == "rod link gives 3.7 mm of 12.0 mm"
    assert len(readout(shown, 5, pressing=True)) == 3
    text = page([checked])
    assert 'data-slot="link"' in text
    assert '"way":12.0' in text
