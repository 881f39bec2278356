"""What every command shares: progress on a terminal, help, version, quiet."""

from __future__ import annotations

import io
import runpy
import sys
from importlib import metadata

import pytest

from linkage.cli import app, common
from linkage.errors import OutputError, UsageError
from linkage.search import arm as sized_arm


class Terminal(io.StringIO):
    """Standard error that is a terminal."""

    def isatty(self) -> bool:
        return True


def test_progress_counts_on_a_terminal_and_wipes_itself_at_the_end(monkeypatch):
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    show = common.progress("trying")
    for i in range(1, 301):
        show(i, 300)
    said = screen.getvalue()
    assert "\rtrying 3 of 300" in said
    assert "trying 4 of 300" not in said  # a hundred steps are enough
    assert said.endswith("\r" + " " * 36 + "\r")


def test_progress_is_shown_however_many_are_done_at_once(monkeypatch):
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    show = common.progress("trying")
    for done in (0, 1024, 2048, 3000):
        show(done, 3000)
    said = screen.getvalue().split("\r")
    assert said[1:4] == [f"trying {n} of 3000" for n in (0, 1024, 2048)]


def test_no_progress_in_a_pipe_or_where_quiet_is_asked(monkeypatch):
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    assert common.progress("trying") is None
    monkeypatch.setattr(sys, "stderr", Terminal())
    assert common.progress("trying", quiet=True) is None


def test_the_search_for_an_arm_shows_its_progress(run, configs, monkeypatch):
    screen = Terminal()
    monkeypatch.setattr(sized_arm, "BLOCK", 2)
    monkeypatch.setattr(sys, "stderr", screen)
    run(
        "arm",
        configs / "hanging-pedal.toml",
        "spindle.lever",
        "--lengths",
        "30 to 33 mm",
    )
    assert "trying 2 of 7" in screen.getvalue()


def test_version(run, monkeypatch):
    monkeypatch.setattr(metadata, "version", lambda _name: "1.2.3")
    ran = run("--version")
    assert (ran.code, ran.out) == (0, "throttle-linkage 1.2.3\n")


def test_version_where_it_is_not_installed(run, monkeypatch):
    def absent(name):
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(metadata, "version", absent)
    ran = run("--version")
    assert (ran.code, ran.err) == (0, "")
    assert "not installed" in ran.out


def test_no_words_at_all_show_the_help(run):
    ran = run()
    assert "Usage:" in ran.out + ran.err
    assert "prove it on the vehicle" in " ".join((ran.out + ran.err).split())


@pytest.mark.parametrize("name", [c.callback.__name__ for c in app.registered_commands])
def test_every_command_has_help_with_an_example(run, name):
    for word in ("--help", "-h"):
        ran = run(name, word)
        assert ran.code == 0
        assert f"Example: throttle-linkage {name}" in " ".join(ran.out.split())


def test_run_as_a_module(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["throttle-linkage", "new", "--list"])
    monkeypatch.delitem(sys.modules, "linkage.__main__", raising=False)
    with pytest.raises(SystemExit) as stop:
        runpy.run_module("linkage", run_name="__main__")
    assert stop.value.code in {None, 0}
    assert "hanging-pedal" in capsys.readouterr().out


def test_the_ending_is_told_and_the_place_refused_before_any_work(tmp_path):
    free = tmp_path / "car.SVG"
    assert common.ending_for(None, ("svg",), force=False) == ""
    assert common.ending_for(free, ("png", "svg"), force=False) == "svg"
    free.write_text("mine")
    with pytest.raises(OutputError, match="exists already"):
        common.ending_for(free, ("svg",), force=False)
    assert common.ending_for(free, ("svg",), force=True) == "svg"
    with pytest.raises(UsageError, match=r"`\.svg` is no kind of file"):
        common.ending_for(free, ("png",), force=True)


@pytest.mark.parametrize(
    ("name", "said"), [("car", "a name without an ending"), ("car.BMP", "`.bmp`")]
)
def test_endings_that_are_none(tmp_path, name, said):
    with pytest.raises(UsageError, match=said):
        common.suffix_of(tmp_path / name, ("png", "svg"))
    assert common.suffix_of(tmp_path / "car.SVG", ("png", "svg")) == "svg"
