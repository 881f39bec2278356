"""That travel curves can be read: every shipped layout, odd ones, several overlaid.

No text on another, on a line, a mark or an edge, nothing off the page, each name at
its own line, and no two lines that only their colour tells apart.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from linkage.config import load
from linkage.drawing.curve import MOST, curve_figure
from linkage.drawing.curve_words import short_names
from linkage.errors import UsageError
from linkage.motion import assemble, working_travel
from linkage.motion.curve import travel_curve
from linkage.report.pictures import refusal
from tests.bad.layouts import CONFIGS
from tests.build import hole
from tests.figures.odd import LONG, ODD, odd
from tests.figures.overlap import box_of, faults, segments_of
from tests.thinned import kinds, thinned

SHIPPED = sorted(path.stem for path in CONFIGS.glob("*.toml"))


@cache
def curve(name: str):
    layout = odd(name) if name in ODD else load(CONFIGS / f"{name}.toml").layout
    assembly = assemble(layout)
    return travel_curve(assembly, working_travel(assembly), points=101)


def alike(*lengths_mm: float):
    """The truck with levers that differ by hairs."""
    layout = load(CONFIGS / "hanging-pedal.toml").layout
    for mm in lengths_mm:
        assembly = assemble(layout.with_arm(hole("spindle.lever"), length=mm / 1e3))
        yield (
            f"lever {mm} mm",
            travel_curve(assembly, working_travel(assembly), points=101),
        )


def several(*names: str):
    return [(name, curve(name)) for name in names]


OVERLAID = {
    "one refused": lambda: several("hanging-pedal", "bulkhead-cross-shaft", "fault-hole-too-long"),
    "the scenario": lambda: several("scenario-before", "scenario-wrongly-swapped", "scenario-cured"),
    "old and NEW": lambda: [("old", curve("crank-right-hand")), ("NEW", curve("crank-wrong-hand"))],
    "five by a hair": lambda: list(alike(32, 32.1, 32.2, 32.3, 32.4)),
    "five alike": lambda: [(f"same {i}", curve("hanging-pedal")) for i in range(5)],
    "five near": lambda: list(alike(30, 31, 32, 33, 34)),
    "six odd": lambda: several("jams early", "comes back", "never opens", "opens at once", "long rod", "in inches"),
    "other swings": lambda: several("small swing", "hanging-pedal", "past edge-on"),
    "long names": lambda: [(LONG + str(i), c) for i, (_, c) in enumerate(alike(30, 33, 38))],
    "one name": lambda: [("car", curve("hanging-pedal")), ("car", curve("fault-hole-too-long"))],
    "plates out of step": lambda: several("plates out of step", "twin-side-draught"),
}  # fmt: skip


#: Each on two papers of three; a letter is little wider than an A4 sheet.
PAPERS = [(name, paper) for name in OVERLAID for paper in ("a4", None)]
PAPERS += thinned([(name, "letter") for name in OVERLAID], 4)


def lines_of(figure):
    return [
        line
        for ax in figure.axes
        for line in ax.lines
        if str(line.get_gid()).startswith(("throttle ", "other ", "area ", "asked "))
    ]


def away(box, line) -> float:
    """Distance of a box from a line. [px]"""
    ends = segments_of(line)
    if not len(ends):
        return np.inf
    points = np.concatenate(
        [
            a + t * (b - a)
            for t in np.linspace(0, 1, 9)
            for a, b in [ends.transpose(1, 0, 2)]
        ]
    )
    gap = np.maximum(0, np.maximum(box[:2] - points, points - box[2:]))
    return float(np.hypot(*gap.T).min())


def leader_to(figure, box):
    """Tip of the leader that starts at a box."""
    tips = []
    for ax in figure.axes:
        for line in ax.lines:
            if line.get_gid() == "leader":
                start, tip = line.get_transform().transform(line.get_xydata())
                gap = np.maximum(0, np.maximum(box[:2] - start, start - box[2:]))
                if np.hypot(*gap) < 4:
                    tips.append(tip)
    return tips


def misnamed(figure) -> list[str]:
    """Names that stand nearer to another line than to their own, and lead not to it."""
    figure.draw_without_rendering()
    renderer = figure.canvas.get_renderer()
    lines = {line.get_gid(): line for line in lines_of(figure)}
    out, found = [], []
    for text in figure.axes[0].texts:
        gid = str(text.get_gid())
        if not gid.startswith("name: "):
            continue
        box, own = box_of(text, renderer), gid.removeprefix("name: ").split("; ")
        found += own
        led = any(
            away([*tip, *tip], lines[own[0]]) < 2 for tip in leader_to(figure, box)
        )
        near = min(lines, key=lambda g: away(box, lines[g]))
        if not led and near not in own:
            out.append(f"{text.get_text()!r} is nearest to {near}")
    assert len(found) == len(set(found))
    return out


def styles(figure) -> list[tuple[object, ...]]:
    return [
        (line._dash_pattern, line.get_linewidth(), line.get_marker(), line.get_markerfacecolor())
        for line in lines_of(figure)
    ]  # fmt: skip


def judged(figure) -> list[str]:
    left_out = [t.get_text() for t in figure.texts if t.get_gid() == "left out"]
    return [*faults(figure), *misnamed(figure), *left_out]


@pytest.mark.parametrize("name", [*kinds(SHIPPED), *ODD])
def test_one_curve(name):
    unit = "in" if "inches" in name else None
    papers = (None, "a4") if name in ODD else ("a4",)
    for paper in papers:
        figure = curve_figure(
            [(name, curve(name))],
            paper=paper,
            length_unit=unit,
            banner="pressing does not open the plate" if paper else None,
        )
        assert judged(figure) == []
        shown = [(dash, wide, marker) for dash, wide, marker, _ in styles(figure)]
        assert len({str(s) for s in shown}) == len(shown)


@pytest.mark.parametrize(("name", "paper"), PAPERS)
def test_curves_over_each_other(name, paper):
    curves = OVERLAID[name]()
    refused = [
        None,
        *["the plate opens only 57 %, and two more faults"] * (len(curves) - 1),
    ]
    names = [n for n, _ in curves]
    figure = curve_figure(
        curves, paper=paper, refused=refused, banner=refusal(names, refused)
    )
    assert judged(figure) == []
    shown = [str(s) for s in styles(figure)]
    assert len(set(shown)) == len(shown)


def test_lines_that_lie_on_each_other_share_a_name():
    figure = curve_figure(OVERLAID["five alike"]())
    names = [
        t.get_text()
        for t in figure.axes[0].texts
        if str(t.get_gid()).startswith("name")
    ]
    flat = [" ".join(name.split()) for name in names]
    assert flat == ["same 0, same 1, same 2, same 3 and same 4"]
    figure = curve_figure(OVERLAID["five alike"]()[:2])
    names = [" ".join(t.get_text().split()) for t in figure.axes[0].texts]
    assert "open area: same 0 and same 1" in names


def test_the_name_of_a_line_beside_others_stands_clear_of_them():
    figure = curve_figure(OVERLAID["one refused"](), paper="a4")
    names = {" ".join(t.get_text().split()) for t in figure.axes[0].texts}
    assert {"hanging-pedal", "bulkhead-cross-shaft", "fault-hole-too-long"} <= names


def test_more_curves_than_looks_are_refused():
    one = curve("hanging-pedal")
    with pytest.raises(UsageError) as refused:
        curve_figure([(str(i), one) for i in range(MOST + 1)])
    assert "at most 6" in refused.value.hint


def test_a_mislaid_name_is_found():
    figure = curve_figure(several("hanging-pedal", "fault-hole-too-long"))
    assert misnamed(figure) == []
    (name,) = [t for t in figure.axes[0].texts if t.get_text() == "fault-hole-too-long"]
    for line in [line for line in figure.axes[0].lines if line.get_gid() == "leader"]:
        line.remove()
    name.xy = (40.0, 47.0)
    name.set_position((0, 0))
    assert "'fault-hole-too-long' is nearest to throttle 0" in misnamed(figure)


def test_what_finds_no_room_is_told_under_the_picture(monkeypatch):
    from linkage.drawing import curve as drawing

    lost = lambda *_: ([], ["open area", "full\nstop"])
    monkeypatch.setattr(drawing, "label_lines", lost)
    figure = curve_figure(several("hanging-pedal"))
    (told,) = [t.get_text() for t in figure.texts if t.get_gid() == "left out"]
    assert told == "No room at its place for: open area; full stop"
    assert faults(figure) == []


def test_a_long_name_alone_is_cut_and_needs_no_number():
    (name,) = short_names([LONG])
    assert LONG.startswith(name.removesuffix("…"))
    assert len(name) <= 27
