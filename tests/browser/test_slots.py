"""Slots, hooks, cups and over-travel springs on the page in headless Chromium, as on the drawings.

Where a line of the drawing goes is asked of the drawing's own outline.
"""

import re

import numpy as np
import pytest

from linkage.animation.geometry import drawn_views
from linkage.animation.page import POSITIONS, page
from linkage.animation.scene import scene
from linkage.drawing.loose import HALF, outlined
from linkage.drawing.sprung import tubed
from linkage.search import check
from tests.browser.test_page import browser  # noqa: F401 - a fixture
from tests.figures.test_loose_rods import one_rod, pushed
from tests.unit.test_over_travel import SPRING

pytestmark = pytest.mark.browser
LAYOUTS = {
    "slot": lambda: one_rod(slot=0.03, lost=0.012),
    "slot at from": lambda: pushed(slot=0.02, lost=0.005, slot_at="start"),
    "hook": lambda: one_rod(only="pull", lost=0.012),
    "cup": lambda: pushed(only="push", lost=0.012),
}
LINE = """(() => { const rod = document.querySelector('[data-rod]');
  const slot = document.querySelector('[data-slot]');
  const box = slot.getBBox();
  return { path: slot.getAttribute('d'), box: [box.x, box.y, box.x + box.width, box.y + box.height],
    bar: ['x1', 'y1', 'x2', 'y2'].map(k => Number(rod.getAttribute(k))),
    width: Number(rod.getAttribute('stroke-width')), sense: rod.dataset.sense,
    word: document.querySelector('[data-word]').textContent,
    row: [...document.querySelectorAll('[data-row] td')].map(c => c.textContent) }; })()"""


def stand(tab, k):
    tab.value(
        f"(() => {{ const s = document.getElementById('pedal'); s.value = {k};"
        "s.dispatchEvent(new Event('input')); })()"
    )
    return tab.value(LINE)


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_page_draws_a_loose_rod_as_the_drawing_does(name, browser, tmp_path):  # noqa: F811
    checked = check(LAYOUTS[name](), cures=False)
    path = tmp_path / "slot.html"
    path.write_text(page([checked]), encoding="utf-8")
    browser.errors.clear()
    browser.media(prefers_reduced_motion="reduce")
    browser.open(path.as_uri())
    shown = scene(checked, np.linspace(0, checked.examined.working.end, POSITIONS))
    (view,) = drawn_views(shown)
    loose = view.loose["link"]
    for k in (0, 60, 120):
        told = stand(browser, k)
        pins = [view.pins[hole][k] for hole in view.rods["link"]]
        half = HALF / view.scale
        bar, outline = outlined(loose, k, (pins[0], pins[1]), half)
        here = [
            np.array(view.origin) + view.scale * p * [1, -1] for p in (bar, outline)
        ]
        np.testing.assert_allclose(np.ravel(here[0]), told["bar"], atol=0.05)
        first = np.array(re.findall(r"-?[\d.]+", told["path"])[:2], float)
        assert np.hypot(*(here[1] - first).T).min() < 0.05
        box = np.concatenate([here[1].min(axis=0), here[1].max(axis=0)])
        np.testing.assert_allclose(box, told["box"], atol=0.1)
        slack = bool(loose.slack[k])
        assert (told["width"] < 1.5) == slack
        assert ("slack" in told["word"]) == (told["sense"] == "slack") == slack
        assert (told["row"][:2] == ["slack", "slack"]) == slack
    assert browser.errors == []


@pytest.mark.parametrize("make", [one_rod, pushed])
def test_the_page_draws_an_over_travel_spring_as_the_drawing_does(
    make,
    browser,  # noqa: F811
    tmp_path,
):
    checked = check(make(**SPRING), cures=False)
    path = tmp_path / "sprung.html"
    path.write_text(page([checked]), encoding="utf-8")
    browser.errors.clear()
    browser.media(prefers_reduced_motion="reduce")
    browser.open(path.as_uri())
    shown = scene(checked, np.linspace(0, checked.examined.working.end, POSITIONS))
    (view,) = drawn_views(shown)
    sprung = view.sprung["link"]
    assert not sprung.given[0]
    assert sprung.given[120] > 1e-3
    for k in (0, 60, 120):
        told = stand(browser, k)
        pins = [view.pins[hole][k] for hole in view.rods["link"]]
        bar, outline = tubed(sprung, k, (pins[0], pins[1]), HALF / view.scale)
        here = [
            np.array(view.origin) + view.scale * p * [1, -1] for p in (bar, outline)
        ]
        np.testing.assert_allclose(np.ravel(here[0]), told["bar"], atol=0.05)
        points = np.array(re.findall(r"-?[\d.]+", told["path"]), float).reshape(-1, 2)
        np.testing.assert_allclose(here[1], points, atol=0.05)
        gives = f"gives {1e3 * sprung.given[k]:.1f} mm of 12.0 mm"
        assert (gives in told["row"][0]) == bool(sprung.given[k])
    assert browser.errors == []
