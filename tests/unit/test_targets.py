"""Places where no result can go: told in words, before any work and after it."""

from __future__ import annotations

import errno
import multiprocessing
import os
import socket
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from linkage.errors import LayoutError, OutputError
from linkage.outside import files, stopping, targets

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

LONG = "ü" * 150 + ".toml"  # 305 bytes


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def nobody(here):
    """Be a user whom folders can refuse; relative names only, from here on."""
    (here / "shut").mkdir()
    (here / "shut").chmod(0)
    here.chmod(0o555)
    root = os.geteuid() == 0
    if root:
        os.seteuid(65534)
    yield here
    if root:
        os.seteuid(0)
    here.chmod(0o755)
    (here / "shut").chmod(0o755)


def refused(path: Path | str, *, force: bool = False) -> OutputError:
    """Refuse a place for a file before any work, and when it is written."""
    with pytest.raises(OutputError) as early:
        files.refuse_existing(Path(path), force=force)
    with pytest.raises(OutputError) as late:
        files.write(Path(path), "new", force=force)
    assert early.value.message == late.value.message
    assert early.value.hint
    assert early.value.place.path == str(path)
    return early.value


def refused_folder(path: Path | str, *, force: bool = False) -> OutputError:
    with pytest.raises(OutputError) as early:
        files.refuse_folder(Path(path))
    with pytest.raises(OutputError) as late:
        files.write_all(Path(path), {"a.toml": "a"}, force=force)
    assert early.value.message == late.value.message
    assert early.value.hint
    return early.value


@pytest.mark.usefixtures("nobody")
def test_a_folder_that_one_may_not_enter():
    for path in (Path("shut/in"), Path("shut/in/a.toml")):
        with pytest.raises(OutputError, match=r"the folder `shut.*may not be entered"):
            files.refuse_folder(path)
        with pytest.raises(OutputError, match=r"the folder `shut.*may not be entered"):
            files.refuse_existing(path, force=True)


def test_a_folder_that_one_may_not_write_to_is_refused_before_any_work(nobody):
    assert "may not be written to" in refused("a.toml").message
    assert str(nobody) in refused_folder(".").message
    assert "may not be written to" in refused_folder("new").message


@pytest.mark.usefixtures("here")
def test_a_name_over_255_bytes():
    error = refused(LONG)
    assert "is too long" in error.message
    assert len(error.message) < 200
    assert "is too long" in refused_folder(LONG.removesuffix(".toml")).message
    with pytest.raises(LayoutError, match="file name too long"):
        files.read_text(Path(LONG))


@pytest.mark.usefixtures("here")
def test_a_link_that_leads_round():
    Path("one").symlink_to("two")
    Path("two").symlink_to("one")
    for force in (False, True):
        assert "leads back to itself" in refused("one", force=force).message
        assert "leads back to itself" in refused("one/a.toml", force=force).message
    assert "leads back to itself" in refused_folder("one").message
    with pytest.raises(LayoutError, match="too many levels of symbolic links"):
        files.read_text(Path("one"))


@pytest.mark.usefixtures("here")
def test_a_link_to_nowhere_is_no_folder():
    Path("out").symlink_to("none")
    assert "leads nowhere" in refused_folder("out").message


def test_a_zero_byte_in_a_name():
    with pytest.raises(OutputError, match="cannot be written"):
        files.refuse_existing(Path("a\0b"), force=False)
    with pytest.raises(LayoutError, match="cannot be read"):
        files.read_text(Path("a\0b"))


@pytest.mark.parametrize("force", [False, True])
def test_a_device_a_pipe_or_a_socket_is_never_replaced(here, force):
    os.mkfifo("pipe")
    with socket.socket(socket.AF_UNIX) as end:
        end.bind("socket")
        Path("link").symlink_to("pipe")
        for name in ("/dev/null", "pipe", "socket", "link"):
            before = Path(name).stat()
            assert (
                "is a device, a pipe or a socket" in refused(name, force=force).message
            )
            assert os.path.samestat(before, Path(name).stat())
    assert sorted(p.name for p in here.iterdir()) == ["link", "pipe", "socket"]


