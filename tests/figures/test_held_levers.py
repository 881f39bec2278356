"""A lever that its stop holds stands at its stop, parted from the rod that would take it on."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from linkage.drawing.held import _waiting, below, beyond, held_turns, held_words
from linkage.drawing.layout import draw_layout, layout_figure, travel_motion, view_axes
from linkage.drawing.plate import plate_words
from linkage.drawing.style import drawing_style, new_figure
from linkage.model import Hole
from linkage.motion import assemble, frame, sweep, working_travel
from tests.build import hauler
from tests.figures.odd_views import held, held_first_of_two, plates


def drawn(layout, share):
    assembly = assemble(layout)
    motion, (index, *_) = travel_motion(assembly, working_travel(assembly), (share,))
    with drawing_style():
        figure = new_figure("a4")
        axes = view_axes(figure, motion, (0.3, 0.3, 11, 7))
        (view, ax) = next((v, a) for v, a in axes if v.axis.name == "across")
        return motion, index, draw_layout(ax, motion, index, view)


def along(pose, name):
    return np.asarray(pose.artists[name].get_xydata())


def test_a_lever_pushed_shut_stands_where_it_was_and_the_rod_goes_on():
    motion, index, pose = drawn(held(), 0.5)
    layout = held()
    x, _, z = np.transpose(layout.shafts["spindle"].pin("lever"))
    assert along(pose, "arm spindle.lever")[1] == pytest.approx([x, z])
    assert along(pose, "pin spindle.lever")[0] == pytest.approx([x, z])
    taken = frame(motion).pin(Hole(shaft="spindle", arm="lever")).T[index][[0, 2]]
    assert np.hypot(*(taken - [x, z])) > 0.005
    assert along(pose, "rod last")[1] == pytest.approx(taken)
    assert along(pose, "gap last") == pytest.approx(np.array([taken, [x, z]]))
    texts = [t.get_text().replace("\n", " ") for t in pose.ax.texts]
    assert any("pushed against its idle stop" in t for t in texts)
    assert any(t.startswith("lever 34.0 mm at −38.0°") for t in texts)  # not turned
    assert any(
        t.startswith("spindle pedal down: this shaft is pushed anticlock")
        for t in texts
    )


def test_a_lever_that_is_free_stays_on_its_rod():
    _, _, pose = drawn(hauler(), 0.5)
    assert not any(name.startswith(("gap", "joint")) for name in pose.artists)
    assert along(pose, "rod last")[1] == pytest.approx(
        along(pose, "pin spindle.lever")[0]
    )
    texts = [t.get_text() for t in pose.ax.texts]
    assert not any("pushed" in t for t in texts)


def test_update_shows_and_takes_away_the_gap():
    motion, index, pose = drawn(held(), 0.5)
    pose.update(motion, 0)
    assert len(along(pose, "gap last")) == 0
    assert along(pose, "rod last")[1] == pytest.approx(
        along(pose, "pin spindle.lever")[0]
    )
    pose.update(motion, index)
    assert len(along(pose, "gap last")) == 2


def test_the_pale_position_is_held_too():
    _, _, pose = drawn(held(), 0.0)
    assembly = assemble(held())
    figure = layout_figure(assembly, working_travel(assembly), share=0.0)
    ax = next(a for a in figure.axes if a.get_gid() == "seen from the right")
    lines = {line.get_gid(): line for line in ax.lines}
    ghost = np.asarray(lines["ghost arm spindle.lever"].get_xydata())
    assert ghost[1] == pytest.approx(along(pose, "pin spindle.lever")[0])
    rod = np.asarray(lines["ghost rod last"].get_xydata())
    assert np.hypot(*(rod[1] - ghost[1])) > 0.01


def test_what_a_held_shaft_drives_waits():
    layout = held_first_of_two()
    motion = sweep(assemble(layout), np.linspace(0, 0.05, 11))
    assert below(layout, "spindle 1") == ["spindle 2"]
    turns = held_turns(motion)
    assert turns["spindle 1"] == pytest.approx(np.zeros(11), abs=radians(0.31))
    assert turns["spindle 2"] == pytest.approx(np.zeros(11), abs=1e-9)
    assert np.ptp(motion.turns["spindle 2"]) > 0.1
    free = held_turns(sweep(assemble(plates(2)), np.linspace(0, 0.05, 11)))
    assert np.ptp(free["spindle 2"]) > 0.1


def test_beyond_the_full_stop_it_is_the_full_stop_that_holds():
    main = replace(hauler().main, swing=radians(20))
    layout = replace(hauler(), throttles={"throttle": main})
    motion = sweep(assemble(layout), np.linspace(0, 0.05, 11))
    over = beyond(motion, "throttle")
    assert over[0] == 0
    assert over[-1] == pytest.approx(motion.opening("throttle")[-1] - radians(20))
    assert held_turns(motion)["spindle"][-1] == pytest.approx(radians(20))
    assert held_words(over[-1]) == "pushed against its full stop"
    assert "pushed against its full stop" in plate_words(main, radians(30))
    assert "on its full stop" in plate_words(main, radians(20))
    assert "pushed against its idle stop" in plate_words(main, radians(-1))


def test_a_position_that_is_none_is_held_by_nothing():
    assert held_words(float("nan")) == ""


def test_what_waits_at_every_position_shown_stands_as_it_is_turned():
    """Where no position is free of the stop, none is known at which it was met."""
    turns, over = np.array([0.1, 0.2, 0.4]), np.array([0.3, 0.2, 0.1])
    assert _waiting(turns, over).tolist() == turns.tolist()
    over[1] = 0.0
    assert _waiting(turns, over).tolist() == [0.2, 0.2, 0.2]
    over[0], over[1] = 0.0, 0.2
    assert _waiting(turns, over).tolist() == [0.1, 0.1, 0.1]
    assert turns.tolist() == [0.1, 0.2, 0.4]
