"""Two linkages compared of which one or both have a hand lever."""

from __future__ import annotations

from dataclasses import replace

from linkage.comparison import compare
from linkage.config import dump, loads
from linkage.report.compare_words import change_text, changes_text
from tests.unit.compared import car


def test_a_hand_lever_is_compared_and_rods_to_it_are_not_taken_for_the_pedals():
    old, new = car("hand-and-foot"), car("fault-hand-fights-pedal")
    found = compare(old, new)
    assert [w.about.name for w in found.rods] == ["foot"]
    assert [w.about.name for w in found.slack] == ["foot"]
    assert "hand" not in {w.about.name for w in found.shafts}
    assert {c.kind for c in found.changes} == {"rod slot"}
    pulled = replace(new.hand, pulls=-1, travel=0.1, holds=None)
    found = compare(old, replace(old, hand=pulled))
    assert {c.kind for c in found.changes} == {"pulls", "travel", "holds"}
    text = "; ".join(changes_text(found.changes))
    assert "the hand lever pulling turns it clockwise (was anticlockwise)" in text
    assert "is held, how is not known (was one that holds to 25.0 N)" in text
    found = compare(car("hanging-pedal"), new)
    (change,) = [c for c in found.changes if c.about.kind == "hand"]
    assert change_text(change) == "the hand lever is new"


def test_hand_levers_of_other_names_are_one_part():
    old = car("hand-and-foot")
    text = dump(old).replace("shafts.hand]", "shafts.lever]")
    text = text.replace('shaft = "hand"', 'shaft = "lever"')
    new = loads(text.replace('"hand.rod"', '"lever.rod"')).layout
    found = compare(old, new)
    assert found.matching.names("shaft")["hand"] == "lever"
    assert found.changes == ()
