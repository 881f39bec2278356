"""Text files in, whole files out.

A result is written to a temporary file beside its place and moved there when
it is complete, so that neither a full disk nor Ctrl-C leaves half a file or
spoils an old one.

Not here: what the text means (`config`), what is written (`report` and others).
"""

from __future__ import annotations

import contextlib
import errno
import os
from pathlib import Path
from typing import TYPE_CHECKING, Final

from linkage.errors import LayoutError, OutputError, Place

if TYPE_CHECKING:
    from collections.abc import Mapping

#: Larger files are refused before they are read. [byte]
GREATEST_SIZE: Final = 5_000_000


def _unreadable(path: Path, message: str, hint: str) -> LayoutError:
    error = LayoutError(message, hint=hint)
    error.place = Place(path=str(path))
    return error


def read_text(path: Path, *, what: str = "layout file") -> str:
    r"""Return the text of a file.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it should be, for the message.

    Returns
    -------
    str
        With line ends as ``\n`` and without a byte order mark.

    Raises
    ------
    LayoutError
        If it is missing, a folder, no plain file, too large, unreadable, binary
        or not UTF-8.
    """
    try:
        data = _read_bytes(path, what)
    except FileNotFoundError:
        msg = f"there is no {what} `{path}`"
        raise _unreadable(
            path, msg, "check the name and the folder; `new` writes a starter layout"
        ) from None
    except OSError as fault:
        msg = f"the {what} `{path}` cannot be read: {_reason(fault)}"
        raise _unreadable(path, msg, "check that you may read it") from None
    if b"\0" in data:
        msg = f"`{path}` is a binary file, not a {what}"
        raise _unreadable(path, msg, "give the text file that you wrote")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        msg = f"the {what} is not UTF-8 text in line {line}"
        error = _unreadable(path, msg, "save it again with the encoding UTF-8")
        error.place = Place(path=str(path), line=line)
        raise error from None
    return text.replace("\r\n", "\n")


def _read_bytes(path: Path, what: str) -> bytes:
    if path.is_dir():
        msg = f"`{path}` is a folder, not a {what}"
        raise _unreadable(path, msg, "name a file in it")
    size = path.stat().st_size
    if not path.is_file():
        msg = f"`{path}` is not a plain file"
        raise _unreadable(path, msg, f"give a {what}")
    if size > GREATEST_SIZE:
        msg = f"`{path}` is too large for a {what}: {size / 1e6:.0f} MB"
        hint = f"at most {GREATEST_SIZE / 1e6:.0f} MB are read; is it the right file?"
        raise _unreadable(path, msg, hint)
    return path.read_bytes()


def _reason(fault: OSError) -> str:
    return (fault.strerror or str(fault) or type(fault).__name__).lower()


def _unwritable(path: Path, message: str, hint: str) -> OutputError:
    error = OutputError(message, hint=hint)
    error.place = Place(path=str(path))
    return error


def refuse_existing(path: Path, *, force: bool) -> None:
    """Refuse a place where a result cannot go; call it before long work.

    Parameters
    ----------
    path : Path
        Where the result is to go.
    force : bool
        Whether an existing file may be replaced.

    Raises
    ------
    OutputError
        If the folder is missing, or `path` is a folder, or a file that is there
        already and may not be replaced.
    """
    if path.is_dir():
        msg = f"`{path}` is a folder"
        raise _unwritable(path, msg, "name a file in it")
    if not path.parent.is_dir():
        msg = f"there is no folder `{path.parent}`"
        raise _unwritable(path, msg, "make the folder first, or choose another")
    if not force and (path.exists() or path.is_symlink()):
        msg = f"`{path}` exists already"
        raise _unwritable(path, msg, "choose another name, or replace it with --force")


def write(path: Path, data: bytes | str, *, force: bool) -> None:
    """Write a whole file or nothing.

    Parameters
    ----------
    path : Path
        Where it goes; its folder must exist.
    data : bytes or str
        All of it; text is written as UTF-8.
    force : bool
        Whether an existing file may be replaced.

    Raises
    ------
    OutputError
        If it cannot be written; an old file is then as it was.
    """
    refuse_existing(path, force=force)
    target = path.resolve() if path.is_symlink() else path
    content = data.encode("utf-8") if isinstance(data, str) else data
    try:
        _replace(target, content)
    except OSError as fault:
        raise _failed(path, fault) from None


def _replace(path: Path, content: bytes) -> None:
    import tempfile  # noqa: PLC0415  (only who writes needs it)

    handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(_mode(path))
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise


def _mode(path: Path) -> int:
    """Return the permissions of the old file, or those a new file would get."""
    if path.exists():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _failed(path: Path, fault: OSError) -> OutputError:
    if fault.errno in {errno.ENOSPC, errno.EDQUOT}:
        msg = f"the disk is full; `{path}` was not written"
        return _unwritable(path, msg, "free some space, or choose another folder")
    if fault.errno in {errno.EACCES, errno.EPERM, errno.EROFS}:
        msg = f"`{path.parent}` may not be written to"
        return _unwritable(path, msg, "choose a folder that is yours to write in")
    msg = f"`{path}` cannot be written: {_reason(fault)}"
    return _unwritable(path, msg, "choose another name or folder")


def write_all(
    folder: Path, contents: Mapping[str, bytes | str], *, force: bool
) -> None:
    """Write several whole files into a folder, or none of them.

    All are written to a folder beside it first and moved when all are complete.

    Parameters
    ----------
    folder : Path
        Made where it is missing; the folder it is in must exist.
    contents : mapping of str to bytes or str
        By file name.
    force : bool
        Whether existing files of these names may be replaced.

    Raises
    ------
    OutputError
        If one of them exists and may not be replaced, or they cannot be written.
    """
    import tempfile  # noqa: PLC0415

    refuse_folder(folder)
    for name in contents:
        if folder.is_dir():
            refuse_existing(folder / name, force=force)
    try:
        with tempfile.TemporaryDirectory(
            prefix=f".{folder.name[:40]}.", dir=folder.resolve().parent
        ) as place:
            staged = Path(place)
            for name, data in contents.items():
                write(staged / name, data, force=False)
            folder.mkdir(exist_ok=True)
            for name in contents:
                (staged / name).replace(folder / name)
    except OutputError:
        raise
    except OSError as fault:
        raise _failed(folder, fault) from None


def refuse_folder(folder: Path) -> None:
    """Refuse a folder in which no result can go; call it before long work.

    Raises
    ------
    OutputError
        If it is a file, or the folder it is to be made in is missing.
    """
    if folder.exists() and not folder.is_dir():
        msg = f"`{folder}` is a file, not a folder"
        raise _unwritable(folder, msg, "name a folder, or one that is not there yet")
    if not folder.resolve().parent.is_dir():
        msg = f"there is no folder `{folder.parent}`"
        raise _unwritable(folder, msg, "make that folder first, or choose another")
