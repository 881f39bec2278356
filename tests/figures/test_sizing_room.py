"""That the arm chooser's picture can be read: what fits, what does not, what is chosen.

No text on another, on a line, a mark or an edge, nothing off the page, each name at
its own line; what is refused told apart without its colour.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from linkage.config import load, loads
from linkage.drawing.sizing import sizing_figure
from linkage.motion import assemble
from linkage.quantities import speak_in
from linkage.search.arm import size_arms
from linkage.search.sized import Choice
from tests.bad.layouts import CONFIGS
from tests.build import hole
from tests.figures.odd import LONG
from tests.figures.overlap import faults
from tests.inches import VAN

MM, DEG = 1e-3, np.pi / 180
LEVER = hole("spindle.lever")


@cache
def layout(name: str):
    if name == "a rod not to be cut":
        car = load(CONFIGS / "hanging-pedal.toml").layout
        long = assemble(car).loop("link").length
        return replace(
            car,
            rods={n: replace(r, length=long, fixed=True) for n, r in car.rods.items()},
        )
    return load(CONFIGS / f"{name}.toml").layout


def choice(car, arm, lengths=None, angles=None):
    now = car.shafts[arm.shaft].arms[arm.arm]
    return Choice(
        hole=arm,
        lengths=(now.length,) if lengths is None else tuple(np.array(lengths) * MM),
        angles=(now.angle,) if angles is None else tuple(np.array(angles) * DEG),
    )


CASES = {
    "one fits": ("hanging-pedal", [(LEVER, range(26, 50, 2), None)]),
    "none fits": ("hanging-pedal", [(LEVER, range(60, 80, 4), None)]),
    "one tried": ("hanging-pedal", [(LEVER, None, None)]),
    "some cannot be put together": ("a rod not to be cut", [(LEVER, [32, 33, 60, 400, 900], None)]),
    "none can be put together": ("a rod not to be cut", [(LEVER, [2000, 3000], None)]),
    "angles": ("fault-lever-clocked-late", [(LEVER, None, range(-40, 100, 10))]),
    "length and angle": ("hanging-pedal", [(LEVER, [28, 32, 36], range(40, 66, 6))]),
    "two arms": (
        "bulkhead-cross-shaft",
        [(LEVER, [31, 34, 37], None), (hole("cross shaft.outer"), [70, 76], None)],
    ),
    "never opens": ("fault-wrong-sense", [(LEVER, range(26, 50, 4), None)]),
}  # fmt: skip


@cache
def sized(name: str):
    car, chosen = CASES[name]
    return layout(car), size_arms(
        layout(car), [choice(layout(car), *c) for c in chosen]
    )


def texts(figure):
    return [t.get_text().replace("\n", " ") for ax in figure.axes for t in ax.texts] + [
        t.get_text() for t in figure.texts
    ]


@pytest.mark.parametrize("name", CASES)
def test_arm_pictures(name):
    car, sizing = sized(name)
    for paper in (None, "a4"):
        assert faults(sizing_figure(sizing, car, paper=paper)) == []


def test_long_names_and_inches():
    loaded = loads(VAN)
    speak_in(loaded.spoken())
    car = replace(loaded.layout, title=LONG.strip())
    sizing = size_arms(car, [choice(car, LEVER, range(26, 50, 4))])
    figure = sizing_figure(sizing, car)
    assert faults(figure) == []
    assert sizing.chosen is not None
    (chosen,) = [t for t in texts(figure) if t.startswith("chosen")]
    assert " in (" in chosen
    assert figure.axes[1].get_xlabel() == "length of arm spindle.lever [in]"


def test_axes_say_what_and_in_which_unit():
    car, sizing = sized("angles")
    ax, angle_ax = sizing_figure(sizing, car).axes
    assert "[% of swing]" in ax.get_ylabel()
    assert "[% of the pad's travel]" in ax.get_ylabel()
    assert "[°]" in angle_ax.get_ylabel()
    assert angle_ax.get_xlabel() == "angle of arm spindle.lever [°]"


def test_what_is_refused_is_another_mark_and_told_why():
    car, sizing = sized("some cannot be put together")
    figure = sizing_figure(sizing, car)
    marks = {line.get_gid(): line for line in figure.axes[0].lines}
    shapes = {marks[gid].get_marker() for gid in ("fits", "fails", "apart")}
    assert len(shapes) == 3
    counts = [len(marks[gid].get_xdata()) for gid in ("fits", "fails", "apart")]
    assert min(counts) > 0
    assert sum(counts) == len(sizing.rows)
    (why,) = [t for t in texts(figure) if "full throttle (" in t]
    assert why.startswith(f"{counts[1] + counts[2]} of {len(sizing.rows)} tried: ")
    assert f"{counts[2]} cannot be put together" in texts(figure)


def test_the_chosen_and_the_nearest_are_ringed_and_named():
    for name, word, dash in (
        ("one fits", "chosen ", "-"),
        ("none fits", "nearest, but refused: ", "--"),
    ):
        car, sizing = sized(name)
        figure = sizing_figure(sizing, car)
        index = sizing.nearest if sizing.chosen is None else sizing.chosen
        length = sizing.rows[index].lengths[0] / MM
        assert f"{word}{length:.2f} mm" in texts(figure)
        for ax in figure.axes:
            (line,) = [a for a in ax.lines if a.get_gid() == "best"]
            assert line.get_linestyle() == dash
            (ring,) = [a for a in ax.lines if a.get_gid() == "best mark"]
            assert ring.get_xdata()[0] == pytest.approx(length)


def test_what_is_held_meanwhile_is_told():
    car, sizing = sized("length and angle")
    (held,) = [t for t in texts(sizing_figure(sizing, car)) if t.startswith("Held")]
    kept = sizing.best or sizing.rows[len(sizing.rows) // 2]
    assert (
        held
        == f"Held meanwhile: angle of arm spindle.lever {kept.angles[0] / DEG:.1f}°"
    )
