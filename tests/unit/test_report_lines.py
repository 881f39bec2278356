"""Lines obey the terminal's width, and tables fold to cards below theirs."""

from __future__ import annotations

import pytest

from linkage.report.lines import NARROW, USUAL, WIDE, line_width, wrapped
from linkage.report.tables import table
from tests.cli.conftest import CONFIGS, run

__all__ = ["run"]
HEAD = ["", "rod\nmm", "made\nfrom"]
ROWS = [[">", "9.0", "bar"], ["", "12.5", "tube"]]


@pytest.mark.parametrize(
    ("columns", "width"), [("10", NARROW), ("40", 40), ("66", 66), ("300", WIDE)]
)
def test_lines_are_as_wide_as_the_terminal_within_bounds(monkeypatch, columns, width):
    monkeypatch.setenv("COLUMNS", columns)
    assert line_width() == width
    assert max(map(len, wrapped("word " * 99, "  "))) <= width


def test_without_a_terminal_lines_have_their_usual_width(monkeypatch, capsys):
    monkeypatch.delenv("COLUMNS", raising=False)
    assert line_width() == USUAL
    assert len(table(["a" * 60, "b" * 60], [["1", "2"]])[0]) > USUAL
    assert capsys.readouterr().out == ""


def test_a_name_and_a_number_with_its_unit_stay_whole():
    for width in range(24, 60):
        lines = wrapped(
            "turn `cross shaft.inner` by 12.5 mm or 3 times", "", width=width
        )
        text = "\n".join(lines)
        assert "`cross shaft.inner`" in text
        assert "12.5 mm" in text
        assert "3 times" in text


def test_a_table_folds_to_cards_where_there_is_no_room(monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    assert table(HEAD, ROWS)[2].startswith("-")
    monkeypatch.setenv("COLUMNS", "12")
    assert table(HEAD, ROWS) == [
        "> rod mm: 9.0",
        "  made from: bar",
        "",
        "  rod mm: 12.5",
        "  made from: tube",
    ]


@pytest.mark.parametrize("columns", [40, 80])
@pytest.mark.parametrize(
    "words",
    [
        ["check", "fault-wrong-sense"],
        ["check", "fault-hole-too-long", "--all", "--echo"],
        ["check", "fault-hole-too-long", "--why", "dead-centre"],
        ["curve", "hanging-pedal"],
        ["springs", "hanging-pedal"],
    ],
)
def test_no_line_is_longer_than_the_terminal(monkeypatch, run, columns, words):
    monkeypatch.setenv("COLUMNS", str(columns))
    command, name, *more = words
    out = run(command, CONFIGS / f"{name}.toml", *more).out
    assert max(map(len, out.splitlines())) <= columns