@pytest.mark.usefixtures("here")
def test_a_file_is_no_folder():
    Path("a").write_text("x")
    assert "is a file, not a folder" in refused_folder("a").message
    assert "there is no folder" in refused("a/b.toml").message


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENOSPC, "the disk is full; `a.toml` was not written"),
        (errno.EEXIST, "`a.toml` exists already"),
        (errno.ENOENT, "there is no folder"),
        (errno.EIO, "`a.toml` cannot be written: input/output error"),
    ],
)
def test_what_the_system_says_is_told_in_words(number, words):
    error = targets.failed(Path("a.toml"), OSError(number, os.strerror(number)))
    assert words in error.message
    assert error.hint


# --- a set of files ----------------------------------------------------------

SET = {"a.toml": "new a", "b.toml": "new b", "c.toml": b"new c"}


def texts(folder: Path) -> dict[str, str]:
    return {p.name: p.read_text() for p in folder.iterdir()}


@pytest.mark.parametrize("place", [".", "in", "in/new", "link"])
def test_a_set_goes_into_any_folder(here, place):
    Path("in").mkdir()
    Path("link").symlink_to("in")
    files.write_all(Path(place), SET, force=False)
    found = (
        texts(Path(place)) if place != "." else {n: Path(n).read_text() for n in SET}
    )
    assert found == {"a.toml": "new a", "b.toml": "new b", "c.toml": "new c"}
    if place != "in/new":
        assert all(
            (here / place).stat().st_dev == Path(place, n).stat().st_dev for n in SET
        )


def test_a_set_is_staged_in_the_folder_so_that_it_may_be_a_mount(here, monkeypatch):
    """What is moved never leaves the folder, the one place known to take it."""
    Path("in").mkdir()
    real, seen = files.os.link, []

    def link(old, new, **names):
        seen.append(Path(old).resolve())
        real(old, new, **names)

    monkeypatch.setattr(files.os, "link", link)
    files.write_all(Path("in"), SET, force=False)
    assert len(seen) == len(SET)
    assert all(path.is_relative_to(here / "in") for path in seen)


def test_errors_of_a_set_name_the_place_the_user_named(here, monkeypatch):
    Path("in").mkdir()

    def full(_handle):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(files.os, "fsync", full)
    for folder in ("in", "new"):
        with pytest.raises(OutputError) as caught:
            files.write_all(Path(folder), SET, force=False)
        assert f"`{folder}/a.toml` was not written" in caught.value.message
        assert caught.value.place.path == f"{folder}/a.toml"
    assert [p.name for p in here.iterdir()] == ["in"]


@pytest.mark.usefixtures("here")
@pytest.mark.parametrize("links", [True, False])
@pytest.mark.parametrize("force", [True, False])
def test_where_one_of_a_set_cannot_be_moved_all_are_as_before(
    monkeypatch, force, links
):
    Path("in").mkdir()
    before = {"a.toml": "old a", "notes": "mine"} if force else {"notes": "mine"}
    for name, text in before.items():
        Path("in", name).write_text(text)
    if not links:
        monkeypatch.setattr(files.os, "link", no_links)
    real = files._move

    def move(staged, target, *, force):
        if target.name == "c.toml":
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        real(staged, target, force=force)

    monkeypatch.setattr(files, "_move", move)
    with pytest.raises(OutputError, match=r"`in/c\.toml` cannot be written"):
        files.write_all(Path("in"), SET, force=force)
    assert texts(Path("in")) == before


@pytest.mark.usefixtures("here")
def test_a_replaced_set_keeps_permissions():
    Path("a.toml").write_text("old")
    Path("a.toml").chmod(0o600)
    files.write_all(Path(), SET, force=True)
    assert Path("a.toml").stat().st_mode & 0o777 == 0o600
    assert Path("a.toml").read_text() == "new a"


def no_links(*_args, **_names):
    raise OSError(errno.EPERM, os.strerror(errno.EPERM))


# --- several at once ----------------------------------------------------------


