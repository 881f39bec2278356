"""What a word beside something that moves hides there, and where it may not stand."""

import numpy as np

from linkage.animation.room import _cost

AT = np.array([[10.0, 10.0], [30.0, 10.0]])
HALF = np.array([5.0, 2.0])
FIELD = np.array([0.0, 0.0, 50.0, 20.0])


def test_a_word_costs_what_it_hides_on_average_of_the_travel():
    level, upright = [[10.0, 10], [14, 11], [16, 10]], [[10.0, 13], [30, 11], [30, 7]]
    assert _cost(AT, HALF, np.array(level), [], FIELD) == 2 / 2
    assert _cost(AT, HALF, np.array(upright), [], FIELD) == 1 / 2
    assert _cost(AT, HALF, np.array(level + upright), [], FIELD) == 3 / 2


def test_it_neither_leaves_the_view_nor_lies_on_another_word():
    none = np.empty((0, 2))
    assert _cost(AT, HALF, none, [], FIELD) == 0
    assert _cost(AT + np.array([16.0, 0.0]), HALF, none, [], FIELD) == np.inf
    over, beside = (np.array([[0.0, 0, 1, 1], [x, 9, 60, 20]]) for x in (34, 36))
    assert _cost(AT, HALF, none, [over], FIELD) == np.inf
    assert _cost(AT, HALF, none, [beside], FIELD) == 0
