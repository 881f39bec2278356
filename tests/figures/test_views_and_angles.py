"""Second views, included angles, angles in brackets, room for plates, and keys."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from linkage.drawing.included import included_angles
from linkage.drawing.layout import layout_figure
from linkage.drawing.part_labels import angle_words
from linkage.drawing.plate import LEAST, plates_size
from linkage.drawing.views import OUT, depth, view_along, views_needed
from linkage.model import NAMED
from linkage.motion import assemble, working_travel
from tests.build import hauler
from tests.figures.odd_views import ODD, chain, one_way, plates, spring
from tests.sprung import with_springs
from tests.unit.compared import car


def figure_of(layout, share=0.0, **how):
    assembly = assemble(layout)
    return layout_figure(assembly, working_travel(assembly), share=share, **how)


def names(layout):
    return [view.axis.name for view in views_needed(layout)]


def test_flat_is_one_view_and_what_runs_out_of_it_asks_for_another():
    flat = chain(2)
    assert names(flat) == ["across"]
    leaning = chain(2, lean=1.1 * OUT * 1e3)
    assert names(leaning) == ["across", "along"]
    across = view_along(NAMED["across"])
    assert depth(leaning, across) == pytest.approx(1.1 * OUT)
    near = with_springs(flat, spring("s", "shaft 2.out", (300, 200, 60)))
    assert names(near) == ["across"]
    far = with_springs(flat, spring("s", "shaft 2.out", (300, 260, 60)))
    assert names(far) == ["across", "along"]  # the spring leans out of the plane
    out = flat.with_arm("shaft 2.out", offset=1.5 * OUT)
    assert names(out) == ["across", "along"]


def test_the_second_view_is_square_to_the_first():
    assert names(one_way("along")) == ["along", "across"]
    assert names(one_way("upright")) == ["upright", "across"]
    assert names(car("hanging-pedal")) == ["across", "along"]


def test_a_bell_crank_has_its_included_angle_and_a_cross_shaft_has_none():
    layout = car("scenario-before")
    found = {one.shaft: np.degrees(one.angle) for one in included_angles(layout)}
    # arms in at -20 and out at 72 degrees in the file
    assert found == {"bell crank": pytest.approx(92.0)}
    assert included_angles(hauler()) == []  # -17 and -16: a cross shaft
    assert included_angles(car("hanging-pedal")) == []


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_the_arc_goes_from_arm_to_arm_at_every_position(share):
    figure = figure_of(car("scenario-before"), share)
    ax = next(a for a in figure.axes if a.get_gid() == "seen from the right")
    lines = {line.get_gid(): np.asarray(line.get_xydata()) for line in ax.lines}
    arc = lines["included bell crank.out"]
    pivot = lines["arm bell crank.in"][0]
    for tip, arm in ((arc[1], "in"), (arc[-2], "out")):
        way = lines[f"arm bell crank.{arm}"][1] - pivot
        to = tip - pivot
        sine = (way[0] * to[1] - way[1] * to[0]) / np.hypot(*way) / np.hypot(*to)
        assert sine == pytest.approx(0, abs=1e-6)
    texts = [t.get_text() for t in ax.texts]
    assert any("in and out 92.0° apart" in t for t in texts)


def test_angles_of_the_file_stand_in_brackets_where_an_arm_has_turned():
    assert angle_words(radians(-38), 0.0) == "−38.0°"
    assert angle_words(radians(-38), radians(76)) == "38.0° (−38.0°)"
    assert angle_words(radians(170), radians(20)) == "−170.0° (170.0°)"
    rest, full = (figure_of(hauler(), share) for share in (0.0, 1.0))
    words = [[t.get_text() for ax in f.axes for t in ax.texts] for f in (rest, full)]
    assert "lever 34.0 mm\nat −38.0°" in words[0]
    assert any(t.startswith("lever 34.0 mm\nat ") and "(−38.0°)" in t for t in words[1])
    noted = [any("in brackets: at rest" in t for t in one) for one in words]
    assert noted == [False, True]


@pytest.mark.parametrize("many", [1, 2, 4, 8])
def test_plates_have_room_for_their_words(many):
    figure = figure_of(plates(many, step=60))
    size = figure.get_size_inches()
    found = [ax for ax in figure.axes if ax.get_gid().startswith("plate ")]
    assert len(found) == many
    boxes = [
        np.array(ax.get_position(original=True).extents) * np.tile(size, 2)
        for ax in found
    ]
    for i, one in enumerate(boxes):
        assert one[2] - one[0] >= LEAST[0] - 1e-9
        assert one[3] - one[1] >= LEAST[1] - 1e-9
        for other in boxes[:i]:
            assert (one[:2] >= other[2:] - 1e-6).any() or (
                other[:2] >= one[2:] - 1e-6
            ).any()


def test_where_plates_do_not_go_is_told():
    assert plates_size(1, (2.0, 2.0)) is not None
    assert plates_size(9, (2.0, 2.0)) is None
    columns, wide, high = plates_size(4, (4.4, 4.8))
    assert (columns, wide, high) == (2, 2.2, 2.4)


def test_a_wide_view_gets_more_of_the_width_than_a_narrow_one():
    figure = figure_of(car("twin-side-draught"))
    behind, right = (figure.axes[i].get_position().width for i in (1, 0))
    lengths = [np.ptp(figure.axes[i].get_xlim()) for i in (1, 0)]
    assert figure.axes[0].get_gid() == "seen from the right"
    assert right > behind
    assert right / behind == pytest.approx(lengths[1] / lengths[0])


def test_what_has_no_room_is_in_the_list():
    """All that is to be said stands either in a view or in the list."""
    layout = ODD["crowded spindle"]()
    figure = figure_of(layout)
    words = " ".join(
        t.get_text()
        for t in (*figure.texts, *(t for ax in figure.axes for t in ax.texts))
    )
    words = " ".join(words.split())  # a line of the list may end within a number's unit
    for arm in layout.shafts["spindle"].arms.values():
        assert f"{arm.length * 1e3:.1f} mm" in words
    for name in (*layout.springs, *layout.stops, *layout.rods, *layout.shafts):
        assert name in words
    (listed,) = (t.get_text() for t in figure.texts if t.get_gid() == "keys")
    signs = [line[1] for line in listed.splitlines() if line.startswith("(")]
    circled = {
        t.get_text() for ax in figure.axes for t in ax.texts if t.get_bbox_patch()
    }
    assert circled == set(signs)


def test_names_of_what_lies_over_each_other_stand_together():
    figure = figure_of(car("twin-side-draught"))
    texts = [t.get_text() for t in figure.axes[1].texts]
    assert any(t.startswith("front spindle and\nrear spindle\n") for t in texts)
    apart = replace(
        car("twin-side-draught"),
        shafts={
            n: replace(s, pivot=(*s.pivot[:2], s.pivot[2] + 0.02))
            if n == "rear spindle"
            else s
            for n, s in car("twin-side-draught").shafts.items()
        },
    )
    texts = [t.get_text() for t in figure_of(apart).axes[1].texts]
    assert not any("front spindle and" in t for t in texts)