def race(writes: Sequence[Callable[[int], None]], count: int = 4) -> list[list[int]]:
    """Let several processes do each write at the same time; return how each ended.

    They are started once, as that takes far longer than to write.
    """
    gate = multiprocessing.get_context("fork").Barrier(count, timeout=60)
    told_out, told_in = os.pipe()
    children = []
    for number in range(count):
        child = os.fork()
        if child == 0:
            try:
                for turn, write in enumerate(writes):
                    gate.wait()
                    os.write(told_in, bytes([turn, _ended(write, number)]))
            finally:
                os._exit(0)
        children.append(child)
    os.close(told_in)
    with os.fdopen(told_out, "rb") as file:
        told = file.read()
    for child in children:
        os.waitpid(child, 0)
    ends: list[list[int]] = [[] for _ in writes]
    for turn, code in zip(told[::2], told[1::2], strict=True):
        ends[turn].append(code)
    return [sorted(codes) for codes in ends]


def _ended(write: Callable[[int], None], number: int) -> int:
    try:
        write(number)
    except OutputError as error:
        return 3 if "exists already" in error.message else 4
    except BaseException:  # noqa: BLE001 - the number of a fault, told to the parent
        return 70
    return 0


@pytest.mark.filterwarnings("ignore:This process:DeprecationWarning")
@pytest.mark.parametrize("links", [True, False])
def test_of_four_writers_at_once_one_wins(here, monkeypatch, links):
    # All pass the look whether it is there, so that only the move can decide.
    monkeypatch.setattr(files, "refuse_existing", lambda *_args, **_names: None)
    if not links:
        monkeypatch.setattr(files.os, "link", no_links)
    text = ["a", "b", "c", "d"]
    paths = [Path(f"{turn}.txt") for turn in range(10)]
    ends = race(
        [
            lambda n, path=path: files.write(path, text[n] * 10_000, force=False)
            for path in paths
        ]
    )
    assert ends == [[0, 3, 3, 3]] * 10
    for path in paths:
        assert path.read_text() in {t * 10_000 for t in text}
    assert len(list(here.iterdir())) == 10


@pytest.mark.filterwarnings("ignore:This process:DeprecationWarning")
@pytest.mark.parametrize("there", [True, False])
def test_of_four_sets_at_once_one_wins(here, monkeypatch, there):
    monkeypatch.setattr(files, "refuse_existing", lambda *_args, **_names: None)
    paths = [Path(f"{turn}") for turn in range(10)]
    for path in paths if there else ():
        path.mkdir()
    ends = race(
        [
            lambda n, path=path: files.write_all(
                path, dict.fromkeys(SET, f"{n}"), force=False
            )
            for path in paths
        ]
    )
    assert ends == [[0, 3, 3, 3]] * 10
    for path in paths:
        found = texts(path)
        assert set(found) == set(SET)
        assert len(set(found.values())) == 1
    assert len(list(here.iterdir())) == 10


def test_a_name_claimed_where_there_are_no_links_is_given_back(here, monkeypatch):
    monkeypatch.setattr(files.os, "link", no_links)

    def full(*_args):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(files.os, "replace", full)
    with pytest.raises(OutputError, match="the disk is full"):
        files.write(Path("a.toml"), "new", force=False)
    assert list(here.iterdir()) == []
    assert not stopping._held


def test_another_fault_of_a_link_is_told(here, monkeypatch):
    def broken(*_args, **_names):
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(files.os, "link", broken)
    with pytest.raises(OutputError, match="input/output error"):
        files.write(Path("a.toml"), "new", force=False)
    assert list(here.iterdir()) == []


@pytest.mark.usefixtures("here")
def test_another_that_was_quicker_keeps_its_file(monkeypatch):
    Path("a.toml").write_text("theirs")
    monkeypatch.setattr(files, "refuse_existing", lambda *_args, **_names: None)
    with pytest.raises(OutputError, match="exists already"):
        files.write(Path("a.toml"), "new", force=False)
    assert Path("a.toml").read_text() == "theirs"


def test_a_folder_that_cannot_be_looked_into(tmp_path):
    (tmp_path / "a").write_text("a")
    assert files.names_in(tmp_path) == ["a"]
    with pytest.raises(OutputError, match="cannot be looked into: not a directory"):
        files.names_in(tmp_path / "a")


@pytest.mark.usefixtures("here")
def test_a_set_that_cannot_be_staged_is_told(monkeypatch):
    def full(*_args, **_names):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(files.staging, "new_folder", full)
    with pytest.raises(OutputError, match="the disk is full; `new` was not written"):
        files.write_all(Path("new"), SET, force=False)
