"""Bad input that fits no page of docs/errors: files, places, a full disk, Ctrl-C.

Each ends with its exit status, a message and a hint, without a traceback, and
leaves no file behind.
"""

from __future__ import annotations

import errno
import io
import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

import linkage.outside.files
import linkage.outside.staging
from tests.cli.conftest import CONFIGS

if TYPE_CHECKING:
    from pathlib import Path

GOOD = (CONFIGS / "hanging-pedal.toml").read_bytes()
COMMANDS = [["check"], ["curve"], ["arm", "spindle.lever"]]


def _files(folder: Path) -> dict[str, bytes | None]:
    return {
        str(p.relative_to(folder)): p.read_bytes() if p.is_file() and p.stat().st_size < 10**6 else None
        for p in folder.rglob("*")
    }  # fmt: skip


def _told(ran, status: int, code: str, *words: str) -> None:
    assert ran.code == status
    assert ran.out == ""
    assert ran.err.startswith(f"error[{code}]: ")
    assert "\nhint: " in ran.err
    assert "Traceback" not in ran.err
    for word in words:
        assert word in ran.err


def _command(words: list[str], layout: Path) -> list[object]:
    return [words[0], layout, *words[1:]]


# --- what is no layout file ------------------------------------------------


def _missing(folder: Path) -> Path:
    return folder / "car.toml"


def _directory(folder: Path) -> Path:
    (folder / "car.toml").mkdir()
    return folder / "car.toml"


def _written(data: bytes):
    def make(folder: Path) -> Path:
        (folder / "car.toml").write_bytes(data)
        return folder / "car.toml"

    return make


def _huge(folder: Path) -> Path:
    with (folder / "car.toml").open("wb") as file:
        file.truncate(50_000_000)
    return folder / "car.toml"


def _pipe(folder: Path) -> Path:
    os.mkfifo(folder / "car.toml")
    return folder / "car.toml"


