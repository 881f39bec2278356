"""Boxes and lines that meet on a picture, and those beside them that do not."""

import numpy as np
import pytest

from linkage.drawing.meeting import along, counted, crossing, over, summed, through

BOX = np.array([[2.0, 2.0, 4.0, 3.0]])


@pytest.mark.parametrize(
    ("ends", "meets"),
    [
        ([[0, 2.5], [6, 2.5]], True),
        ([[0, 3.5], [6, 3.5]], False),  # level, over the box
        ([[3, 0], [3, 6]], True),
        ([[5, 0], [5, 6]], False),  # upright, beside it
        ([[0, 0], [6, 5]], True),
        ([[0, 3], [3, 6]], False),
        ([[0, 2.5], [1.5, 2.5]], False),  # ends before it
        ([[3, 2.5], [3, 2.6]], True),  # within it
    ],
)
def test_a_line_through_a_box(ends, meets):
    one, two = np.array(ends, float)
    assert through(one[None], two[None], BOX).tolist() == [[meets]]
    assert through(two[None], one[None], BOX).tolist() == [[meets]]


def test_boxes_over_boxes_do_not_only_touch():
    others = np.array([[3.0, 1, 5, 5], [4, 2, 5, 3], [0, 3, 9, 4], [2.5, 2.2, 3, 2.4]])
    assert over(BOX, others).tolist() == [[True, False, False, True]]
    assert over(others, np.empty((0, 4))).shape == (4, 0)


def test_lines_that_cross():
    a, b = np.array([[0.0, 0]]), np.array([[4.0, 4]])
    c = np.array([[0.0, 4], [3, 0], [5, 6]])
    d = np.array([[4.0, 0], [4, 1], [6, 5]])
    assert crossing(a, b, c, d).tolist() == [[True, False, False]]


def test_points_along_a_line_start_at_each_corner_and_leave_out_the_last():
    corners = np.array([[0.0, 0], [3, 0], [3, 4]])
    points = along(corners, np.array([3, 2]))
    assert points.tolist() == [[0, 0], [1, 0], [2, 0], [3, 0], [3, 2]]
    assert along(corners[:1], np.empty(0, int)).shape == (0, 2)


def test_cells_in_boxes_are_counted_with_both_corners():
    cells = np.zeros((5, 4), bool)
    cells[1, 1] = cells[3, 2] = True
    low = np.array([[0, 0], [1, 1], [2, 2], [-5, -5], [2, 0]])
    high = np.array([[0, 3], [1, 1], [3, 2], [9, 9], [2, 3]])
    assert counted(low, high, summed(cells)).tolist() == [0, 1, 1, 2, 0]
