"""Cables and drums on the page in headless Chromium, as on the drawings.

Where a line of the drawing goes is asked of the drawing's own shapes.
"""

import numpy as np
import pytest

from linkage.drawing.pose import THIN, WIRE
from linkage.search import check
from tests.browser.test_page import browser, scrub  # noqa: F401 - a fixture
from tests.browser.test_slots import opened
from tests.cabled import crossed, drum, push_pull, snail

pytestmark = pytest.mark.browser
LAYOUTS = {
    "drum": drum,
    "snail": snail,
    "crossed": crossed,
    "push-pull": push_pull,
    "held": lambda: drum(**{'"clockwise" }': '"anticlockwise" }', "279]]": "200]]"}),
}
LINES = """(() => [...document.querySelectorAll('[data-view]')].map(view => {
  const told = {};
  for (const kind of ['rod', 'wire', 'arm', 'word'])
    for (const part of view.querySelectorAll(`[data-${kind}]`)) {
      const name = `${kind} ${part.getAttribute(`data-${kind}`)}`;
      told[name] = kind === 'word' ? part.textContent : part.tagName === 'line'
        ? [[part.x1, part.y1], [part.x2, part.y2]].map(p => p.map(c => c.baseVal.value))
        : [...part.points].map(p => [p.x, p.y]);
      told[`wide ${name}`] = Number(part.getAttribute('stroke-width'));
      told[`dash ${name}`] = part.getAttribute('stroke-dasharray');
    }
  return told; }))()"""


def stand(tab, k):
    scrub(tab, k)
    return tab.value(LINES)


def here(view, points):
    """Return places of the drawing [m] in the page's measure."""
    return np.array(view.origin) + view.scale * 1e3 * np.asarray(points) * [1, -1]


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_page_draws_wires_and_rims_as_the_drawing_does(name, browser, tmp_path):  # noqa: F811
    checked = check(LAYOUTS[name](), cures=False)
    shown, views = opened(checked, browser, tmp_path)
    senses = {rod.name: rod.sense[0] for rod in shown.rods}
    assert (name == "held") == bool(views[0].parted)
    for k in (0, 60, 120):
        told = stand(browser, k)
        assert len(told) == len(views)
        for view, lines in zip(views, told, strict=True):
            for cable, one in view.cables.items():
                for part, free in zip(("rod", "wire"), one.free, strict=True):
                    wanted = here(view, free.line(k))
                    np.testing.assert_allclose(
                        lines[f"{part} {cable}"], wanted, atol=0.06
                    )
                    slack = senses[cable][k] == 2
                    assert lines[f"wide {part} {cable}"] == (THIN if slack else WIRE)
                    pulls = senses[cable][k] == 1
                    assert (lines[f"dash {part} {cable}"] == "") == pulls
            for hole, (drawn, turns) in view.drums.items():
                wanted = here(view, drawn.outline(float(turns[k])))
                np.testing.assert_allclose(lines[f"arm {hole}"], wanted, atol=0.06)
            for cable in view.word_places:
                word = {1: "pull", -1: "push", 2: "slack"}.get(senses[cable][k])
                assert word is None or word in lines[f"word {cable}"]
    assert browser.errors == []


def test_the_page_tells_cables_from_rods(browser, tmp_path):  # noqa: F811
    opened(check(drum(), cures=False), browser, tmp_path)
    text = browser.value("document.body.innerText")
    assert "Cables" in text
    assert "the sheath of a cable" in text
    assert "Rods" not in text
    label = browser.value(
        "document.querySelector('[data-view]').getAttribute('aria-label')"
    )
    assert "cable main from pedal.cable to spindle.drum pulls" in label
