"""The travel curve's picture: artists' data, not pixels."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from linkage.drawing import curve_figure, draw_curve, save
from linkage.drawing.curve_names import Spots, _spots
from linkage.drawing.curve_words import legend
from linkage.drawing.style import CAUTION, LOOKS, PAPER
from linkage.errors import UsageError
from linkage.motion import assemble, working_travel
from linkage.motion.curve import travel_curve
from tests.build import hauler, hole
from tests.figures.overlap import faults
from tests.unit.edits import edited


def curve(lever=0.034, rod=0.0, **throttle):
    """An invented chain of three shafts; `rod` makes the last rod longer."""
    layout = hauler().with_arm(hole("spindle.lever"), length=lever)
    changed = replace(layout.main, **throttle)
    layout = replace(layout, throttles={changed.name: changed})
    if rod:
        layout = layout.with_rod("last", assemble(layout).loop("last").length + rod)
    assembly = assemble(layout)
    return travel_curve(assembly, working_travel(assembly))


def axes():
    figure = Figure(figsize=(9, 6))
    FigureCanvasAgg(figure)
    return figure.add_axes((0.1, 0.4, 0.8, 0.5)), figure.add_axes((0.1, 0.1, 0.8, 0.2))


PICTURES = {
    "plain": [("as measured", curve())],
    "bore": [
        ("as measured", curve(bore=0.036, spindle=0.008, closed_angle=radians(8)))
    ],
    "three": [
        ("34 mm lever", curve()),
        ("45 mm lever", curve(0.045)),
        ("50 mm lever", curve(0.05)),
    ],
    "two swings": [("old", curve()), ("new", curve(swing=radians(82)))],
    "wrong": [("as measured", curve(opens=-1))],
    "lost motion": [("long rod", curve(rod=0.004))],
    "held open": [("short rod", curve(rod=-0.004))],
}


def test_lines_are_the_computed_numbers():
    one = curve(bore=0.036, spindle=0.008)
    ax, low = axes()
    art = draw_curve(ax, [("one", one)], ratio_ax=low)
    x, y = art.lines[0].get_data()
    assert x == pytest.approx(one.pad_travel * 1000)
    assert y == pytest.approx(np.degrees(one.main.throttle_angle))
    assert art.ratio_lines[0].get_ydata() == pytest.approx(
        np.degrees(one.main.local_ratio) / 1000
    )
    # the area is read on the right-hand scale, where 100 is level with the swing
    assert art.area_lines[0].get_ydata() == pytest.approx(one.main.open_area * 76)
    assert art.marks[0].get_xdata() == pytest.approx(
        [1000 * at for at in one.marks.values()]
    )
    assert art.marks[0].get_ydata() == pytest.approx([19, 38, 57])
    assert art.limits[0].get_ydata()[0] == pytest.approx(76)
    assert art.limits[1].get_ydata()[0] == pytest.approx(0.98 * 76)


def test_inches():
    one = curve()
    ax, low = axes()
    art = draw_curve(ax, [("one", one)], ratio_ax=low, length_unit="in")
    assert art.lines[0].get_xdata() == pytest.approx(one.pad_travel / 0.0254)
    assert art.ratio_lines[0].get_ydata() == pytest.approx(
        np.degrees(one.main.local_ratio) * 0.0254
    )
    assert low.get_xlabel() == "pad travel [in]"
    assert "[°/in]" in low.get_ylabel()


def test_throttles_of_other_swing_are_compared_in_per_cent():
    named = PICTURES["two swings"]
    ax, _ = axes()
    art = draw_curve(ax, named)
    for line, (_, one) in zip(art.lines, named, strict=True):
        assert line.get_ydata() == pytest.approx(100 * one.main.throttle_share)
    assert ax.get_ylabel() == "throttle share [%]"


def test_what_the_rods_ask_beyond_the_stop_is_shown():
    wrong = curve(opens=-1)
    ax, _ = axes()
    art = draw_curve(ax, [("wrong", wrong)])
    assert not np.any(art.lines[0].get_ydata())
    asked = art.asked_lines[0].get_ydata()
    assert asked == pytest.approx(np.degrees(wrong.main.asked_angle))


def test_each_look_differs_without_its_colour():
    assert len({str(look.dash) for look in LOOKS}) == len(LOOKS)
    assert len({look.marker for look in LOOKS}) == len(LOOKS)
    ax, _ = axes()
    art = draw_curve(ax, PICTURES["three"])
    assert (
        len({(line._dash_pattern[0], str(line._dash_pattern)) for line in art.lines})
        == 3
    )


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("paper", [None, "a4", "letter"])
def test_no_label_covers_another(name, paper):
    figure = curve_figure(
        PICTURES[name], paper=paper, banner="a reason" if name == "wrong" else None
    )
    assert faults(figure) == []
    if paper:
        assert tuple(figure.get_size_inches()) == PAPER[paper]


def words(figure):
    return [t.get_text() for t in figure.texts] + [
        t.get_text() for ax in figure.axes for t in ax.texts
    ]


def test_caution_and_banner():
    figure = curve_figure(PICTURES["wrong"], banner="pressing shuts the plate")
    assert CAUTION in words(figure)
    assert "DO NOT FIT: pressing shuts the plate" in words(figure)
    plain = curve_figure(PICTURES["plain"])
    assert CAUTION in words(plain)
    assert not any("DO NOT FIT" in text for text in words(plain))


def test_faults_are_said_on_the_picture():
    assert any(
        "pressing does not open the plate" in t
        for t in words(curve_figure(PICTURES["wrong"]))
    )
    assert any(
        "before the plate moves" in t
        for t in words(curve_figure(PICTURES["lost motion"]))
    )
    assert any(
        "open with the pedal up" in t
        for t in words(curve_figure(PICTURES["held open"]))
    )
    assert any(
        "stopped by full stop of throttle" in t
        for t in words(curve_figure(PICTURES["plain"]))
    )


@pytest.mark.parametrize("suffix", [".svg", ".pdf", ".png"])
def test_same_bytes_on_a_second_run(suffix):
    first, second = (
        save(curve_figure(PICTURES["bore"], paper="a4"), suffix) for _ in range(2)
    )
    assert first == second
    assert len(first) > 5000


def test_refuses_an_unknown_suffix():
    with pytest.raises(UsageError) as refused:
        save(curve_figure(PICTURES["plain"]), ".pgn")
    assert ".png" in refused.value.hint


KICKDOWN = "slot     = 36\n"
REAR = 'to       = "rear spindle.lever"\n'


def of_twins(*edits):
    assembly = assemble(edited("twin-side-draught", *edits))
    return travel_curve(assembly, working_travel(assembly))


def test_a_plate_that_a_slot_picks_up_later_is_marked_and_told_where_it_starts():
    curve = of_twins((REAR, REAR + "slot = 22\nlost = 8\n"))
    figure = curve_figure([("twins", curve)])
    rear = curve.throttles["rear"]
    assert 0.01 < rear.starts < 0.02
    mark = next(a for a in figure.axes[0].lines if a.get_gid() == "starts 0 rear")
    np.testing.assert_allclose(mark.get_xydata(), [[1e3 * rear.starts, 0]])
    texts = {t.get_text() for t in figure.axes[0].texts}
    assert f"rear starts at {1e3 * rear.starts:.1f} mm" in texts
    below = next(t.get_text() for t in figure.texts if t.get_gid() == "below")
    assert below == "rear 78 % at the end; kickdown full 0.5 mm after front"


@pytest.mark.parametrize(
    ("swing", "said"),
    [
        (45.5, "kickdown full 0.5 mm after front"),
        (44.8, "kickdown full 0.6 mm BEFORE front"),
        (36.0, "kickdown full, front never"),
        (60.0, "kickdown 75 % at the end"),
    ],
)
def test_plate_and_kickdown_lever_run_to_full_on_one_scale_and_it_is_told_which_first(
    swing, said
):
    curve = of_twins(("swing = 45.5", f"swing = {swing}"))
    figure = curve_figure([("twins", curve)])
    below = next(t.get_text() for t in figure.texts if t.get_gid() == "below")
    assert below == said
    lever = curve.throttles["kickdown"]
    line = next(a for a in figure.axes[0].lines if a.get_gid() == "other 0 kickdown")
    assert figure.axes[0].get_ylabel().startswith("throttle share [%]")
    np.testing.assert_allclose(line.get_ydata(), 100 * lever.throttle_share)
    if lever.full_at is not None:
        at = np.interp(lever.full_at, curve.pad_travel, lever.throttle_share)
        assert at == pytest.approx(curve.full_limit, abs=1e-4)


def test_of_several_layouts_the_key_tells_where_further_throttles_start():
    curves = [
        ("old", of_twins()),
        ("new", of_twins((KICKDOWN, "slot = 30\nlost = 5\n"))),
    ]
    figure = curve_figure(curves)
    words = " ".join(t.get_text() for t in figure.texts)
    assert "kickdown starts at 11.2 mm" in words
    assert "below" not in {t.get_gid() for t in figure.texts}


def test_a_lever_that_never_starts_is_told_so():
    curve = of_twins((KICKDOWN, 'only = "push"\n'))
    assert curve.throttles["kickdown"].starts is None
    figure = curve_figure([("twins", curve)])
    assert "kickdown never starts" in {t.get_text() for t in figure.axes[0].texts}


def test_names_without_room_at_their_place_are_told_under_the_curve(monkeypatch):
    def told(*left_out: str) -> list[str]:
        def drawn(*args, **kwargs):
            art = draw_curve(*args, **kwargs)
            art.left_out.extend(left_out)
            return art

        monkeypatch.setattr("linkage.drawing.curve.draw_curve", drawn)
        figure = curve_figure(PICTURES["plain"])
        return [t.get_text() for t in figure.texts if t.get_gid() == "left out"]

    assert told() == []
    assert told("tip-in:\n1.2 °/mm", "idle") == [
        "No room at its place for: tip-in: 1.2 °/mm; idle"
    ]


def test_a_line_that_lies_between_two_steps_has_its_name_at_its_ends():
    points = np.array([[3.0, 1.0], [2.0, 1.0], [1.0, 1.0]])
    x, taken = np.arange(5.0), np.zeros(5, bool)
    short = Spots(x=x, y=np.full(5, np.nan), points=points, taken=taken, where=0.5)
    spots, ways = _spots(short, ([], np.empty(0)), (20.0, 8.0))
    assert ways == 1
    assert np.array_equal(spots, points)


def test_what_thin_and_dotted_lines_are_is_told_where_there_are_any():
    plain, dotted = "Marks at 25, 50 and 75 % of the swing", "dotted below zero: where the linkage pushes"  # fmt: skip
    right, bore, wrong = (PICTURES[n][0] for n in ("plain", "bore", "wrong"))
    assert legend([right]).startswith(plain.capitalize())
    assert dotted not in legend([right])
    assert dotted in legend([right, wrong])
    assert "thin with filled marks: open area" not in legend([right])
    assert "thin with filled marks: open area" in legend([right, bore])


def test_a_start_close_to_rest_is_told_over_the_field_where_there_is_room():
    layout = edited("fault-kickdown-first")
    assembly = assemble(layout)
    curve = travel_curve(assembly, working_travel(assembly), points=101)
    figure = curve_figure([("van", curve)], paper="a4")
    below = next(t.get_text() for t in figure.texts if t.get_gid() == "below")
    assert below.startswith("kickdown starts at 1.7 mm; kickdown full")
    assert not [t for t in figure.axes[0].texts if "starts" in t.get_text()]
    assert faults(figure) == []
