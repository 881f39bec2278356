"""Slides on the page in headless Chromium: the bar goes with its pin, its foot on the bar."""

import numpy as np
import pytest

from linkage.search import check
from tests.browser.test_cables import here, stand
from tests.browser.test_page import browser  # noqa: F401 - a fixture
from tests.browser.test_slots import opened
from tests.slides import slid_layout

pytestmark = pytest.mark.browser


def test_the_page_draws_bars_as_the_drawing_does(browser, tmp_path):  # noqa: F811
    off = ("pins.near = [210, 0, 95]", "pins.near = [210, 0, 110]")
    checked = check(slid_layout(off), cures=False)
    _, views = opened(checked, browser, tmp_path)
    for k in (0, 60, 120):
        for view, lines in zip(views, stand(browser, k), strict=True):
            for pin, feet in view.bars.items():
                root = np.array(view.arms[pin][0]) / 1e3
                wanted = here(view, [root, feet[k] / 1e3, view.pins[pin][k] / 1e3])
                np.testing.assert_allclose(lines[f"arm {pin}"], wanted, atol=0.1)
