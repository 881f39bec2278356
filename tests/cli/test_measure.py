"""`measure`: a blank sheet to print."""

from __future__ import annotations

import pytest

from linkage.config import load
from linkage.config.starters import starter
from linkage.report.cautions import cautions


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_sheet_is_written_and_what_comes_next_is_said(run, tmp_path, paper):
    path = tmp_path / "sheet.pdf"
    ran = run("measure", "hanging-pedal", path, "--paper", paper)
    assert ran.code == 0
    assert ran.out == ""
    assert path.read_bytes().startswith(b"%PDF-")
    assert f"wrote {path}" in ran.err
    assert "throttle-linkage new hanging-pedal" in ran.err
    assert run("measure", "hanging-pedal", path, "--force", "--quiet").err == ""


def test_inches_are_another_sheet(run, tmp_path):
    one, two = tmp_path / "mm.pdf", tmp_path / "in.pdf"
    assert run("measure", "hanging-pedal", one).code == 0
    assert run("measure", "hanging-pedal", two, "--inches").code == 0
    assert one.read_bytes() != two.read_bytes()


@pytest.mark.parametrize("family", ["fault-heat-holds-open", "hanging-pedal", "governed-engine"])  # fmt: skip
def test_a_sheet_has_the_cautions_of_its_layout(run, tmp_path, monkeypatch, family):
    told = {}

    def sheet(_, **more):
        told.update(more)
        return b"%PDF-"

    monkeypatch.setattr("linkage.sheet.measuring_sheet", sheet)
    assert run("measure", family, tmp_path / "sheet.pdf").code == 0
    assert told["cautions"] == cautions(load(starter(family).path).layout)


def test_refusals(run, tmp_path):
    old = tmp_path / "old.pdf"
    old.write_text("mine")
    ran = run("measure", "hanging-pedal", old)
    assert ran.code == 2
    assert "--force" in ran.err
    assert old.read_text() == "mine"
    ran = run("measure", "hanging-pedel", tmp_path / "a.pdf")
    assert ran.code == 2
    assert "did you mean `hanging-pedal`?" in ran.err
    ran = run("measure", "hanging-pedal", tmp_path / "a.png")
    assert ran.code == 2
    assert ".pdf" in ran.err
    ran = run("measure", "hanging-pedal", tmp_path / "a.pdf", "--paper", "a5")
    assert ran.code == 2
    assert "a4 or letter" in ran.err
    assert run("measure", "hanging-pedal", tmp_path / "none" / "a.pdf").code == 2
    assert run("measure", "hanging-pedal").code == 2
    assert list(tmp_path.iterdir()) == [old]


def test_new_writes_the_letters(run):
    out = run("new", "hanging-pedal").out
    assert "# Sheet: A pivot 1 to 3, bearing 4; arms, length 1, angle 2" in out
    assert "throttle-linkage measure hanging-pedal sheet.pdf" in out
