"""Films and pages of cables and drums: what moves, what stands, and the words."""

import json
import re

import numpy as np
import pytest

from linkage.animation.geometry import drawn_views
from linkage.animation.page import HUNG_WORDS, page, spoken
from linkage.animation.picture import LEGEND, SLACK, picture, whole
from linkage.animation.scene import scenes
from linkage.animation.words import end_words
from linkage.config import load
from linkage.config.starters import starters
from linkage.drawing import style
from linkage.drawing.track import SLACK as SLACK_SENSE
from linkage.search import check
from tests.cabled import crossed, drum, push_pull, snail

SIZE = (960, 540)


def scene_of(layout, positions=13):
    checked = check(layout, cures=False)
    travel = np.linspace(0, checked.examined.working.end, positions)
    return scenes([checked], travel)[0]


@pytest.fixture(scope="module")
def drums():
    return scene_of(drum())


@pytest.fixture(scope="module")
def buggy():
    """Return a push-pull cable with a rod behind it."""
    return scene_of(load(starters()["push-pull-cable"].path).layout)


def test_a_cable_is_one_in_every_word(drums, buggy):
    assert "cable main from pedal.cable to spindle.drum pulls;" in spoken(drums)
    assert "cable main from pedal.cable to reversing.upper pushes;" in spoken(buggy)
    assert "rod link from reversing.lower to spindle.lever pulls;" in spoken(buggy)


def test_a_page_of_rods_and_cables_names_both():
    text = page([check(load(starters()["push-pull-cable"].path).layout, cures=False)])
    assert "<caption>Rods and cables</caption>" in text
    assert '<th scope="col">rod or cable</th>' in text
    assert "A whole line is a rod or cable that pulls" in text
    assert "the angle left between arm and rod or cable until" in text


def test_a_slack_cable_has_its_own_sense_and_no_angle(drums):
    (main,) = drums.rods
    slack = main.sense[0] == SLACK_SENSE
    assert slack[0]
    assert not slack[-1]
    assert np.isnan(main.left).tolist() == slack.tolist()


def test_a_jammed_cable_is_told_as_one():
    assert end_words(scene_of(drum(**{"length = 29": "length = 120"}))) == (
        "jammed: cable main reaches no further"
    )


@pytest.mark.parametrize(("make", "word"), [(drum, "cable"), (crossed, "cable")])
def test_a_film_says_what_its_lines_are(make, word):
    with style.drawing_style():
        figure, _ = whole([scene_of(make())], SIZE)
    (legend,) = (t for t in figure.texts if t.get_gid() == "legend")
    assert legend.get_text() == LEGEND.format(word, "pedal going down") + SLACK


def test_a_film_of_rods_and_cables_names_both_and_nothing_slack(buggy):
    with style.drawing_style():
        figure, _ = whole([buggy], SIZE)
    (legend,) = (t for t in figure.texts if t.get_gid() == "legend")
    assert legend.get_text() == LEGEND.format("rod or cable", "pedal going down")


def test_wires_and_drums_move_frame_by_frame_and_the_sheath_stands(drums):
    with style.drawing_style():
        drawn = picture([drums], SIZE)
        (panel,) = drawn.panels
        seen = []
        for index in (0, 12):
            drawn.show(index, pressing=True)
            pose = panel.poses[-1]
            names = ("rod main", "wire main", "arm spindle.drum")
            lines = [np.array(pose.moving[n].get_xydata()) for n in names]
            seen.append([*lines, np.array(pose.fixed["sheath main"].get_xydata())])
        moving = set(panel.moving())
    *one, stood = seen[0]
    *two, stands = seen[1]
    for before, after in zip(one, two, strict=True):
        assert before.shape != after.shape or np.abs(before - after).max() > 1e-3
    np.testing.assert_array_equal(stood, stands)
    assert pose.fixed["sheath main"] not in moving


def test_names_and_words_keep_off_sheaths_and_rims(buggy):
    for scene in (buggy, scene_of(snail()), scene_of(crossed())):
        for view in drawn_views(scene):
            assert view.left_out == ()
        words = {name for view in drawn_views(scene) for name in view.word_places}
        assert words == {rod.name for rod in scene.rods}


@pytest.mark.parametrize("make", [drum, snail, crossed, push_pull])
def test_a_page_has_wires_and_drums_as_data(make):
    text = page([check(make(), cures=False)])
    found = re.search(r'<script[^>]*id="motion">(.*?)</script>', text, re.DOTALL)
    (layout,) = json.loads(found[1])["layouts"]
    scene = scene_of(make(), 121)
    for view, drawn in zip(layout["views"], drawn_views(scene), strict=True):
        assert set(view["cables"]) == {rod.name for rod in scene.rods}
        for name, frees in view["cables"].items():
            for told, free in zip(frees, drawn.cables[name].free, strict=True):
                assert told["hole"] == free.hole
                np.testing.assert_allclose(
                    np.array(told["foot"]).T, 1e3 * free.foot, atol=6e-3
                )
                assert (told["sag"] is None) == (not free.sag.any())
                assert (told["wound"] is None) == (free.hole not in view["drums"])
        wound = {f"{s}.{a}" for s, shaft in scene.layout.shafts.items() for a, arm in shaft.arms.items() if arm.wound}  # fmt: skip
        assert set(view["drums"]) == wound
    assert HUNG_WORDS.strip() in text
    assert "A whole line is a cable that pulls" in text


def test_a_page_of_rods_says_nothing_of_cables():
    text = page([check(load(starters()["hanging-pedal"].path).layout, cures=False)])
    assert "sheath" not in text.partition("<script")[0]
    assert "<caption>Rods</caption>" in text
