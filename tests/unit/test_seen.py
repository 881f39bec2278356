"""Signs that steer a terminal or turn words round are shown as their code, everywhere."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from linkage.__main__ import main
from linkage.config import load
from linkage.drawing import draw_curve
from linkage.motion import assemble, working_travel
from linkage.motion.curve import travel_curve
from linkage.seen import seen, seen_json
from tests.cli.conftest import CONFIGS

if TYPE_CHECKING:
    from pathlib import Path

#: Clears the screen, turns reading round, joins, ends a line, is no sign of XML.
STEERING = "\x1b[2J\x07\u202e\u200d\u2028\x7f\x9b\ufffe\U000e0041"
CODES = "\\x1b[2J\\x07\\u202e\\u200d\\u2028\\x7f\\x9b\\ufffe\\U000e0041"
#: Mathematics that matplotlib would not understand, and signs that mean something.
DOLLARS = r"$\frac{$ a_b^c $x^{2 \n $ % & <b> ]]> --"
#: As TOML writes it.
TITLE = "".join(f"\\U{ord(c):08x}" for c in STEERING + DOLLARS)
PLAIN = (CONFIGS / "hanging-pedal.toml").read_text(encoding="utf-8")


def test_every_sign_is_seen_and_others_stay():
    assert seen(STEERING) == CODES
    assert seen("Käfig 中 №5 – 2 3/8\N{NO-BREAK SPACE}in \U0001f527") == (
        "Käfig 中 №5 – 2 3/8\N{NO-BREAK SPACE}in \U0001f527"
    )
    assert seen("a\n\tb") == r"a\n\tb"
    assert seen("a\n\tb\x1b", lines=True) == "a\n\tb\\x1b"
    assert seen("\ud800") == r"\ud800"


def test_json_reads_as_the_same_and_can_be_seen():
    text = json.dumps({"title": STEERING + "é"}, ensure_ascii=False, indent=2)
    safe = seen_json(text)
    assert json.loads(safe) == {"title": STEERING + "é"}
    assert safe.replace("\n", "").isprintable()
    assert "é" in safe


@pytest.fixture
def car(tmp_path: Path) -> Path:
    path = tmp_path / f"c{STEERING}$x^{{$.toml"
    old = next(line for line in PLAIN.splitlines() if line.startswith("title"))
    path.write_text(PLAIN.replace(old, f'title = "{TITLE}"'), encoding="utf-8")
    return path


def _run(monkeypatch, capfd, *words: object) -> tuple[int, str]:
    monkeypatch.setattr(sys, "argv", ["throttle-linkage", *map(str, words)])
    with pytest.raises(SystemExit) as stop:
        main()
    got = capfd.readouterr()
    return int(stop.value.code or 0), got.out + got.err


WORDS = (
    ["check"],
    ["check", "--all"],
    ["check", "--json"],
    ["check", "--all", "--echo"],
    ["curve"],
    ["curve", "--csv"],
    ["curve", "--json"],
    ["springs"],
    ["springs", "--json"],
    ["arm", "spindle.lever", "--lengths", "32 mm"],
    ["swap", "--json"],
    ["check", "--nonsense\u202e\x1b"],
    ["check", "--paper", "\u202e\x1b"],
    ["springs", "--choose", "\u202e\x1b"],
    ["arm", "spindle.\u202e\x1b"],
)


@pytest.mark.parametrize("words", WORDS, ids=lambda w: " ".join(w[:2]))
def test_no_sign_reaches_the_terminal_unseen(monkeypatch, capfd, car, words):
    code, told = _run(monkeypatch, capfd, words[0], car, *words[1:])
    assert code in {0, 1, 2, 3}
    assert "Traceback" not in told
    bare = [c for c in told if c != "\n" and c in STEERING and not c.isprintable()]
    assert bare == []
    assert told == seen(told, lines=True)


def test_a_path_that_is_not_there_is_told_with_its_signs_seen(monkeypatch, capfd, car):
    code, told = _run(monkeypatch, capfd, "check", car.with_name(f"no{STEERING}.toml"))
    assert code == 3
    assert CODES in told
    assert told == seen(told, lines=True)


PICTURES = (
    ["check", "--picture"],
    ["curve", "-o"],
    ["springs", "-o"],
    ["arm", "spindle.lever", "--lengths", "32 mm", "--picture"],
)


@pytest.mark.parametrize("words", PICTURES, ids=lambda w: w[0])
@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_pictures_of_it_are_drawn_and_their_xml_is_sound(
    monkeypatch, capfd, car, tmp_path, words, ending
):
    out = tmp_path / f"out.{ending}"
    code, told = _run(monkeypatch, capfd, words[0], car, *words[1:], out)
    assert code == 0, told
    if ending == "svg":
        text = out.read_text(encoding="utf-8")
        ET.fromstring(text)  # noqa: S314 - ours
        assert "\\frac{$ a_b^c $x^{2" in text  # matplotlib writes words as comments


def test_the_page_and_the_pictures_of_two_are_sound(monkeypatch, capfd, car, tmp_path):
    page = tmp_path / "car.html"
    assert _run(monkeypatch, capfd, "animate", car, "-o", page)[0] == 0
    text = page.read_text(encoding="utf-8")
    assert "\\x1b[2J\\x07\\u202e" in text
    assert all(c.isprintable() or c in "\n\t" for c in text)
    code, told = _run(
        monkeypatch, capfd, "compare", car, car, "--out-dir", tmp_path / "o"
    )
    assert code == 0, told
    for path in (tmp_path / "o").glob("*.svg"):
        ET.fromstring(path.read_text(encoding="utf-8"))  # noqa: S314 - ours


def _named(name: str) -> str:
    return PLAIN.replace('"spindle.', f"'{name}.").replace(
        '.lever"', ".lever'").replace('.spring"', ".spring'").replace(
        '.far spring"', ".far spring'").replace("[shafts.spindle]", f"[shafts.'{name}']"
    ).replace('"spindle"', f"'{name}'").replace("rods.link", f"rods.'{name}'").replace(
        "springs.near", f"springs.'{name}'"
    )  # fmt: skip


@pytest.mark.parametrize("words", PICTURES[:3], ids=lambda w: w[0])
def test_names_of_parts_are_no_mathematics(monkeypatch, capfd, tmp_path, words):
    car, out = tmp_path / "car.toml", tmp_path / "out.svg"
    car.write_text(_named(DOLLARS), encoding="utf-8")
    code, told = _run(monkeypatch, capfd, words[0], car, *words[1:], out)
    assert code in {0, 1}, told
    text = out.read_text(encoding="utf-8")
    ET.fromstring(text)  # noqa: S314 - ours


def test_words_are_no_mathematics_on_axes_of_somebody_else(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text(_named(DOLLARS), encoding="utf-8")
    assembly = assemble(load(path).layout)
    curve = travel_curve(assembly, working_travel(assembly), points=51)
    figure = Figure()
    FigureCanvasAgg(figure)
    ax = figure.add_subplot()
    draw_curve(ax, [(DOLLARS, curve), ("$x^{$", curve)])
    figure.canvas.draw()