NO_LAYOUTS = {
    "missing file": (_missing, "there is no layout file"),
    "directory": (_directory, "is a folder"),
    "binary": (_written(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"), "is a binary file"),
    "not utf-8": (_written(GOOD + "\n# Hügel\n".encode("latin-1")), "not UTF-8 text in line"),
    "utf-16": (_written(GOOD.decode().encode("utf-16")), "is a binary file"),
    "50 MB": (_huge, "too large for a layout file: 50000 kB"),
    "pipe": (_pipe, "is not a plain file"),
    "empty": (_written(b""), "the key `format` is missing"),
    "only comments": (_written(b"# nothing yet\n"), "the key `format` is missing"),
    "no equals sign": (_written(b"format\n"), "this is not TOML"),
    "bracket left open": (_written(b"pivot = [1, 2,\n"), "this is not TOML"),
    "300 kB": (_written(b"# no layout" * 27273), "too large for a layout file: 300 kB"),
    "nested past all sense": (_written(b"a = " + b"[" * 5000), "nested more than 8 deep"),
    "a key of 40 kB": (_written(b"a." * 20000 + b"a = 1"), "a key of more than 8 parts"),
    "control characters": (_written(b"title = '\x1b[2J'\n"), "this is not TOML"),
    "a table as a number": (_written(b"format = 1\npedal = 3\n"), "must be a table"),
    "another format": (_written(b"format = 2\n"), "this program reads format 1"),
    "a number of 5000 digits": (_written(b"format = " + b"9" * 5000), "a word or number of 5000 signs"),
}  # fmt: skip


@pytest.mark.parametrize("words", COMMANDS, ids=lambda w: w[0])
@pytest.mark.parametrize("case", NO_LAYOUTS)
def test_what_is_no_layout_file(run, tmp_path, case, words):
    make, message = NO_LAYOUTS[case]
    layout = make(tmp_path)
    before = _files(tmp_path)
    ran = run(*_command(words, layout))
    _told(ran, 3, "L100", message, str(layout))
    assert _files(tmp_path) == before
    assert "\x1b" not in ran.err


@pytest.mark.parametrize("value", ['"nan mm"', '"inf"', '"1e400 mm"', '"1_000 mm"', "1e300", '"0x10 mm"', '"1/0 in"', "true", "[76]", '"76 mm\\n"', '"76"', "'7６ mm'"])  # fmt: skip
def test_numbers_that_are_none(run, tmp_path, value):
    path = tmp_path / "car.toml"
    text = GOOD.decode().replace("travel = 76", f"travel = {value}")
    if value == '"76"':  # in quotes and without a unit: only where none is agreed
        text = text.replace('length = "mm", ', "").replace(
            "[0, 0, 0]", '["0 mm", "0 mm", "0 mm"]'
        )
    path.write_text(text)
    ran = run("check", path)
    _told(ran, 3, "L110", f"{path}:")
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("words", [[], ["check"], ["chek"], ["check", "a.toml", "b.toml"], ["check", "--nothing"], ["curve", "a.toml", "--rows", "many"]])  # fmt: skip
def test_wrong_words_are_told_by_the_command_line_itself(
    run, tmp_path, monkeypatch, words
):
    monkeypatch.chdir(tmp_path)
    ran = run(*words)
    assert ran.code == 2
    assert "Usage:" in ran.err + ran.out
    assert "Traceback" not in ran.err
    assert list(tmp_path.iterdir()) == []


# --- where a result cannot go -----------------------------------------------

WRITERS = {
    "new": ["new", "hanging-pedal", "-o", "out.toml"],
    "check": ["check", "car.toml", "--picture", "out.png"],
    "curve table": ["curve", "car.toml", "-o", "out.csv"],
    "curve data": ["curve", "car.toml", "-o", "out.json"],
    "curve picture": ["curve", "car.toml", "-o", "out.svg"],
    "arm": ["arm", "car.toml", "spindle.lever", "--lengths", "32 mm", "-o", "out.toml"],
    "arm picture": ["arm", "car.toml", "spindle.lever", "--lengths", "31, 32 mm", "--picture", "out.pdf"],
}  # fmt: skip


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder of its own with one layout in it, and standing in it."""
    (tmp_path / "car.toml").write_bytes(GOOD)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _into(words: list[str], place: str) -> list[str]:
    return [w.replace("out.", f"{place}out.") for w in words]


def _target(words: list[str]) -> str:
    return next(w for w in words if w.startswith("out."))


@pytest.mark.parametrize("case", WRITERS)
def test_writes_where_it_can(run, folder, case):
    """The words that are refused below are good ones otherwise."""
    words = WRITERS[case]
    assert run(*words).code == 0
    assert {p.name for p in folder.iterdir()} == {"car.toml", _target(words)}


@pytest.mark.parametrize("case", WRITERS)
def test_output_exists(run, folder, case):
    words = WRITERS[case]
    (folder / _target(words)).write_text("mine")
    _told(run(*words), 2, "L400", "exists already", "--force")
    assert (folder / _target(words)).read_text() == "mine"
    assert len(list(folder.iterdir())) == 2


@pytest.mark.parametrize("case", WRITERS)
def test_output_folder_missing(run, folder, case):
    _told(run(*_into(WRITERS[case], "none/")), 2, "L400", "there is no folder `none`")
    assert [p.name for p in folder.iterdir()] == ["car.toml"]


def _refuse(fault: OSError):
    def make(*_args, **_kwargs):
        raise fault

    return make


@pytest.mark.parametrize("case", WRITERS)
@pytest.mark.parametrize("number", [errno.EACCES, errno.EROFS])
def test_output_folder_read_only(run, folder, monkeypatch, case, number):
    """Patched, as the tests may run as root, whom no folder refuses."""
    monkeypatch.setattr(
        linkage.outside.staging,
        "new_file",
        _refuse(OSError(number, os.strerror(number))),
    )
    ran = run(*WRITERS[case])
    _ended_without_the_file(ran, "may not be written to", "L400")
    assert [p.name for p in folder.iterdir()] == ["car.toml"]


def _ended_without_the_file(ran, message: str, code: str) -> None:
    """The answer may stand on stdout already; the fault is told on stderr."""
    assert ran.code == 2
    assert f"error[{code}]: " in ran.err
    assert message in ran.err
    assert "\nhint: " in ran.err
    assert "Traceback" not in ran.err
    assert "wrote" not in ran.err


@pytest.mark.parametrize("old", [None, "mine"])
@pytest.mark.parametrize("case", WRITERS)
def test_full_disk(run, folder, monkeypatch, case, old):
    words = WRITERS[case]
    if old is not None:
        (folder / _target(words)).write_text(old)
        words = [*words, "--force"]
    monkeypatch.setattr(
        linkage.outside.files.os,
        "fsync",
        _refuse(OSError(errno.ENOSPC, "No space left on device")),
    )
    _ended_without_the_file(run(*words), "the disk is full", "L400")
    left = {p.name: p.read_text() for p in folder.iterdir() if p.name != "car.toml"}
    assert left == ({} if old is None else {_target(words): old})


@pytest.mark.parametrize("case", WRITERS)
def test_ctrl_c_during_a_write(run, folder, monkeypatch, case):
    def stop(_handle):
        assert any(
            linkage.outside.staging.OURS.fullmatch(p.name) for p in folder.iterdir()
        )
        raise KeyboardInterrupt

    monkeypatch.setattr(linkage.outside.files.os, "fsync", stop)
    ran = run(*WRITERS[case])
    assert ran.code == 130
    assert ran.err.endswith("stopped; nothing half-written is left\n")
    assert "Traceback" not in ran.err
    assert [p.name for p in folder.iterdir()] == ["car.toml"]


def _spawn(command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["/bin/bash", "-c", f"set -o pipefail; {sys.executable} -m linkage {command}"],
        capture_output=True, text=True, check=False, cwd=CONFIGS.parent,
    )  # fmt: skip


class _Failing(io.StringIO):
    """Standard output that takes nothing."""

    def __init__(self, fault: OSError) -> None:
        super().__init__()
        self.fault = fault

    def flush(self) -> None:
        raise self.fault


def test_full_disk_on_standard_output(run, monkeypatch):
    """The shell sends the answer to a full disk: an error, never silence."""
    monkeypatch.setattr(
        sys, "stdout", _Failing(OSError(errno.ENOSPC, "No space left on device"))
    )
    ran = run("new", "--list")
    assert ran.code == 74
    assert ran.err == "the answer was not written: no space left on device\n"


def test_a_pipe_closed_by_its_reader_gives_no_verdict_and_no_traceback(
    run, configs, monkeypatch
):
    monkeypatch.setattr(
        sys, "stdout", _Failing(BrokenPipeError(errno.EPIPE, "Broken pipe"))
    )
    ran = run("check", configs / "hanging-pedal.toml")
    assert ran.code == 141
    assert ran.err == ""


def test_a_real_pipe_and_a_real_exit_status():
    done = _spawn("new --schema | head -n 1")
    assert (done.stdout, done.stderr) == ("{\n", "")
    assert _spawn("check configs/fault-hole-too-long.toml").returncode == 1


def test_a_reader_that_goes_away_before_the_verdict():
    done = _spawn("check configs/hanging-pedal.toml | true")
    assert (done.returncode, done.stderr) == (141, "")


def test_a_check_without_options_is_a_check_with_them(run, configs):
    """Without options typer is not asked; the answer is the same."""
    for name in ("hanging-pedal", "fault-no-pedal-stop", "missing"):
        path = configs / f"{name}.toml"
        assert run("check", path) == run("check", path, "--quiet")


def test_ctrl_c_in_a_check_without_options(run, configs, monkeypatch):
    def stop(_text):
        raise KeyboardInterrupt

    monkeypatch.setattr(linkage.outside.files, "read_text", stop)
    ran = run("check", configs / "hanging-pedal.toml")
    assert (ran.code, ran.err) == (130, "stopped; nothing half-written is left\n")


def test_a_fault_of_the_program_shows_its_traceback(run, configs, monkeypatch):
    def broken(_text):
        return 1 / 0

    monkeypatch.setattr(linkage.outside.files, "read_text", broken)
    ran = run("check", configs / "hanging-pedal.toml")
    assert ran.code == 70
    assert "ZeroDivisionError" in ran.err
    assert "fault of the program, not of your file" in ran.err
