"""What is there for a moment: made, locked, taken away, swept after a killed run."""

from __future__ import annotations

import errno
import fcntl
import os
import signal
import tempfile
import threading
from pathlib import Path

import pytest

from linkage.errors import OutputError
from linkage.outside import files, staging, stopping

OURS = ".throttle-linkage-0123456789abcdef"


def left(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_what_is_made_is_locked_and_goes(tmp_path):
    for make in (staging.new_file, staging.new_folder):
        made = make(tmp_path)
        assert staging.OURS.fullmatch(Path(made.path).name)
        staging.sweep(tmp_path)
        assert left(tmp_path) == [Path(made.path).name]  # it is in use
        staging.drop(made)
        staging.drop(made)  # twice does no harm
        assert left(tmp_path) == []
        with pytest.raises(OSError, match="Bad file descriptor"):
            os.fstat(made.handle)
    assert not staging._made


def test_what_a_killed_run_left_is_swept_by_the_next(tmp_path):
    (tmp_path / OURS).write_text("half")
    folder = tmp_path / OURS.replace("0", "f")
    folder.mkdir()
    (folder / "swapped.toml").write_text("half")
    files.write(tmp_path / "a.toml", "whole", force=False)
    assert left(tmp_path) == ["a.toml"]


def test_a_set_sweeps_where_it_is_staged(tmp_path):
    (tmp_path / OURS).mkdir()
    files.write_all(tmp_path / "new", {"a": "a"}, force=False)
    (tmp_path / "new" / OURS).mkdir()
    files.write_all(tmp_path / "new", {"b": "b"}, force=False)
    assert left(tmp_path) == ["new"]
    assert left(tmp_path / "new") == ["a", "b"]


def test_nothing_else_is_swept(tmp_path, monkeypatch):
    (tmp_path / "mine").write_text("mine")
    names = [OURS[:-1], OURS + "0", OURS.upper(), OURS.lstrip("."), OURS + ".toml"]
    for name in names:
        (tmp_path / name).write_text("mine")
    (tmp_path / OURS).symlink_to("mine")
    os.mkfifo(tmp_path / OURS.replace("0", "1"))
    before = left(tmp_path)
    staging.sweep(tmp_path)
    assert left(tmp_path) == before
    (tmp_path / OURS).unlink()
    (tmp_path / OURS).write_text("of another user")
    monkeypatch.setattr(os, "geteuid", lambda: 4711)
    staging.sweep(tmp_path)
    assert left(tmp_path) == before


def test_what_another_run_has_locked_is_not_swept(tmp_path):
    with (tmp_path / OURS).open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        staging.sweep(tmp_path)
        assert left(tmp_path) == [OURS]
    staging.sweep(tmp_path)
    assert left(tmp_path) == []


@pytest.mark.parametrize("call", ["link", "replace"])
def test_another_run_that_sweeps_before_the_move_takes_nothing(
    tmp_path, monkeypatch, call
):
    """The file is locked until it stands in its place."""
    moves = getattr(files.os, call)

    def sweep_first(*args, **names):
        staging.sweep(tmp_path)
        return moves(*args, **names)

    monkeypatch.setattr(files.os, call, sweep_first)
    files.write(tmp_path / "a.toml", "whole", force=call == "replace")
    assert left(tmp_path) == ["a.toml"]
    assert (tmp_path / "a.toml").read_text() == "whole"
    assert not staging._made


@pytest.mark.parametrize("before", ["open", "lock"])
def test_what_was_put_there_meanwhile_is_not_swept(tmp_path, monkeypatch, before):
    """Another run may sweep it first, and a third one take its name."""
    path = tmp_path / OURS
    path.write_text("half")
    module, name = (os, "open") if before == "open" else (staging, "_lock")
    real = getattr(module, name)

    def slow(*args):
        monkeypatch.setattr(module, name, real)
        (tmp_path / "new").write_text("new")
        (tmp_path / "new").replace(path)
        return real(*args)

    monkeypatch.setattr(module, name, slow)
    staging.sweep(tmp_path)
    assert path.read_text() == "new"
    staging.sweep(tmp_path)
    assert left(tmp_path) == []


def test_where_there_are_no_locks_nothing_is_swept(tmp_path, monkeypatch):
    def none(*_args):
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(fcntl, "flock", none)
    (tmp_path / OURS).write_text("half")
    files.write(tmp_path / "a.toml", "whole", force=False)
    assert left(tmp_path) == [OURS, "a.toml"]


def test_a_folder_that_is_not_there_has_nothing_to_sweep(tmp_path):
    staging.sweep(tmp_path / "none")


@pytest.mark.parametrize("how", ["locked", "gone"])
def test_what_is_swept_before_it_is_locked_is_made_again(tmp_path, monkeypatch, how):
    real, times = fcntl.flock, []

    def flock(handle, kind):
        times.append(handle)
        if len(times) == 1:
            if how == "locked":
                raise BlockingIOError
            next(tmp_path.iterdir()).unlink()
        real(handle, kind)

    monkeypatch.setattr(fcntl, "flock", flock)
    files.write(tmp_path / "a.toml", "whole", force=False)
    assert len(times) == 2
    assert left(tmp_path) == ["a.toml"]


def test_a_folder_swept_before_it_is_opened_is_made_again(tmp_path, monkeypatch):
    real, times = os.open, []

    def opened(path, *args, **names):
        times.append(path)
        if len(times) == 1:
            Path(path).rmdir()
        return real(path, *args, **names)

    monkeypatch.setattr(os, "open", opened)
    made = staging.new_folder(tmp_path)
    assert len(times) == 2
    assert left(tmp_path) == [Path(made.path).name]
    staging.drop(made)


def test_what_could_not_be_made_is_forgotten(tmp_path):
    with pytest.raises(FileNotFoundError):
        staging.new_file(tmp_path / "none")
    assert not staging._made


def test_a_name_that_is_taken_is_left_alone(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "urandom", bytes)
    taken = tmp_path / f".throttle-linkage-{'0' * 16}"
    with taken.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        with pytest.raises(OutputError, match="cannot be written: no free name"):
            files.write(tmp_path / "a.toml", "whole", force=False)
    assert left(tmp_path) == [taken.name]
    assert not staging._made


def test_room_to_work_in_goes_whatever_happens(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    (tmp_path / OURS).mkdir()

    def work():
        with files.scratch() as folder:
            assert left(tmp_path) == [folder.name]
            assert folder.stat().st_mode & 0o77 == 0
            (folder / "half").write_text("half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        work()
    assert left(tmp_path) == []


def test_no_room_to_work_in_is_told(monkeypatch):
    def none():
        raise FileNotFoundError(errno.ENOENT, "No usable temporary directory found")

    monkeypatch.setattr(tempfile, "gettempdir", none)
    with pytest.raises(OutputError, match="no folder to work in: no usable"):
        files.scratch().__enter__()


# --- signals ------------------------------------------------------------------

SIGNALS = [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]


def ended(work, folder: Path) -> tuple[int, str]:
    """Run something in a process of its own; return how it ended and its words."""
    out, end = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.dup2(end, 2)
            os.chdir(folder)
            for number in SIGNALS:
                signal.signal(number, signal.SIG_DFL)
            with stopping.stoppable():
                work()
        finally:
            os._exit(70)
    os.close(end)
    with os.fdopen(out) as words:
        said = words.read()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), said


pytestmark = pytest.mark.filterwarnings("ignore:This process:DeprecationWarning")


@pytest.mark.parametrize("number", SIGNALS)
def test_what_is_temporary_goes_when_a_run_is_stopped(tmp_path, number):
    def work():
        staging.new_file(Path())
        Path(staging.new_folder(Path()).path, "half").write_text("half")
        signal.raise_signal(number)

    assert ended(work, tmp_path) == (128 + number, f"{stopping.STOPPED}\n")
    assert left(tmp_path) == []


def test_a_signal_waits_while_a_set_is_moved(tmp_path):
    def work():
        real = files._move

        def move(*args, **names):
            signal.raise_signal(signal.SIGTERM)
            real(*args, **names)

        files._move = move
        files.write_all(Path(), {"a": "a", "b": "b"}, force=False)

    assert ended(work, tmp_path) == (143, f"{stopping.STOPPED}\n")
    assert left(tmp_path) == ["a", "b"]


def test_a_signal_that_waited_ends_the_run_once_all_is_in_its_place(monkeypatch):
    ended = []
    monkeypatch.setattr(stopping, "_end", ended.append)
    with stopping.held():
        with stopping.held():
            stopping._stop(signal.SIGTERM, None)
        assert ended == []
    assert ended == [signal.SIGTERM]
    with stopping.held():
        pass
    assert ended == [signal.SIGTERM]
    stopping._stop(signal.SIGINT, None)
    assert ended == [signal.SIGTERM, signal.SIGINT]


def test_what_was_ignored_stays_ignored_and_all_is_set_back():
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    asked = signal.getsignal(signal.SIGTERM)
    try:
        with stopping.stoppable():
            assert signal.getsignal(signal.SIGHUP) == signal.SIG_IGN
            assert signal.getsignal(signal.SIGTERM) == stopping._stop
        assert signal.getsignal(signal.SIGTERM) == asked
    finally:
        signal.signal(signal.SIGHUP, before)


def test_in_another_thread_no_signal_is_touched():
    before = signal.getsignal(signal.SIGTERM)
    seen = []

    def work():
        with stopping.stoppable():
            seen.append(signal.getsignal(signal.SIGTERM))

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert seen == [before]
