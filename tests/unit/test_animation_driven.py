"""Films and pages of what drives in a pedal's place: a hand lever and a governor."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from linkage.animation.page import page
from linkage.animation.picture import whole
from linkage.animation.scene import scenes
from linkage.animation.words import readout
from linkage.errors import UsageError
from linkage.search import check
from tests.unit.compared import car


@cache
def governed():
    return check(car("governed-engine"), cures=False)


@cache
def by_hand():
    found = check(car("hand-and-foot"), cures=False)
    return replace(found, examined=found.examined.by_hand)


def data_of(text):
    (found,) = re.findall(r'id="motion">(.*?)</script>', text, re.DOTALL)
    return json.loads(found)


def test_a_governor_is_told_in_its_own_words():
    (scene,) = scenes([governed()], np.linspace(0, 0.0434, 5))
    assert readout(scene, 0, pressing=True)[1:] == [
        "throttle 68.3° = 98 %",
        "engine stopped",
    ]
    assert readout(scene, 2, pressing=True)[2] == "engine running faster"
    assert readout(scene, 2, pressing=False)[2] == "engine slowing"
    last = readout(scene, 4, pressing=True)
    assert last[1:] == ["throttle 0.0° = 0 %", "stopped by shut stop of throttle"]


def test_its_plate_shuts_as_the_governor_moves():
    """The plate turns as its lever does, and lies across the bore at the end."""
    (scene,) = scenes([governed()], np.linspace(0, 0.0434, 5))
    main, layout = scene.main, scene.layout
    assert main.throttle.opens == -layout.main.opens
    assert (np.diff(main.share) < 0).all()
    turned = np.diff(main.throttle.opens * main.angle)
    assert turned == pytest.approx(np.diff(scene.motion.turns["spindle"]), abs=1e-6)
    figure, _ = whole([scene], (960, 540))
    legend = next(t.get_text() for t in figure.texts if t.get_gid() == "legend")
    assert "arrows: engine running faster" in legend


def test_the_page_of_a_governor_has_no_pad_and_its_words():
    text = page([governed()])
    data = data_of(text)
    assert data["driver"]["rest"] == "engine stopped"
    assert data["layouts"][0]["share"][0] > 97
    assert data["layouts"][0]["share"][-1] == 0
    assert data["layouts"][0]["stop"] == "stopped by shut stop of throttle"
    assert all(view["pad"] == [] for view in data["layouts"][0]["views"])
    assert "data-pad" not in text.partition("<script")[0]
    for told in (
        ">Governor",
        "the engine stands still",
        "arm travel [mm]",
        "arm force",
    ):
        assert told in text
    assert "Pedal" not in text


def test_the_page_of_a_hand_lever_moves_it_and_leaves_the_pedal():
    data = data_of(text := page([by_hand()]))
    assert data["end"] == 120.0
    assert data["driver"]["ways"] == ["pulled on", "pushed back"]
    (view, *_) = data["layouts"][0]["views"]
    pad = list(view["pad"])
    assert all(len({*np.ravel(column)}) == 1 for column in pad)
    moved = [
        np.ptp(view["pins"][hole][0])
        for hole in view["pins"]
        if hole.startswith("hand.")
    ]
    assert max(moved) > 50
    assert "Home is hand lever home, End is hand lever pulled." in text


def test_a_governed_engine_and_a_pedal_do_not_go_together():
    both = [governed(), check(car("hanging-pedal"), cures=False)]
    for make in (page, lambda c: scenes(c, np.linspace(0, 0.04, 3))):
        with pytest.raises(UsageError, match="a governed engine and one with a pedal"):
            make(both)
