"""A film of a hand lever: what it tells is of the hand lever, and the pedal stays."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from linkage.animation.picture import whole
from linkage.animation.scene import scenes
from linkage.animation.words import readout
from linkage.search import check
from tests.unit.compared import car


def shown():
    whole = check(car("hand-and-foot"), cures=False)
    pulled = replace(whole, examined=whole.examined.by_hand)
    return scenes([pulled], np.linspace(0, 0.12, 5))


def test_what_is_told_is_of_the_hand_lever():
    (scene,) = shown()
    assert readout(scene, 0, pressing=True)[2] == "hand lever home"
    half = readout(scene, 2, pressing=True)
    assert half[0] == "hand 60.0 of 120.0 mm"
    assert half[2] == "hand lever pulled on"
    assert readout(scene, 2, pressing=False)[2] == "hand lever pushed back"
    assert readout(scene, 4, pressing=True)[2] == "at the end of its travel"
    assert (scene.motion.turns["pedal"] == 0).all()
    assert scene.motion.turns["hand"][-1] > 0.5


def test_its_legend_is_of_the_hand_lever_and_keeps_the_rest():
    figure, _ = whole(shown(), (960, 540))
    texts = {t.get_gid(): t.get_text() for t in figure.texts}
    assert "arrows: hand lever pulled on; thin: slack" in texts["legend"]
    assert "pedal" not in texts["legend"]
