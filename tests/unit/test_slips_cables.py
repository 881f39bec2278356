"""Slips at cables and drums: the right one is named first, where it stands in the file."""

from __future__ import annotations

import pytest

from linkage.rules import examine
from linkage.slips import questions, suspected
from linkage.slips.suspects import hypotheses
from linkage.slips.written import written
from tests.unit.edits import TRUCK, edited
from tests.unit.test_search_cables import DRUM, PUSH, RADIUS, SLACK, TO, WOUND

ARM = ("shafts", "spindle", "arms", "drum")
CABLE = ("cables", "main")


@pytest.mark.parametrize(
    ("edit", "kind", "key", "words"),
    [
        (
            (WOUND, 'wound = "anticlockwise"'),
            "wound",
            (*ARM, "wound"),
            "if `wound` of `spindle.drum` was seen from the left, the wire lies clockwise",
        ),
        (
            (RADIUS, "length = 58, angle = 205"),
            "diameter",
            (*ARM, "length"),
            "is the diameter of that drum, it is 29 mm, not 58 mm",
        ),
        (
            (TO, "sheath_to       = [-780, -120, 169]"),
            "sign",
            (*CABLE, "sheath_to", "y"),
            "if sheath_to y of cable `main` has a minus too much (plus is left)",
        ),
        (
            (TO, "sheath_to       = [780, 120, 169]"),
            "sign",
            (*CABLE, "sheath_to", "x"),
            "if sheath_to x of cable `main` has lost its minus (plus is forward)",
        ),
        (
            (TO, "sheath_to       = [-780, 169, 120]"),
            "exchanged",
            (*CABLE, "sheath_to"),
            "if y and z of the sheath_to of cable `main` were exchanged",
        ),
        (
            (SLACK, "slack           = 10"),
            "unit written",
            (*CABLE, "slack"),
            "if the slack of cable `main` was measured in mm and typed in cm",
        ),
        (
            (RADIUS, "length = 1.142, angle = 205"),
            "unit",
            (*ARM, "length"),
            "was measured in inches, it is 29",
        ),
    ],
)
def test_the_right_one_is_named_first(edit, kind, key, words):
    first = suspected(edited(DRUM, edit))[0]
    assert (first.kind, first.key) == (kind, key)
    assert words in first.text
    assert not first.left


def test_a_wire_measured_in_another_unit_is_named_by_its_own_length():
    """What stands in the layout is the free wire, in the file wire and sheath."""
    layout = edited(DRUM)
    cable = layout.rods["main"]
    sheath = float(cable.sheathed)
    (loop,) = examine(layout).assembly.loops
    wire = sheath + float(loop.length)
    lengths = 'sheath_length = "{:.6f} mm"\nwire_length = "{:.6f} mm"'
    right = edited(DRUM, (SLACK, lengths.format(1e3 * sheath, 1e3 * wire)))
    (number,) = [n for n in written(right) if n.key == (*CABLE, "wire_length")]
    assert number.value == pytest.approx(wire, abs=1e-8)
    assert number.what == "the wire length of cable `main`"
    (path, less), *_ = number.sets(number.value + 0.01).items()
    assert path == ("rods", "main", "length")
    assert less == pytest.approx(float(loop.length) + 0.01, abs=1e-8)


def test_nothing_is_said_of_what_fits():
    for name in (DRUM, PUSH):
        assert suspected(edited(name)) == ()
        assert questions(edited(name)) == ()


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        ((SLACK, "slack           = 15"), "is that right? the slack of cable `main`"),
        (("wire            = 1.5", "wire = 15"), "the wire of cable `main` is 15 mm"),
        ((TO, "sheath_to = [-7800, 120, 169]"), "sheath_to x of cable `main`"),
    ],
)
def test_odd_sizes_are_asked_about_in_words_of_a_cable(edit, words):
    asked = questions(edited(DRUM, edit))
    assert any(words in q.text for q in asked)
    assert all(q.key[0] != "rods" for q in asked)


def test_no_layout_of_rods_has_slips_of_cables():
    kinds = {slip.kind for slip in hypotheses(edited(TRUCK))}
    assert not kinds & {"wound", "diameter"}
