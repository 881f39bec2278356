"""The spring card's picture: artists' data, not pixels."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from linkage.drawing.springs import springs_figure
from linkage.forces.summary import spring_card
from linkage.motion import assemble, working_travel
from tests.build import hauler
from tests.sprung import (
    line_spring,
    sprung_hauler,
    weightless,
    with_bearings,
    with_springs,
)


def card(layout):
    assembly = assemble(layout)
    return spring_card(assembly, working_travel(assembly), points=31)


def drawn(figure) -> dict[str, np.ndarray]:
    return {
        line.get_gid(): np.asarray(line.get_ydata())
        for ax in figure.axes
        for line in ax.lines
        if line.get_gid()
    }


def words(figure) -> list[str]:
    return [t.get_text() for ax in figure.axes for t in ax.texts]


def test_lines_are_the_cards_own_numbers():
    # Without weight, which counts in every one of the lines.
    made = card(weightless(with_bearings(sprung_hauler(), 10)))
    lines = drawn(springs_figure(made))
    s = made.together
    assert lines["pressing"] == pytest.approx(s.pad_force_pressing)
    assert lines["releasing"] == pytest.approx(s.pad_force_releasing)
    assert lines["all springs"] == pytest.approx(s.closing_torque["throttle"])
    assert lines["friction"] == pytest.approx(s.friction_torque["throttle"])
    for name, alone in made.alone.items():
        assert lines[f"{name} alone"] == pytest.approx(alone.closing_torque["throttle"])
    # What two springs do together is the sum of what each does.
    both = lines["main alone"] + lines["pedal alone"]
    assert lines["all springs"] == pytest.approx(both)


def test_springs_alike_share_one_line_and_both_names():
    twins = (
        line_spring("near", "spindle.spring", (194, -100, 130)),
        line_spring("far", "spindle.spring", (194, -100, 130)),
    )
    figure = springs_figure(card(with_springs(hauler(), *twins)))
    lines = drawn(figure)
    named = [name for name in lines if name.endswith(" alone")]
    assert named == ["near alone, far alone"]
    assert "near alone, far alone" in words(figure)


def test_bounds_are_drawn_where_the_force_comes_near_them():
    layout = sprung_hauler()
    most = float(np.max(card(layout).together.pad_force_pressing))
    near = replace(layout.limits, pad_force_look=0.9 * most, pad_force_refuse=2 * most)
    said = words(springs_figure(card(replace(layout, limits=near))))
    assert any(w.startswith("heavy above") for w in said)
    assert not any(w.startswith("bad above") for w in said)


def test_words_in_the_margin_never_meet():
    figure = springs_figure(card(sprung_hauler()))
    figure.canvas.draw()
    renderer = figure.canvas.get_renderer()
    for ax in figure.axes:
        boxes = sorted((t.get_window_extent(renderer) for t in ax.texts), key=lambda b: b.y0)  # fmt: skip
        assert len(boxes) > 1
        assert all(a.y1 <= b.y0 + 1 for a, b in pairwise(boxes))


def test_the_banner_says_why_not():
    figure = springs_figure(card(sprung_hauler()), paper="a4", banner="no spring shuts")
    (banner,) = [t for t in figure.texts if t.get_gid() == "banner"]
    assert banner.get_text() == "DO NOT FIT: no spring shuts"
