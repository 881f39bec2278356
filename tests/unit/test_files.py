"""Reading files, and writing whole files or nothing."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

import pytest

from linkage.errors import LayoutError, OutputError
from linkage.outside import files, staging


def _refused(path):
    with pytest.raises(LayoutError) as caught:
        files.read_text(path)
    error = caught.value
    assert error.hint
    assert error.place.path == str(path)
    assert error.exit_code == 3
    return error


def test_reads_text_with_any_line_end_and_mark(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"\xef\xbb\xbfone = 1\r\ntwo = '\xc2\xb1'\n")
    assert files.read_text(path) == "one = 1\ntwo = '±'\n"


def test_missing(tmp_path):
    assert "there is no layout file" in _refused(tmp_path / "no.toml").message


def test_a_file_where_a_folder_should_be(tmp_path):
    (tmp_path / "plain").write_text("x")
    assert "cannot be read" in _refused(tmp_path / "plain" / "a.toml").message


def test_folder(tmp_path):
    assert "is a folder" in _refused(tmp_path).message


def test_binary(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"\x89PNG\0\0")
    assert "binary" in _refused(path).message


def test_not_utf8_names_the_line(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes("one = 1\ntitle = 'Hügel'\n".encode("latin-1"))
    error = _refused(path)
    assert "not UTF-8" in error.message
    assert error.place.line == 2


def test_fifty_megabytes_are_refused_unread(tmp_path, monkeypatch):
    path = tmp_path / "a.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)

    def never(_self):
        raise AssertionError

    monkeypatch.setattr(Path, "read_bytes", never)
    assert "too large" in _refused(path).message


def test_a_pipe_is_not_waited_for(tmp_path):
    path = tmp_path / "pipe"
    os.mkfifo(path)
    assert "plain file" in _refused(path).message


def test_may_not_be_read(tmp_path, monkeypatch):
    path = tmp_path / "a.toml"
    path.write_text("x")

    def denied(_self):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", denied)
    assert "permission denied" in _refused(path).message


def _not_written(path, data="new", *, force=False):
    before = (
        sorted(p.name for p in path.parent.glob("*")) if path.parent.exists() else []
    )
    with pytest.raises(OutputError) as caught:
        files.write(path, data, force=force)
    after = (
        sorted(p.name for p in path.parent.glob("*")) if path.parent.exists() else []
    )
    assert before == after
    assert caught.value.hint
    assert caught.value.place.path == str(path)
    return caught.value.message


@pytest.mark.parametrize("data", ["grün\n", b"gr\xc3\xbcn\n"])
def test_writes_and_leaves_nothing_else(tmp_path, data):
    path = tmp_path / "out.txt"
    files.write(path, data, force=False)
    assert path.read_bytes() == b"gr\xc3\xbcn\n"
    assert list(tmp_path.iterdir()) == [path]


def test_new_file_gets_usual_permissions_and_old_keeps_its_own(tmp_path):
    path = tmp_path / "out.txt"
    old = os.umask(0o027)
    try:
        files.write(path, "a", force=False)
    finally:
        os.umask(old)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    path.chmod(0o600)
    files.write(path, "b", force=True)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_existing_needs_force(tmp_path):
    path = tmp_path / "out.txt"
    path.write_text("old")
    assert "exists already" in _not_written(path)
    assert path.read_text() == "old"
    files.write(path, "new", force=True)
    assert path.read_text() == "new"


def test_a_link_is_followed_with_force_and_refused_without(tmp_path):
    target, link = tmp_path / "target.txt", tmp_path / "link.txt"
    link.symlink_to(target)
    assert "exists already" in _not_written(link)
    files.write(link, "new", force=True)
    assert link.is_symlink()
    assert target.read_text() == "new"


def test_folder_as_output(tmp_path):
    (tmp_path / "out").mkdir()
    assert "is a folder" in _not_written(tmp_path / "out", force=True)


def test_missing_folder(tmp_path):
    assert "there is no folder" in _not_written(tmp_path / "no" / "out.txt")


def test_refuses_before_long_work(tmp_path):
    path = tmp_path / "out.txt"
    files.refuse_existing(path, force=False)
    path.write_text("old")
    files.refuse_existing(path, force=True)
    with pytest.raises(OutputError):
        files.refuse_existing(path, force=False)


def test_read_only_folder(tmp_path, monkeypatch):
    def denied(*_args, **_names):
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(staging, "new_file", denied)
    assert "may not be written to" in _not_written(tmp_path / "out.txt")


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.ENOSPC, "disk is full"),
        (errno.EDQUOT, "disk is full"),
        (errno.EIO, "cannot be written"),
    ],
)
@pytest.mark.parametrize("there", [True, False])
def test_full_disk_keeps_the_old_file(tmp_path, monkeypatch, code, words, there):
    path = tmp_path / "out.txt"
    if there:
        path.write_text("old")

    def full(_handle):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(files.os, "fsync", full)
    assert words in _not_written(path, force=True)
    assert not there or path.read_text() == "old"


@pytest.mark.parametrize("fault", [KeyboardInterrupt, MemoryError])
def test_ctrl_c_leaves_no_partial_file(tmp_path, monkeypatch, fault):
    path = tmp_path / "out.txt"
    path.write_text("old")

    def interrupted(_handle):
        raise fault

    monkeypatch.setattr(files.os, "fsync", interrupted)
    with pytest.raises(fault):
        files.write(path, "new" * 1000, force=True)
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]
