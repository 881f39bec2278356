"""Slips at rods that lose motion, and sizes of slots that a person is asked about."""

from __future__ import annotations

import numpy as np
import pytest

from linkage.errors import AssemblyError
from linkage.model.rows import row, stack
from linkage.motion import assemble
from linkage.rules import examine, judge
from linkage.search import check
from linkage.slips import questions, suspected
from linkage.slips.suspects import hypotheses
from tests.unit.edits import PIVOT, TO, TRUCK, edited


def truck(keys, *edits):
    return edited(TRUCK, (TO, f"{TO}\n{keys}"), *edits)


def texts(layout):
    return [slip.text for slip in suspected(layout)]


def test_what_is_lost_taken_to_the_wrong_end_of_its_slot_is_told():
    layout = truck("slot = 30\nlost = 29")
    assert "full-throttle" in {f.code for f in check(layout, cures=False).reasons}
    (text,) = texts(layout)
    assert text == (
        "if `lost` of rod `link` is the way to the end that does not drive, it is "
        "1 mm, not 29 mm"
    )
    (slip,) = suspected(layout)
    assert slip.whole
    assert slip.key == ("rods", "link", "lost")
    assert check(slip.layout, cures=False).verdict != "do not fit"
    assert texts(truck("slot = 30\nlost = 1")) == []


def test_a_rod_measured_to_the_wrong_end_of_its_slot_is_told():
    layout = truck("slot = 30\nlength = 401.6")
    assert "idle" in {f.code for f in check(layout, cures=False).reasons}
    (text,) = texts(layout)
    assert text == (
        "if rod `link` was measured to the end of its slot that does not drive, it is "
        "431.6 mm, not 401.6 mm"
    )
    assert texts(truck("slot = 30\nlength = 431.6")) == []


def test_a_rod_in_pieces_may_have_been_measured_to_either_end():
    pieces = truck("slot = 3\nlength = 436")
    with pytest.raises(AssemblyError):
        assemble(pieces)
    mine = [s.new for s in hypotheses(pieces) if s.kind == "slot end"]
    assert sorted(mine) == pytest.approx([0.433, 0.439])


def test_the_length_of_a_slot_given_as_that_of_the_rod_is_told():
    layout = truck("length = 30")
    with pytest.raises(AssemblyError):
        assemble(layout)
    (slip,) = suspected(layout)
    assert slip.text == (
        "if `length` of rod `link` is that of its slot, `slot` is 30 mm, and the rod is "
        "cut to fit"
    )
    assert slip.layout.rods["link"].slot == pytest.approx(0.030)
    assert slip.layout.rods["link"].length is None
    # A rod with a slot already has its length, and no bar is a slot.
    for keys in ("slot = 8\nlength = 30", "length = 300", 'only = "pull"\nlength = 30'):
        assert "slot length" not in {s.kind for s in hypotheses(truck(keys))}


@pytest.mark.parametrize(
    ("keys", "what"),
    [
        (
            "slot = 64",
            "the slot of rod `link` is 64 mm; slots in a rod are usually 5 mm",
        ),
        ("slot = 3", "the slot of rod `link` is 3 mm; slots in a rod are usually 5 mm"),
        ('only = "pull"\nlost = 75', "the way that rod `link` loses is 75 mm"),
    ],
)
def test_a_size_that_is_not_usual_is_asked_about(keys, what):
    (question,) = questions(truck(keys))
    assert what in question.text


@pytest.mark.parametrize("keys", ["slot = 60\nlost = 60", "slot = 5", 'only = "push"'])
def test_usual_sizes_are_not_asked_about(keys):
    assert questions(truck(keys)) == ()


def test_a_slot_measured_with_its_pin_gives_a_usual_size():
    told = texts(truck("slot = 64"))
    assert (
        "if the slot of rod `link` was measured over its ends, it is 58 mm, not 64 mm"
    ) in told
    assert (
        "if the slot of rod `link` was measured over its ends, it is 56 mm, not 64 mm"
    ) in texts(truck("slot = 64\njoint_diameter = 8"))


def test_a_rod_shorter_than_its_own_slot_is_no_rod():
    near = (PIVOT, "pivot   = [43, -30, 82]")
    layout = truck("slot = 64", near)
    with pytest.raises(AssemblyError, match=r"58\.8 mm long, and its slot alone is 64"):
        assemble(layout)
    assert assemble(truck("slot = 50", near)).ok
    # Among rows it is marked, and the others are judged as alone.
    good = truck("slot = 64")
    many = stack([layout, good])
    x = examine(many)
    assert np.ravel(x.ok).tolist() == [False, True]
    assert judge(x).verdicts[1] == judge(examine(row(many, 1))).verdicts[0]
