"""The page on a phone, a tablet and a desk: every word's box, size and place.

Run with ``pytest --browser``; with ``--every`` all shipped layouts at every width.
"""

from itertools import combinations
from pathlib import Path

import pytest

from linkage.animation.page import POSITIONS, page
from linkage.config import load
from linkage.quantities import speak_in
from linkage.search import check
from tests.browser import chromium
from tests.build import pedalled
from tests.odd import CONFIGS, ODD

pytestmark = pytest.mark.browser
MEASURE = Path(__file__).with_name("measure.js").read_text(encoding="utf-8")
#: Width and height of the window. [px]
WINDOWS = {"phone": (390, 844), "tablet": (768, 1024), "desk": (1280, 800)}
SMALLEST = 12.0  # letters (common practice, no source) [px]
TARGET = 44.0  # height of what is touched: WCAG 2.2, 2.5.5 [px]
SLACK = 1.0  # by which boxes of words may share an edge [px]
PLACES = (0, (POSITIONS - 1) // 2, POSITIONS - 1)
SHIPPED = sorted(p.stem for p in pedalled(CONFIGS))
PAIRS = ("scenario-before scenario-cured", "twin-side-draught fault-lever-clocked-late")
#: Tried without ``--every``.
FEW = ("scenario-wrongly-swapped", "twin-side-draught", PAIRS[0], "long names", "nine plates", "inches", "jams", "three ways", "tiny", "chain")  # fmt: skip


def checks_of(name):
    if name in ODD:
        return [check(ODD[name](), cures=False)]
    return [check(load(CONFIGS / f"{n}.toml").layout, cures=False) for n in name.split()]  # fmt: skip


@pytest.fixture(scope="module")
def tab():
    found = chromium.find()
    if found is None:
        pytest.fail("no chromium on the path: install Debian's package `chromium`")
    one = chromium.Page(found)
    one.media(prefers_reduced_motion="reduce")
    one.send("Emulation.setScrollbarsHidden", hidden=True)
    yield one
    one.close()


def sized(tab, window):
    tab.send("Emulation.setDeviceMetricsOverride", width=window[0], height=window[1], deviceScaleFactor=1, mobile=False)  # fmt: skip


def measured(tab, place):
    """Return what `measure.js` finds with the pedal at a step, letters fitted."""
    tab.value(f"(() => {{ const s = document.getElementById('pedal'); s.value = {place}; s.dispatchEvent(new Event('input')); return new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))); }})()")  # fmt: skip
    return tab.value(MEASURE)


def faults(found):
    """Return all that is wrong with the words of a page."""
    words, out = found["words"], []
    for word in words:
        x0, y0, x1, y1 = word["box"]
        left, top, right, low = word["picture"] or (0, 0, found["wide"], y1)
        if min(x0, left) < -SLACK or x0 < left - SLACK or x1 > min(right, found["wide"]) + SLACK:  # fmt: skip
            out.append(f"{word['text']!r} leaves the page or its picture sideways")
        if y0 < top - SLACK or y1 > low + SLACK:
            out.append(f"{word['text']!r} leaves its picture upward or downward")
        if word["size"] < SMALLEST - 0.01:
            out.append(f"{word['text']!r} is {word['size']:.1f} px")
    for one, two in combinations(words, 2):
        a, b = one["box"], two["box"]
        if min(a[2], b[2]) - max(a[0], b[0]) > SLACK and min(a[3], b[3]) - max(a[1], b[1]) > 2 * SLACK:  # fmt: skip
            out.append(f"{one['text']!r} is over {two['text']!r}")
    return out


def wrong_at(tab, found, window):
    """Return all that is wrong with a page at a window's size."""
    out = faults(found)
    if found["scroll"] > window[0]:
        out += [f"beyond the window: {found['beyond'][:5]}"]
    out += [f"{name} is {h:.0f} px high" for name, h in found["controls"] if h < TARGET]
    for views in found["views"]:
        for one, two in combinations(views, 2):
            if window[0] < 600 and not two[1] >= one[3]:
                out.append("views stand beside each other on a phone")
            apart = two[0] >= one[2] or two[1] >= one[3] or two[3] <= one[1]
            if not apart:
                out.append("views lie over each other")
    return out + tab.errors


def pytest_generate_tests(metafunc):
    if "name" in metafunc.fixturenames:
        every = metafunc.config.getoption("--every")
        metafunc.parametrize("name", [*SHIPPED, *PAIRS, *ODD] if every else FEW)


def test_every_word_has_its_place_and_size(tab, name, tmp_path):
    if "inches" in name:
        speak_in({"length": "in", "force": "lbf"})
    path = tmp_path / "page.html"
    path.write_text(page(checks_of(name)), encoding="utf-8")
    tab.errors.clear()
    out = []
    for where, window in WINDOWS.items():
        sized(tab, window)
        tab.open(path.as_uri())
        for place in PLACES:
            found = measured(tab, place)
            out += [f"{where}, {place}: {w}" for w in wrong_at(tab, found, window)]
    assert out == []


def test_a_narrow_phone_and_a_low_window_hold_too(tab, tmp_path):
    path = tmp_path / "page.html"
    path.write_text(page(checks_of("twin-side-draught")), encoding="utf-8")
    tab.errors.clear()
    for window in ((320, 568), (844, 390), (960, 500)):
        sized(tab, window)
        tab.open(path.as_uri())
        assert wrong_at(tab, measured(tab, 60), window) == []
