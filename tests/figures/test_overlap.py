"""That what touches on a figure is found, and what does not is not."""

from __future__ import annotations

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from tests.figures.overlap import faults


def field():
    """A field of 0 to 1 with a line from corner to corner, no numbers at its edges."""
    figure = Figure(figsize=(4, 4))
    FigureCanvasAgg(figure)
    ax = figure.add_axes((0.2, 0.2, 0.7, 0.7), xlim=(0, 1), ylim=(0, 1))
    ax.set_xticks([])
    ax.set_yticks([])
    ax.plot([0, 1], [0, 1], gid="slope")
    return figure, ax


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ((0.1, 0.8), []),
        ((0.5, 0.5), ["'here' is on the line 'slope'"]),
        ((0.98, 0.3), ["'here' is on the edge of a field"]),
        ((1.1, 0.3), ["'here' leaves the page"]),
        ((0.98, 0.98), ["edge", "'slope'"]),
    ],
)
def test_a_text_alone(at, said):
    figure, ax = field()
    ax.text(*at, "here", ha="left", va="bottom")
    found = faults(figure)
    assert len(found) == len(said)
    assert all(word in one for word, one in zip(said, found, strict=True))


def test_texts_over_each_other():
    figure, ax = field()
    ax.text(0.1, 0.8, "one")
    ax.text(0.12, 0.81, "other")
    assert faults(figure) == ["'one' is over 'other'"]
    ax.texts[1].set_position((0.1, 0.6))
    assert faults(figure) == []


def test_markers_that_are_drawn_and_those_left_out_between():
    figure, ax = field()
    x = [0.2, 0.3, 0.4, 0.5]
    (dots,) = ax.plot(x, [0.9] * 4, ls="none", marker="o", gid="dots")
    label = ax.text(0.3, 0.9, "x", ha="center", va="center")
    assert faults(figure) == ["'x' is on a marker of 'dots'"]
    dots.set_markevery(2)
    assert faults(figure) == []
    label.set_position((0.4, 0.9))
    assert len(faults(figure)) == 1


def test_a_line_beyond_its_field_is_not_drawn_and_a_gap_is_not_crossed():
    figure, ax = field()
    ax.plot([0.2, 0.2], [0.5, 5.0], gid="up")
    figure.text(0.34, 0.95, "x", ha="center", va="center")
    assert faults(figure) == []
    ax.lines[1].set_clip_on(False)
    assert faults(figure) == ["'x' is on the line 'up'"]
    ax.lines[1].set_data([0.2, 0.2, 0.2, 0.2], [0.5, 0.6, float("nan"), 5.0])
    assert faults(figure) == []


def test_a_text_may_lie_on_the_line_it_belongs_to():
    figure, ax = field()
    ax.text(0.5, 0.5, "slope", ha="center", va="center")
    assert len(faults(figure)) == 1
    assert faults(figure, lambda t, line: t.get_text() == line.get_gid()) == []


def test_a_leader_ends_at_its_box_and_crosses_no_other():
    figure, ax = field()
    label = ax.text(0.1, 0.8, "label", va="bottom")
    ax.plot([0.12, 0.3], [0.8, 0.35], lw=0.5, gid="leader")
    assert faults(figure) == []
    label.set_position((0.17, 0.55))
    assert faults(figure) == ["'label' is on the line 'leader'"]


def test_numbers_and_names_of_axes_count_too():
    figure, ax = field()
    ax.set_xticks([0.5])
    ax.set_xlabel("travel")
    assert faults(figure) == []
    figure.text(0.55, 0.14, "over", ha="center")
    assert faults(figure) == ["'over' is over '0.5'"]
