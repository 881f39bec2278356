"""That spring cards can be read: every shipped layout and odd ones, in their units.

No text on another, on a line or an edge, nothing off the page; lines told apart
without their colour; the data of every spring as far as they are given.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from linkage.config import load, loads
from linkage.drawing.spring_table import HEADS, spring_rows
from linkage.drawing.springs import springs_figure
from linkage.forces.summary import spring_card
from linkage.motion import assemble, working_travel
from linkage.quantities import speak_in
from tests.bad.layouts import CONFIGS
from tests.build import hauler
from tests.figures.odd import ODD, odd, springs
from tests.figures.overlap import faults
from tests.inches import VAN
from tests.sprung import torsion_spring, with_springs
from tests.thinned import kinds

SHIPPED = sorted(path.stem for path in CONFIGS.glob("*.toml"))
BANNER = "the plate stays open by 12.5° when the foot is off, and three more faults"


def card(layout):
    assembly = assemble(layout)
    return spring_card(assembly, working_travel(assembly), points=31)


def seen(figure):
    return [
        (str(line._dash_pattern), line.get_linewidth(), str(line.get_marker()))
        for line in figure.axes[1].lines
        if line.get_gid() not in {"leader", "piece"}
    ]


@pytest.mark.parametrize(
    "name", [*kinds(SHIPPED, 1), *(n for n in ODD if odd(n).springs)]
)
def test_spring_cards(name):
    layout = odd(name) if name in ODD else load(CONFIGS / f"{name}.toml").layout
    found = card(layout)
    for paper, banner in (
        ((None, None), ("a4", BANNER)) if name in ODD else (("a4", BANNER),)
    ):
        figure = springs_figure(found, paper=paper, banner=banner)
        assert faults(figure) == []
        if len(layout.springs) < 9:
            assert len(set(seen(figure))) == len(seen(figure))


def test_a_card_in_inches():
    loaded = loads(VAN)
    speak_in(loaded.spoken())
    figure = springs_figure(card(loaded.layout), paper="letter")
    assert faults(figure) == []
    data = [t.get_text() for t in figure.texts if t.get_gid() == "spring data"]
    assert {"2.60 lbf/in", "3.20 in", "1.10 lbf"} <= set(data)
    assert not any("mm" in cell or cell.endswith(" N") for cell in data)


def test_what_is_not_given_is_a_dash_and_what_is_stands_in_its_column():
    wound = {"wire": 0.0012, "coil": 0.0115, "turns": 22.5}
    layout = with_springs(hauler(), *springs(1, **wound))
    ((cells, bad),) = spring_rows(card(layout))
    told = dict(zip(HEADS, cells, strict=True))
    assert not bad
    assert told["spring"] == "return spring 1"
    assert told["what it does to the plate"] == "pulls it shut"
    assert (told["wire"], told["coil, outside"], told["turns"]) == (
        "1.20 mm",
        "11.50 mm",
        "22.5",
    )
    assert (told["rate"], told["free length"], told["preload"]) == (
        "0.290 N/mm",
        "105.0 mm",
        "6.0 N",
    )
    ((cells, _),) = spring_rows(card(with_springs(hauler(), *springs(1))))
    assert cells[5:8] == ["-", "-", "-"]


def test_hand_in_words():
    rows = spring_rows(card(odd("spring of the wrong hand")))
    said = {cells[0]: (cells[1], bad) for cells, bad in rows}
    side = "seen from the right"
    assert said["opener"][0].startswith("turns it OPEN: of the wrong hand; ")
    assert said["opener"][1]
    assert said["shutter"][0].startswith("turns it shut; ")
    assert not said["shutter"][1]
    assert all(words.endswith(side) for words, _ in said.values())
    (cells, bad), *_ = spring_rows(card(odd("spring that crosses")))
    assert cells[1] == "crosses its spindle: pulls it OPEN in part of the travel"
    assert bad


def test_zero_and_friction_are_told_in_words():
    def margin(layout):
        figure = springs_figure(card(layout), paper="a4")
        return [t.get_text().replace("\n", " ") for ax in figure.axes for t in ax.texts]

    sound = margin(load(CONFIGS / "bulkhead-cross-shaft.toml").layout)
    assert sound.count("zero") == 2
    assert "friction: shuts above it" in sound
    assert not any("OPEN" in word for word in sound)
    wrong = margin(load(CONFIGS / "fault-spring-wrong-hand.toml").layout)
    assert "zero; below, held OPEN" in wrong
    assert "near alone: pulls it OPEN" in wrong
    assert "zero; below, it stays down" in wrong


def test_more_springs_than_rows_are_counted():
    figure = springs_figure(card(odd("fourteen springs")), paper="a4")
    data = [t.get_text() for t in figure.texts if t.get_gid() == "spring data"]
    assert "and 2 more: see `throttle-linkage springs`" in data
    margin = [t.get_text() for t in figure.axes[1].texts]
    assert "6 more, each alone" in margin


def test_a_card_with_no_number_to_draw_is_drawn():
    layout = with_springs(hauler(), torsion_spring("pedal", "pedal", -1, 1e-9, 0.0))
    locked = replace(
        layout,
        rods={n: replace(r, joint_friction=40.0) for n, r in layout.rods.items()},
    )
    figure = springs_figure(card(locked), paper="a4")
    assert faults(figure) == []


def test_springs_whose_names_are_cut_off_are_told_by_number():
    layout = odd("eight springs, long names")
    figure = springs_figure(card(layout), paper="a4")
    margin = {t.get_text()[:9] for t in figure.axes[1].texts}
    assert {f"{i} the lor" for i in range(1, 9)} <= margin
    rows = [cells[0][:9] for cells, _ in spring_rows(card(layout))]
    assert rows == [f"{i} the lor" for i in range(1, 9)]
