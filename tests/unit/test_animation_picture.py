"""Frames: what is drawn over the kept ground is what a whole drawing shows."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from PIL import Image

from linkage.animation import panel
from linkage.animation.panel import mark_place
from linkage.animation.picture import (
    LEGEND,
    _layers,
    frames,
    picture,
    refuse_size,
    whole,
)
from linkage.animation.places import places
from linkage.animation.scene import deepest, scenes
from linkage.animation.schedule import schedule
from linkage.animation.stamp import sprites, stamp_box
from linkage.animation.words import short_names
from linkage.config import load
from linkage.drawing.style import CAUTION, drawing_style
from linkage.errors import UsageError
from linkage.model import Throttle
from linkage.quantities import speak_in
from linkage.search import check
from tests.figures.odd_views import three_ways
from tests.figures.overlap import box_of, meet, texts_of
from tests.odd import ODD
from tests.thinned import kinds

CONFIGS = Path(__file__).parents[2] / "configs"
SIZE = (960, 540)


def checked(name):
    return check(load(CONFIGS / f"{name}.toml").layout, cures=False)


def shown(*names, count=12):
    checks = [
        checked(n) if isinstance(n, str) else check(n, cures=False) for n in names
    ]
    timing = schedule(deepest(checks), count)
    return scenes(checks, timing.pad_travel), timing


@pytest.fixture(scope="module")
def pair():
    return shown("fault-wrong-sense", "swapped-push-rod")


def drawn_anew(scenes, index, *, pressing, size=SIZE):
    with drawing_style():
        figure, panels = whole(scenes, size)
        for panel in panels:
            panel.update(index, pressing=pressing)
        figure.canvas.draw()
        return np.array(figure.canvas.buffer_rgba())[:, :, :3]


def far_apart(one, two):
    """Share of pixels that differ clearly."""
    return (np.abs(one.astype(int) - two).max(axis=2) > 90).mean()


@pytest.mark.parametrize(
    "names",
    [("swapped-push-rod",), ("fault-wrong-sense", "swapped-push-rod"), (three_ways(),)],
)
def test_a_frame_shows_what_a_whole_drawing_shows(names):
    made, _ = shown(*names)
    with drawing_style():
        drawn = picture(made, SIZE)
        drawn.show(0, pressing=True)
        late = drawn.show(4, pressing=False)
    assert late.shape == (540, 960, 3)
    same = far_apart(late, drawn_anew(made, 4, pressing=False))
    other = far_apart(late, drawn_anew(made, 0, pressing=True))
    # Words are stamped by another hand, so a few of their pixels differ.
    assert same < 0.006
    assert other > 2 * same


def test_frames_are_as_many_as_asked_end_where_they_start_and_differ(pair):
    made, timing = pair
    told = []
    out = list(frames(made, timing, (640, 360), progress=lambda *now: told.append(now)))
    assert len(out) == 12
    assert told == [(i + 1, 12) for i in range(12)]
    # The last differs from the first in words alone: coming up, other forces.
    assert far_apart(out[0], out[-1]) < 0.004
    assert far_apart(out[0], out[5]) > 0.01
    # Down to the deepest, which is shown twice, and up again.
    for (one, two), (i, j) in zip(pairwise(out), pairwise(timing.indices), strict=True):
        assert (one != two).any() == (i != j)


def test_moving_parts_stand_where_the_motion_is(pair):
    made, _ = pair
    with drawing_style():
        _, panels = whole(made, SIZE)
        for panel in panels:
            panel.update(3, pressing=True)
            scene = panel.scene
            pose = panel.poses[0]
            for name, rod in scene.layout.rods.items():
                ends = np.asarray(pose.moving[f"rod {name}"].get_xydata())
                for hole, end in ((rod.start, ends[0]), (rod.end, ends[1])):
                    assert np.allclose(end, pose.track.pins[str(hole)][3])
            curve = next(
                line for line in panel.mark.axes.lines if line.get_gid() == "curve"
            )
            x, y = mark_place(scene, 3)
            assert y[0] == pytest.approx(
                np.interp(x[0], *np.asarray(curve.get_xydata()).T), abs=0.02
            )
            assert np.asarray(panel.mark.get_xydata()) == pytest.approx(
                np.array([[x[0], y[0]]])
            )


def test_words_say_pad_throttle_stop_verdict_and_caution(pair):
    made, _ = pair
    with drawing_style():
        figure, panels = whole(made, SIZE)
        for panel in panels:
            panel.update(5, pressing=True)
    texts = {t.get_gid(): t.get_text() for t in figure.texts}
    assert texts["caution"] == CAUTION
    assert texts["legend"] == LEGEND.format("rod", "pedal going down")
    verdicts = [t.get_text() for t in figure.texts if t.get_gid() == "verdict"]
    assert [v.replace("\n", " ") for v in verdicts] == [s.verdict for s in made]
    assert panels[0].words.get_text().splitlines() == [
        f"pad {made[0].working.end * 1e3:.1f} of {made[0].working.end * 1e3:.1f} mm",
        "throttle 0.0° = 0 %",
        "stopped by pedal stop",
    ]
    assert panels[1].words.get_text().splitlines()[1] == "throttle 76.0° = 100 %"
    said = panels[1].words.get_text().replace("\n", " ")
    assert said.endswith("stopped by full stop of throttle")
    assert panels[0].plates[0].words.get_text().replace("\n", " ") == "pushed against its idle stop"  # fmt: skip


SHIPPED = sorted(p.stem for p in CONFIGS.glob("*.toml"))
PAIRS = (
    "fault-wrong-sense swapped-push-rod",
    "scenario-wrongly-swapped scenario-cured",
    "twin-side-draught fault-lever-clocked-late",
)
#: Tried without ``--every``.
FEW = ("scenario-before", PAIRS[1], PAIRS[2], "long names", "nine plates", "jams")
#: Letters where the picture is 960 wide. [px]
SMALLEST = 14.0


def pytest_generate_tests(metafunc):
    if "drawn" in metafunc.fixturenames:
        every = metafunc.config.getoption("--every")
        metafunc.parametrize("drawn", [*SHIPPED, *PAIRS, *ODD] if every else FEW)


def boxes_of(image, text):
    """Return the box in which a stamp falls, from the left and from below."""
    x0, y0, x1, y1 = stamp_box(image, text)
    return np.array([x0, image.height - y1, x1, image.height - y0])


def faults(figure, panels):
    """Return what is too small, over another or beyond the frame, as it is drawn."""
    figure.draw_without_rendering()
    renderer = figure.canvas.get_renderer()
    image = Image.new("RGB", tuple(np.round(figure.bbox.size).astype(int)))
    stamped = {a for p in panels for a in p.moving() if isinstance(a, Text)}
    boxes, out = [], []
    for text in texts_of(figure):
        box = box_of(text, renderer)
        if text in stamped:
            box = boxes_of(image, text)
        name = text.get_text()
        size = text.get_fontsize() * figure.dpi / 72 * SIZE[0] / image.width
        out += [f"{name!r} has letters of {size:.1f} px"] * (size < SMALLEST)
        outside = (box[:2] < -0.5).any() or (box[2:] > np.array(image.size) + 0.5).any()
        out += [f"{name!r} leaves the frame"] * bool(outside)
        out += [f"{name!r} is over {other!r}" for other, its in boxes if meet(box, its)]
        boxes.append((name, box))
    return out


@pytest.mark.parametrize("size", [SIZE, (800, 600)])
def test_every_word_of_a_frame_has_its_size_and_place(drawn, size):
    if "inches" in drawn:
        speak_in({"length": "in", "force": "lbf"})
    made, timing = shown(*([ODD[drawn]()] if drawn in ODD else drawn.split()), count=9)
    with drawing_style():
        figure, panels = whole(made, size)
        for index in range(len(timing.pad_travel)):
            for panel in panels:
                panel.update(index, pressing=index != 2)
            assert faults(figure, panels) == []


@pytest.mark.parametrize("name", kinds(SHIPPED, 2))
def test_every_shaft_of_a_shipped_layout_is_named(name):
    made, _ = shown(name, count=4)
    with drawing_style():
        _, panels = whole(made, SIZE)
    assert [pose.left_out for panel in panels for pose in panel.poses if pose.left_out] == []  # fmt: skip


def test_two_plates_each_have_their_inset():
    layout = load(CONFIGS / "swapped-push-rod.toml").layout
    other = Throttle(name="second", shaft="spindle", opens=-1, swing=layout.main.swing)
    made, _ = shown(
        replace(layout, throttles={**layout.throttles, "second": other}), count=4
    )
    with drawing_style():
        _, panels = whole(made, SIZE)
    assert [plate.throttle.name for plate in panels[0].plates] == ["throttle", "second"]


def test_a_lever_that_its_stop_holds_stands_and_the_rod_parts_from_it(pair):
    made, _ = pair
    with drawing_style():
        _, panels = whole(made, SIZE)
        for panel, held in zip(panels, (True, False), strict=True):
            pose = panel.poses[0]
            lever = pose.moving["arm spindle.lever"]
            rest = np.array(lever.get_xydata())[1]
            panel.update(5, pressing=True)
            gap = np.hypot(*(np.array(lever.get_xydata())[1] - rest))
            assert (gap < 1e-9) == held
            rod = np.array(pose.moving["rod carb"].get_xydata())
            apart = np.hypot(*(rod - np.array(lever.get_xydata())[1]).T).min()
            assert (apart > 0.005) == held
            assert ("turn spindle" not in pose.fixed) == held
            assert "turn bell crank" in pose.fixed or not pose.view.facing(
                panel.scene.layout.shafts["bell crank"]
            )


def test_plates_without_an_inset_are_counted():
    made, _ = shown(ODD["nine plates"](), count=4)
    with drawing_style():
        _, panels = whole(made, SIZE)
    assert len(panels[0].plates) == 6
    assert panels[0].words.get_text().splitlines()[-1] == "6 of 9 plates shown"


@pytest.mark.parametrize(
    "size", [(320, 180), (639, 360), (640, 359), (3842, 2160), (960, 960), (1920, 540)]
)
def test_sizes_that_cannot_be_drawn(size):
    with pytest.raises(UsageError):
        refuse_size(size)


@pytest.mark.parametrize("size", [(640, 360), (800, 600), (1920, 1080)])
def test_letters_grow_with_the_picture(size):
    refuse_size(size)
    made, _ = shown("hanging-pedal", count=4)
    with drawing_style():
        figure, _ = whole(made, size)
        assert tuple(np.round(figure.bbox.size).astype(int)) == size
        title = next(t for t in figure.texts if t.get_gid() == "title")
        high = title.get_window_extent(figure.canvas.get_renderer()).height
    assert high == pytest.approx(18 * size[0] / 960, rel=0.15)


def test_views_are_drawn_smaller_until_all_names_have_room(monkeypatch):
    """What a try before left is taken away; the last stays, whatever has no room."""
    ((scene,), _) = shown("swapped-push-rod")
    at = places(9.6, 5.4, 0.0, alone=True, head=0.6, plates=1)
    assert len(at.margins) > 1
    named = []

    def drawn(tries: int) -> list[float]:
        named.clear()

        def name(pose, _scene):
            named.append(pose.ax.get_window_extent().width)
            if len(named) <= (tries - 1) * len(scene.views):
                pose.left_out.append("spindle")

        monkeypatch.setattr(panel, "_name", name)
        with drawing_style():
            figure = Figure(figsize=(9.6, 5.4), dpi=100)
            FigureCanvasAgg(figure)
            poses = panel._draw_views(figure, scene, at)
        assert figure.axes == [pose.ax for pose in poses]
        assert len(poses) == len(scene.views)
        return named

    assert len(drawn(1)) == len(scene.views)
    assert len(drawn(2)) == 2 * len(scene.views)
    assert len(drawn(99)) == len(at.margins) * len(scene.views)


def test_only_axes_in_which_something_moves_are_drawn_every_frame():
    """In them what lies over it too, in the order of a whole drawing."""
    figure = Figure()
    still, lively = figure.subplots(1, 2)
    still.plot([0, 1], [0, 1])
    (under,) = lively.plot([0, 1], [0, 1], zorder=1)
    (moving,) = lively.plot([0, 1], [1, 0], zorder=2)
    (over,) = lively.plot([0, 1], [1, 1], zorder=3)
    assert _layers(figure, {moving}) == [(lively, [moving, over])]
    assert _layers(figure, {under, over}) == [(lively, [under, moving, over])]
    assert _layers(figure, set()) == []


def test_words_off_the_canvas_are_no_pieces_to_paste():
    figure = Figure(figsize=(2, 1), dpi=100)
    canvas = FigureCanvasAgg(figure)
    seen = figure.text(0.5, 0.5, "seen")
    off = figure.text(0.5, -9.0, "below")
    canvas.draw()
    ((piece, box),) = sprites(canvas, [seen, off])
    assert piece.size == (box[2] - box[0], box[3] - box[1])
    assert sprites(canvas, [off]) == []


def test_names_that_would_be_cut_alike_keep_more_letters():
    names = ["return spring one at the front", "return spring two at the front"]
    cut = short_names(names, 8)
    assert len(set(cut.values())) == 2
    assert all("…" in short for short in cut.values())
    assert {len(short) for short in cut.values()} != {9}
    alone = short_names(names[:1], 8)[names[0]]
    assert len(alone) <= 9 < min(map(len, cut.values()))
