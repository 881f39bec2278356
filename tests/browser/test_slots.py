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
from tests.browser.test_page import browser, scrub  # noqa: F401 - a fixture
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


def opened(checked, tab, folder):
    """Open a layout's page, and return its scene and views as the drawings have them."""
    path = folder / "page.html"
    path.write_text(page([checked]), encoding="utf-8")
    tab.errors.clear()
    tab.media(prefers_reduced_motion="reduce")
    tab.open(path.as_uri())
    shown = scene(checked, np.linspace(0, checked.examined.working.end, POSITIONS))
    return shown, drawn_views(shown)


def drawn(view, draw, rod, k):
    """Return bar and outline of the rod at a position, in the page's measure."""
    one, two = (view.pins[hole][k] for hole in view.rods["link"])
    both = draw(rod, k, (one, two), HALF / view.scale)
    return [np.array(view.origin) + view.scale * points * [1, -1] for points in both]


def stand(tab, k):
    scrub(tab, k)
    return tab.value(LINE)


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_page_draws_a_loose_rod_as_the_drawing_does(name, browser, tmp_path):  # noqa: F811
    checked = check(LAYOUTS[name](), cures=False)
    _, (view,) = opened(checked, browser, tmp_path)
    loose = view.loose["link"]
    for k in (0, 60, 120):
        told = stand(browser, k)
        bar, outline = drawn(view, outlined, loose, k)
        np.testing.assert_allclose(np.ravel(bar), told["bar"], atol=0.05)
        first = np.array(re.findall(r"-?[\d.]+", told["path"])[:2], float)
        assert np.hypot(*(outline - first).T).min() < 0.05
        box = np.concatenate([outline.min(axis=0), outline.max(axis=0)])
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
    _, (view,) = opened(checked, browser, tmp_path)
    sprung = view.sprung["link"]
    assert not sprung.given[0]
    assert sprung.given[120] > 1e-3
    for k in (0, 60, 120):
        told = stand(browser, k)
        bar, outline = drawn(view, tubed, sprung, k)
        np.testing.assert_allclose(np.ravel(bar), told["bar"], atol=0.05)
        points = np.array(re.findall(r"-?[\d.]+", told["path"]), float).reshape(-1, 2)
        np.testing.assert_allclose(outline, points, atol=0.05)
        gives = f"gives {1e3 * sprung.given[k]:.1f} mm of 12.0 mm"
        assert (gives in told["row"][0]) == bool(sprung.given[k])
    assert browser.errors == []
