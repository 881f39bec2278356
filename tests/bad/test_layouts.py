"""The 300 bad layouts stay what they are, and are bad."""

from __future__ import annotations

import tomllib
from itertools import islice

import pytest

import linkage
from tests.bad.chosen import chosen
from tests.bad.layouts import SOUND, bad_text, shipped, written
from tests.bad.record import mark, seeds

#: How many of the first seeds are checked here.
FIRST = 40


def test_each_seed_still_gives_its_text():
    named = seeds()
    assert len(named) == 300
    assert {seed: mark(bad_text(int(seed))) for seed in named} == named


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_layout_written_anew_reads_the_same_and_may_be_fitted(name):
    layout = linkage.loads(shipped(name)).layout
    assert linkage.loads(written(tomllib.loads(shipped(name)))).layout == layout
    assert linkage.check(layout, cures=False).verdict != "do not fit"


def test_the_first_seeds_taken_are_those_that_do_not_fit():
    taken = [int(seed) for seed in seeds()][:FIRST]
    assert list(islice(chosen(), FIRST)) == taken
