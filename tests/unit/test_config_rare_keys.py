"""Keys that few files have: written and read back, or refused in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linkage import config
from linkage.errors import LayoutError
from linkage.units.say import spoken_words


def test_bearings_and_a_lever_that_is_not_clocked_anew_read_back(hauler):
    cross = hauler.shafts["cross shaft"]
    fast = replace(cross.arms["inner"], clocking="fixed")
    arms = {**cross.arms, "inner": fast}
    layout = hauler.with_shaft(replace(cross, bearings=(-0.06, 0.22), arms=arms))
    text = config.dump(layout)
    assert "bearings = [-60, 220]" in text
    assert 'clocking = "fixed"' in text
    read = config.loads(text).layout
    assert read.shafts["cross shaft"].bearings == pytest.approx((-0.06, 0.22))
    assert read.shafts["cross shaft"].arms["inner"].clocking == "fixed"


def test_two_bearings_in_one_place_carry_nothing(hauler):
    cross = hauler.shafts["cross shaft"]
    with pytest.raises(LayoutError, match="are in one place") as caught:
        replace(cross, bearings=(0.01, 0.01))
    assert caught.value.key == ("shafts", "cross shaft", "bearings")
    assert "give the two ends" in caught.value.hint


def test_fixed_is_true_or_false_and_no_word(hauler_text):
    text = hauler_text.replace("play   = 0.3", 'play   = 0.3\nfixed = "yes"')
    with pytest.raises(LayoutError, match="`yes` is neither true nor false") as caught:
        config.loads(text)
    assert caught.value.hint == "write `true` or `false`, without quotes"
    assert caught.value.place.key == "rods.first.fixed"


def test_an_engine_that_does_not_roll_rolls_about_nothing(hauler_text):
    about = 'about = { point = [0, 0, 0], axis = "along" }\n'
    assert about in hauler_text
    with pytest.raises(LayoutError, match="about what is not given"):
        config.loads(hauler_text.replace(about, ""))
    still = hauler_text.replace(about, "").replace('"3 deg"', '"0 deg"')
    assert config.loads(still).layout.engine.roll == 0


def test_who_measures_force_in_kilograms_is_spoken_to_in_them():
    words = spoken_words({"length": "mm", "force": "kgf"})
    assert words["force"] == "kgf"
    # No unit of another layout file, or one misspelt, changes anything.
    assert spoken_words({"length": "mm", "colour": "red", "force": "stone"}) == {}
