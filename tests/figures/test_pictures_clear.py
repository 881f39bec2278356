"""Every picture can be read: no words over words, parts or leaders, none off the page.

Shipped layouts and odd ones of our own, at idle, half and full. Without ``--every``
each is drawn once, at a position that goes round, and one of very many labels not.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from linkage.comparison import compare
from linkage.config import load
from linkage.drawing.layout import layout_figure
from linkage.drawing.style import new_figure, still_style
from linkage.drawing.views import view_along
from linkage.model import NAMED
from linkage.motion import assemble, working_travel
from linkage.report import compare_pictures
from tests.figures.clear import faults
from tests.figures.odd_views import ODD
from tests.thinned import kinds, left_to_every
from tests.unit.compared import car

CONFIGS = Path(__file__).parents[2] / "configs"
SHIPPED = sorted(path.stem for path in CONFIGS.glob("*.toml"))
SHARES = (0.0, 0.5, 1.0)
#: Layouts that a session compares, and two that have little to do with each other.
PAIRS = [
    ("crank-right-hand", "crank-wrong-hand"),
    ("scenario-before", "scenario-wrongly-swapped"),
    ("scenario-before", "scenario-cured"),
    ("hanging-pedal", "twin-side-draught"),
    ("up-pull-side-draught", "down-pull-side-draught"),
    ("bulkhead-cross-shaft", "swapped-push-rod"),
]
SWAP = ("scenario-before", "scenario-wrongly-swapped", "scenario-cured")


#: So many labels that it takes long.
LONG = {"eighteen shafts"}


def pytest_generate_tests(metafunc):
    every = metafunc.config.getoption("--every")
    left_out = LONG | left_to_every(kinds(SHIPPED, 3))
    for kind, names in (("shipped", SHIPPED), ("odd", ODD)):
        if kind in metafunc.fixturenames:
            cases = [
                (name, share)
                for number, name in enumerate(names)
                for share in (SHARES if every else [SHARES[number % len(SHARES)]])
                if every or name not in left_out
            ]
            metafunc.parametrize((kind, "share"), cases)


def drawn(layout, share, **how):
    assembly = assemble(layout)
    working = working_travel(assembly)
    ghost = 0.0 if share > 0.5 else 1.0
    return layout_figure(assembly, working, share=share, ghost=ghost, **how)


def clear(figure, axes=None):
    assert faults(figure, figure.axes if axes is None else axes) == []


def test_of_every_shipped_layout(shipped, share):
    clear(drawn(load(CONFIGS / f"{shipped}.toml").layout, share))


def test_of_odd_layouts(odd, share):
    clear(drawn(ODD[odd](), share))


def test_there_are_enough_of_both():
    assert len(SHIPPED) >= 22
    assert len(ODD) >= 30


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("paper", [None, "letter"])
def test_with_a_banner_a_note_and_on_other_paper(paper, unit):
    figure = drawn(
        ODD["crowded spindle"](), 1.0, paper=paper, length_unit=unit,
        banner="the plate opens only 57 % " * 6, note="geometry alone " * 20,
    )  # fmt: skip
    clear(figure)


@pytest.mark.parametrize("name", SWAP)
def test_before_and_after_a_swap(name):
    both = [view_along(NAMED[axis]) for axis in ("across", "along")]
    clear(drawn(car(name), 0.5, views=both, banner="pressing shuts the plate"))


@cache
def compared(old, new):
    return compare(car(old), car(new))


@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_of_two_layouts_beside_each_other(old, new, monkeypatch):
    kept = []
    monkeypatch.setattr(
        "linkage.drawing.style.save", lambda figure, _: kept.append(figure) or b""
    )
    compare_pictures.both_picture(compared(old, new), suffix="png")
    clear(kept[0], kept[0].axes[:2])


def test_a_fault_is_seen():
    with still_style():
        figure = new_figure()
        ax = figure.add_axes((0, 0, 1, 1))
        ax.set_axis_off()
        ax.set_xlim(0, 1)
        ax.set_ylim(0, 1)
        ax.plot([0.2, 0.8], [0.5, 0.5], color="black", gid="rod one")
        ax.text(0.5, 0.5, "on a rod", ha="center", va="center")
        ax.text(0.52, 0.5, "on words", ha="center", va="center")
        ax.text(0.99, 0.9, "off the page")
        ax.plot([0.3, 0.3], [0.7, 0.3], color="grey", gid="leader")
        ax.plot([0.31, 0.6], [0.4, 0.7], color="grey", gid="leader")
        ax.plot([0.6, 0.4], [0.35, 0.66], color="grey", gid="leader")
        ax.plot([0.7, 0.7], [0.7, 0.5], color="grey", gid="leader")
    found = "\n".join(faults(figure, [ax]))
    for words in (
        "'on a rod' is over the drawing",
        "'on a rod' touches 'on words'",
        "'off the page' leaves the page",
        "leader 0 to",
        "leader 1 crosses leader 2",
    ):
        assert words in found
    assert "leader 3" not in found  # it ends in the rod


@pytest.mark.parametrize("dpi", [72, 110, 150, 300])
def test_words_are_as_wide_at_every_number_of_dots(dpi):
    """A label that had room where it was placed has it wherever it is printed."""
    with still_style():
        figure = new_figure()
        text = figure.text(0, 0, "angles from the right, anticlockwise", fontsize=7)
        widths = []
        for dots in (100, dpi):
            figure.set_dpi(dots)
            box = text.get_window_extent(figure.canvas.get_renderer())
            widths.append(box.width / dots)
    assert widths[0] == pytest.approx(widths[1], rel=0.005)


def test_as_it_is_written_to_a_file():
    figure = drawn(car("twin-side-draught"), 1.0)
    figure.set_dpi(150)
    clear(figure)


def test_the_same_picture_comes_out_twice():
    one, two = (
        [
            (t.get_text(), *np.round(t.get_position(), 9))
            for ax in drawn(ODD["crowded spindle"](), 0.5).axes
            for t in ax.texts
        ]
        for _ in range(2)
    )
    assert one == two
