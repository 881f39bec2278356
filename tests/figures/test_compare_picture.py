"""Two layouts beside each other: what is marked where, in artists' data."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
import pytest

from linkage.comparison import compare
from linkage.drawing.compare import Drawn, _mark, _view, compare_figure, place_of
from linkage.drawing.layout import view_axes
from linkage.drawing.style import VERMILION, drawing_style, new_figure
from linkage.drawing.views import view_along
from linkage.model import NAMED
from linkage.model.refs import Ref
from linkage.motion import sweep
from linkage.report.compare_pictures import IS, WAS, both_picture, marked
from tests.unit.compared import car

PAIRS = [
    ("crank-right-hand", "crank-wrong-hand"),
    ("scenario-before", "scenario-wrongly-swapped"),
    ("scenario-before", "scenario-cured"),
    ("hanging-pedal", "twin-side-draught"),
]


@cache
def compared(old, new):
    return compare(car(old), car(new))


def figure_of(c):
    refs = [ref for ref, _ in marked(c)]

    def drawn(side, word):
        x = side.examined
        return Drawn(
            heading=side.title,
            assembly=x.assembly,
            working=x.working,
            curve=side.curve,
            words=(word,) * len(refs),
        )

    return compare_figure(drawn(c.old, WAS), drawn(c.new, IS[0]), refs, text="told")


def artists(figure, gid):
    return [
        a for ax in figure.axes for a in (*ax.lines, *ax.texts) if a.get_gid() == gid
    ]


def test_what_turned_round_is_ringed_in_both_with_a_number_and_a_word():
    c = compared("scenario-before", "scenario-cured")
    figure = figure_of(c)
    view = view_along(NAMED["across"])
    for number, ref in enumerate(
        [Ref("arm", "spindle", "lever"), Ref("throttle", "throttle")], 1
    ):
        rings = artists(figure, f"mark {number}")
        words = artists(figure, f"mark word {number}")
        assert [w.get_text() for w in words] == [
            f"{number}: {WAS}",
            f"{number}: {IS[0]}",
        ]
        for ring, side in zip(rings, (c.old, c.new), strict=True):
            at = place_of(sweep(side.examined.assembly, [0.0]), view, ref)
            assert np.asarray(ring.get_xydata())[0] == pytest.approx(at)
            assert ring.get_marker() == "o"
            assert ring.get_markeredgecolor() == VERMILION


def test_nothing_is_marked_where_nothing_turned_round():
    figure = figure_of(compared("hanging-pedal", "twin-side-draught"))
    assert not artists(figure, "mark 1")


@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_both_are_to_one_scale_and_curves_are_the_layouts_own(old, new):
    c = compared(old, new)
    figure = figure_of(c)
    one, two = figure.axes[:2]
    scales = [np.ptp(ax.get_xlim()) / ax.get_position().width for ax in (one, two)]
    assert scales[0] == pytest.approx(scales[1])
    for i, side in enumerate((c.old, c.new)):
        (line,) = artists(figure, f"throttle {i}")
        x = np.asarray(line.get_xydata())[:, 0]
        assert x == pytest.approx(side.curve.pad_travel * 1e3)
    dashes = {artists(figure, f"throttle {i}")[0].get_linestyle() for i in (0, 1)}
    assert len(dashes) == 2


@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_no_mark_hides_another_and_all_stands_on_the_sheet(old, new):
    figure = figure_of(compared(old, new))
    figure.canvas.draw()
    renderer = figure.canvas.get_renderer()
    boxes = [
        t.get_bbox_patch().get_window_extent(renderer)
        for ax in figure.axes[:2]
        for t in ax.texts
        if str(t.get_gid()).startswith("mark word")
    ]
    assert not any(a.overlaps(b) for a, b in combinations(boxes, 2))
    sheet = figure.bbox
    for text in figure.texts:
        box = text.get_window_extent(renderer)
        assert box.x0 >= sheet.x0
        assert box.x1 <= sheet.x1
        assert box.y0 >= sheet.y0
        assert box.y1 <= sheet.y1
    said = [t for t in figure.texts if t.get_gid() == "what turned round"]
    curves = next(ax for ax in figure.axes if ax.get_gid() == "curves")
    assert (
        not said[0]
        .get_window_extent(renderer)
        .overlaps(curves.get_window_extent(renderer))
    )


@pytest.mark.parametrize("suffix", ["png", "svg", "pdf"])
def test_the_same_bytes_every_time(suffix):
    c = compared(*PAIRS[0])
    first = both_picture(c, suffix=suffix, paper="letter")
    assert first == both_picture(c, suffix=suffix, paper="letter")


def test_both_curves_are_named_at_their_lines_and_not_in_a_box_over_them():
    for pair in PAIRS:
        figure = figure_of(compared(*pair))
        (ax,) = [ax for ax in figure.axes if ax.get_gid() == "curves"]
        assert ax.get_legend() is None
        words = {w for t in ax.texts for w in t.get_text().replace(",", " ").split()}
        assert {"old", "NEW"} <= words


def test_the_view_is_that_in_which_what_is_marked_first_is_square_on():
    twin = car("twin-side-draught")
    across, along = Ref("arm", "pedal", "rod"), Ref("arm", "jack shaft", "in")
    gone = Ref("arm", "no such shaft", "in")
    assert _view(twin, [across, along]).axis.name == "across"
    assert _view(twin, [along, across]).axis.name == "along"
    assert _view(twin, [gone, Ref("throttle", "rear")]).axis.name == "along"
    # Seen by most shafts square on, where nothing that is marked is in any view.
    assert _view(twin, [gone]).axis.name == _view(twin, []).axis.name == "along"


def test_what_only_the_other_layout_has_is_not_ringed_and_numbers_stay():
    c = compared("scenario-before", "scenario-cured")
    x = c.new.examined
    view = view_along(NAMED["across"])
    marked_here = [Ref("arm", "no such shaft", "in"), Ref("arm", "spindle", "lever")]
    with drawing_style():
        figure = new_figure("a4")
        ((_, ax),) = view_axes(figure, x.motion, (0.3, 0.3, 11, 7), views=[view])
        tags = _mark(ax, x.motion, view, marked_here, ["was here", "turns round here"])
    assert [t.text for t in tags] == ["2: turns round here"]
    assert [line.get_gid() for line in ax.lines] == ["mark 2"]


def test_a_comparison_draws_main_throttles_alone_without_marks_of_further_ones():
    figure = figure_of(compared("hanging-pedal", "twin-side-draught"))
    ax = next(a for a in figure.axes if a.get_gid() == "curves")
    gids = {str(line.get_gid()).partition(" ")[0] for line in ax.lines}
    assert "throttle" in gids
    assert not gids & {"starts", "other", "area"}
    scales = [ax.get_ylabel(), *(child.get_ylabel() for child in ax.child_axes)]
    assert "throttle share [%]" in scales
    assert not any("open area" in words for words in scales)
