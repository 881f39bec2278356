"""Standard output or error full or closed: a status of its own, never a verdict's."""

from __future__ import annotations

import errno
import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from linkage.outside import streams
from linkage.outside.streams import Spared, spared
from tests.cli.conftest import CONFIGS

FITS = "check hanging-pedal.toml"
FITS_NOT = "check fault-engine-rock.toml"
FULL = "the answer was not written: no space left on device\n"
CLOSED = "the answer was not written: it is closed\n"


def ran(command: str, streams: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["/bin/sh", "-c", f"{sys.executable} -m linkage {command} {streams}"],
        capture_output=True, text=True, check=False, cwd=CONFIGS,
    )  # fmt: skip


@pytest.mark.parametrize(
    "command", [FITS, FITS_NOT, f"{FITS} --json", "--help", "new --list"]
)
@pytest.mark.parametrize(("to", "said"), [("/dev/full", FULL), ("&-", CLOSED)])
def test_an_answer_that_could_not_be_written_is_no_verdict(command, to, said):
    done = ran(command, f">{to}")
    assert (done.returncode, done.stdout, done.stderr) == (74, "", said)


@pytest.mark.parametrize(("command", "code"), [(FITS, 0), (FITS_NOT, 1), ("chek", 2), ("check none.toml", 3)])  # fmt: skip
@pytest.mark.parametrize("to", ["/dev/full", "&-"])
def test_words_that_could_not_be_told_change_no_verdict(command, code, to):
    done = ran(command, f"2>{to}")
    assert (done.returncode, done.stderr) == (code, "")
    assert bool(done.stdout) == (code < 2)


@pytest.mark.parametrize("streams", [">/dev/full 2>/dev/full", "<&- >&- 2>&-"])
def test_where_nothing_can_be_told_the_status_tells(streams):
    done = ran(FITS_NOT, streams)
    assert (done.returncode, done.stdout, done.stderr) == (74, "", "")


def test_a_file_is_written_where_nothing_can_be_printed(tmp_path):
    """No file takes the number of a closed stream, and is printed into."""
    path = tmp_path / "car.toml"
    done = ran(f"new hanging-pedal -o {path}", "<&- >&- 2>&-")
    assert done.returncode == 0
    assert path.read_bytes() == (CONFIGS / "hanging-pedal.toml").read_bytes()


class Full(io.StringIO):
    """A stream with room for one word."""

    def write(self, text):
        if self.getvalue():
            raise OSError(errno.ENOSPC, "No space left on device")
        return super().write(text)


def test_what_fails_once_is_asked_no_more():
    stream = Full()
    spared = Spared(stream)
    assert spared.write("one") == 3
    assert spared.lost() is None
    assert spared.write("two") == 3
    assert spared.lost().errno == errno.ENOSPC
    spared.writelines(["three", "four"])
    spared.flush()
    assert stream.getvalue() == "one"


def test_a_stream_closed_meanwhile_loses_what_is_written():
    stream = io.StringIO()
    spared = Spared(stream)
    stream.close()
    assert not spared.isatty()
    spared.write("one")
    assert spared.lost().errno == errno.EBADF


def test_a_stream_that_was_never_there():
    spared = Spared(None)
    assert (spared.encoding, spared.isatty()) == ("utf-8", False)
    spared.flush()
    assert spared.lost() is None  # nothing was to be written
    with pytest.raises(AttributeError):
        spared.fileno()
    spared.write("one")
    assert spared.lost().errno == errno.EBADF


def test_a_stream_that_works_is_as_before(capsys):
    spared = Spared(sys.stdout)
    assert spared.encoding == sys.stdout.encoding
    spared.writelines(["one ", "two"])
    assert spared.lost() is None
    assert capsys.readouterr().out == "one two"


def test_what_waits_for_a_reader_that_went_away_goes_nowhere():
    out, end = os.pipe()
    os.close(out)
    handles = os.listdir("/dev/fd")  # noqa: PTH208 - numbers, not paths
    with os.fdopen(end, "w") as stream:
        spared = Spared(stream)
        spared.write("one")
        assert spared.lost().errno == errno.EPIPE
        assert os.listdir("/dev/fd") == handles  # noqa: PTH208
        stream.write("two")  # what is left goes out at the end, and raises nothing


def test_a_handle_that_was_closed_before_leads_nowhere(monkeypatch):
    open_one, closed = os.dup(2), os.dup(2)
    os.close(closed)
    monkeypatch.setattr(sys, "__stdout__", sys.stdout)
    monkeypatch.setattr(streams, "_STANDARD", (open_one, closed))
    nowhere = Path(os.devnull).stat().st_rdev
    try:
        with spared():
            assert os.fstat(closed).st_rdev == nowhere
            assert os.path.samestat(os.fstat(open_one), os.fstat(2))
        os.close(closed)
    finally:
        os.close(open_one)


def test_handles_of_another_program_are_left_as_they_are(monkeypatch):
    closed = os.dup(2)
    os.close(closed)
    monkeypatch.setattr(sys, "__stdout__", io.StringIO())
    monkeypatch.setattr(streams, "_STANDARD", (closed,))
    with spared(), pytest.raises(OSError, match="Bad file descriptor"):
        os.fstat(closed)
