"""What was assumed is listed by name, and goes when it is given."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from linkage.report.assumed import (
    BEARING_FRICTION,
    INSTRUMENTS,
    assumed,
    friction_given,
)
from linkage.report.findings import changed_lines, check_data, closing_lines
from linkage.search import check
from tests.unit.edits import TRUCK, edited

if TYPE_CHECKING:
    from linkage.model import Layout


def _shafts(layout: Layout, **change) -> Layout:
    return replace(
        layout, shafts={n: replace(s, **change) for n, s in layout.shafts.items()}
    )


def _rods(layout: Layout, **change) -> Layout:
    return replace(
        layout, rods={n: replace(r, **change) for n, r in layout.rods.items()}
    )


def _masses(layout: Layout) -> Layout:
    arms = {
        n: {k: replace(a, mass=0.05) for k, a in s.arms.items()}
        for n, s in layout.shafts.items()
    }
    shafts = {n: replace(s, arms=arms[n]) for n, s in layout.shafts.items()}
    return replace(layout, shafts=shafts)


def _plate(layout: Layout, **change) -> Layout:
    return replace(
        layout, throttles={n: replace(t, **change) for n, t in layout.throttles.items()}
    )


NO_BEARINGS = _plate(_shafts(edited(TRUCK), bearing=0.0), spindle=0.0)
NO_BORE = _plate(_shafts(edited(TRUCK), drag=None), bore=0.0)
NO_SPINDLE = _plate(_shafts(edited(TRUCK), drag=None), bore=0.038, spindle=0.0)
PLAIN = _rods(edited(TRUCK), mass=0.0, joint_diameter=0.0, joint_friction=None)


@pytest.mark.parametrize(
    ("layout", "words", "given"),
    [
        (NO_BEARINGS, "bearing of 12 mm: `pedal`, `spindle`", lambda x: _shafts(x, bearing=0.01)),
        (NO_BEARINGS, "carried, along the shaft from its pivot, `pedal` at -10 mm and 10 mm", lambda x: _shafts(x, bearings=(-0.02, 0.02))),
        (NO_BEARINGS, "friction 0.2 in bearings", lambda x: _shafts(x, friction=0.1)),
        (NO_BORE, "friction of 0.05 N·m for want of a bore: `spindle`", lambda x: _plate(x, bore=0.03)),
        (NO_BORE, "friction of 0.05 N·m for want of a bore: `spindle`", lambda x: _shafts(x, drag=0.02)),
        (NO_SPINDLE, "spindle of 8 mm: `spindle`", lambda x: _plate(x, spindle=0.007)),
        (NO_SPINDLE, "70 kPa behind the shut plate: `spindle`", lambda x: _shafts(x, drag=0.02)),
        (PLAIN, "balls or pins of 10 mm: `link`", lambda x: _rods(x, joint_diameter=0.008)),
        (PLAIN, "friction 0.2 in joints: `link`", lambda x: _rods(x, joint_friction=0.1)),
        (PLAIN, "pad of 0.3 kg", _masses),
        (PLAIN, "levers as steel flats of 20 mm x 5 mm: `pedal.pad`", _masses),
        (_rods(PLAIN, diameter=0.0), "rods weighed as bars of 6 mm: `link`", lambda x: _rods(x, diameter=0.008)),
        (_rods(PLAIN, diameter=0.008), "rods weighed by their sizes: `link`", lambda x: _rods(x, mass=0.1)),
    ],
)  # fmt: skip
def test_what_is_not_given_is_named_until_it_is_given(layout, words, given):
    assert any(w.startswith(words) for w in assumed(layout))
    assert not any(w.startswith(words) for w in assumed(given(layout)))


def test_nothing_is_assumed_where_all_is_given():
    layout = _plate(_masses(edited(TRUCK)), bore=0.038, spindle=0.008)
    layout = _shafts(
        layout, bearing=0.01, bearings=(-0.02, 0.03), friction=0.2, drag=0.03
    )
    layout = _rods(layout, joint_diameter=0.01, joint_friction=0.2, mass=0.1)
    assert assumed(layout) == []


def test_it_stands_above_what_was_not_checked_and_in_the_data():
    found = check(edited(TRUCK), cures=False)
    text = " ".join(" ".join(closing_lines(found)).split())
    said = assumed(edited(TRUCK))
    assert said
    assert check_data(found)["assumed"][:-1] == said
    assert check_data(found)["assumed"][-1].startswith(INSTRUMENTS)
    assert text.startswith("Assumed, as not given: ")
    assert all(words in text for words in said)


def test_where_no_force_was_judged_nothing_was_assumed_for_it():
    alone = check(edited(TRUCK), cures=False, geometry=True)
    bare = check(replace(edited(TRUCK), springs={}), cures=False)
    for found in (alone, bare):
        (only,) = check_data(found)["assumed"]
        assert only.startswith(f"{INSTRUMENTS}: pivots by tape to 5 mm, ")
        assert "pad by tape to 5 mm, holes by rule to 0.5 mm" in only


def test_friction_that_is_given_is_told_with_the_usual():
    layout = replace(edited(TRUCK), friction=0.1)
    layout = replace(
        layout,
        shafts={
            n: replace(s, friction=0.3 if n == "pedal" else None)
            for n, s in layout.shafts.items()
        },
    )
    layout = replace(_rods(layout, joint_friction=0.05), cold_factor=1.5)
    found = check(layout, cures=False)
    said = [f"  {line}" for line in check_data(found)["friction_given"]]
    assert ["Friction given in the file:", *said, ""] == changed_lines(found)
    assert changed_lines(found) == [
        "Friction given in the file:",
        "  loosened: bearings: 0.1 instead of 0.2",
        "  `pedal`: 0.3 instead of 0.2",
        "  loosened: the joints of `link`: 0.05 instead of 0.2",
        "  loosened: all of it when cold, times: 1.5 instead of 2",
        "",
    ]
    usual = _rods(_shafts(edited(TRUCK), friction=BEARING_FRICTION), joint_friction=0.2)
    assert friction_given(replace(usual, friction=BEARING_FRICTION)) == []
