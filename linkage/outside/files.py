"""Text files in, whole files out.

A result is written to a temporary file beside its place and moved there when
it is complete, so that neither a full disk nor Ctrl-C leaves half a file or
spoils an old one.

Not here: what the text means (`config`), what is written (`report` and others),
where a result can go (`targets`), what is there for a moment only (`staging`).
"""

from __future__ import annotations

import contextlib
import errno
import os
from pathlib import Path
from typing import TYPE_CHECKING, Final

from linkage.errors import LayoutError, OutputError, Place
from linkage.outside import staging, stopping
from linkage.outside.targets import (
    failed,
    names_in,
    reason,
    refuse_existing,
    refuse_folder,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = [
    "names_in",
    "read_text",
    "refuse_existing",
    "refuse_folder",
    "scratch",
    "write",
    "write_all",
]

#: Larger files are refused before they are read. [byte]
GREATEST_SIZE: Final = 250_000
#: What is said where a file system has no second name for a file.
_NO_LINKS: Final = frozenset(
    {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK}
)


def _unreadable(path: Path, message: str, hint: str) -> LayoutError:
    error = LayoutError(message, hint=hint)
    error.place = Place(path=str(path))
    return error


def read_text(
    path: Path,
    *,
    what: str = "layout file",
    made_by: str = "`new` writes a starter layout",
) -> str:
    r"""Return the text of a file.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it should be, for the message.
    made_by : str
        How such a file is come by, where it is missing.

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
        hint = f"check the name and the folder; {made_by}"
        raise _unreadable(path, msg, hint) from None
    except LayoutError:
        raise
    except (OSError, ValueError) as fault:  # a zero byte in a name is the latter
        msg = f"the {what} `{path}` cannot be read: {reason(fault)}"
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
        msg = f"`{path}` is too large for a {what}: {size // 1000} kB"
        hint = f"at most {GREATEST_SIZE // 1000} kB are read; is it the right file?"
        raise _unreadable(path, msg, hint)
    return path.read_bytes()


def write(path: Path, data: bytes | str, *, force: bool) -> None:
    """Write a whole file or nothing.

    Parameters
    ----------
    path : Path
        Where it goes; its folder must exist.
    data : bytes or str
        All of it; text is written as UTF-8.
    force : bool
        Whether an existing file may be replaced. Where it may not, and several
        write at once, one of them does.

    Raises
    ------
    OutputError
        If it cannot be written; an old file is then as it was.
    """
    refuse_existing(path, force=force)
    target = Path(os.path.realpath(path)) if path.is_symlink() else path
    staging.sweep(target.parent)
    try:
        staged = staging.new_file(target.parent)
        try:
            _fill(staged.handle, data)
            _as_before(staged.path, target)
            staging.loosen(staged.path)
            _move(staged.path, target, force=force)
        finally:
            staging.drop(staged)
    except OSError as fault:
        raise failed(path, fault) from None


def _fill(handle: int, data: bytes | str) -> None:
    """Write all of a file, down to the disk; text with what is no sign as `?`."""
    content = data.encode("utf-8", "replace") if isinstance(data, str) else data
    left = memoryview(content)
    while left:
        left = left[os.write(handle, left) :]
    os.fsync(handle)


def _as_before(staged: str, target: Path) -> None:
    """Give a file the permissions of the old one, where there is one."""
    with contextlib.suppress(FileNotFoundError):
        Path(staged).chmod(target.stat().st_mode & 0o777)


def _move(staged: str, target: Path, *, force: bool) -> None:
    """Put a complete file in its place.

    Raises
    ------
    OSError
        If that cannot be; a `FileExistsError` where there is one and it may not be
        replaced.
    """
    if force:
        os.replace(staged, target)  # noqa: PTH105 - as every call that a drill breaks
        return
    try:
        os.link(staged, target)  # fails where another was quicker
    except FileExistsError:
        raise
    except OSError as fault:
        if fault.errno not in _NO_LINKS:
            raise
        _claim(staged, target)


def _claim(staged: str, target: Path) -> None:
    """Put a file in its place where there are no links: the name first.

    A machine that stops between the two leaves an empty file.
    """
    with stopping.held():
        os.close(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))
        try:
            os.replace(staged, target)  # noqa: PTH105
        except BaseException:
            target.unlink()
            raise


def write_all(
    folder: Path, contents: Mapping[str, bytes | str], *, force: bool
) -> None:
    """Write several whole files into a folder, or none of them.

    All are written to a folder of their own first: one that takes the place of
    `folder` where this is missing, or one in it, from which they are moved.

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
    refuse_folder(folder)
    there = folder.is_dir()
    for name in contents if there else ():
        refuse_existing(folder / name, force=force)
    beside = folder if there else folder.parent
    staging.sweep(beside)
    try:
        staged = staging.new_folder(beside)
        try:
            for name, data in contents.items():
                _fill_one(Path(staged.path, name), data, shown=folder / name)
            if there:
                _move_all(Path(staged.path), folder, list(contents), force=force)
            else:
                os.rename(staged.path, folder)  # noqa: PTH104
        finally:
            staging.drop(staged)
    except OutputError:
        raise
    except OSError as fault:
        raise failed(folder, fault) from None


def _fill_one(path: Path, data: bytes | str, *, shown: Path) -> None:
    """Write one file of several; an error names the place where it is to go."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        try:
            _fill(handle, data)
        finally:
            os.close(handle)
    except OSError as fault:
        raise failed(shown, fault) from None


def _move_all(staged: Path, folder: Path, names: list[str], *, force: bool) -> None:
    """Put complete files in their places; where one cannot, all are as before."""
    with stopping.held(), contextlib.ExitStack() as back:
        for name in names:
            target = folder / name
            kept = staged / f"{name}.old"
            try:
                if force and target.exists():
                    _as_before(str(staged / name), target)
                    _keep(target, kept)
                _move(str(staged / name), target, force=force)
            except OSError as fault:
                raise failed(target, fault) from None
            back.callback(_put_back, kept, target)
        back.pop_all()


def _keep(target: Path, kept: Path) -> None:
    try:
        os.link(target, kept)
    except OSError:  # no links here
        kept.write_bytes(target.read_bytes())


def _put_back(kept: Path, target: Path) -> None:
    """Undo a move: the old file again, or none."""
    with contextlib.suppress(OSError):
        if kept.exists():
            kept.replace(target)
        else:
            target.unlink()


@contextlib.contextmanager
def scratch() -> Iterator[Path]:
    """Give a folder to work in, which goes whatever happens.

    Yields
    ------
    Path
        A folder that only this user may enter.

    Raises
    ------
    OutputError
        If there is no place for one.
    """
    import tempfile  # noqa: PLC0415  (few need it)

    try:
        place = Path(tempfile.gettempdir())
        staging.sweep(place)
        staged = staging.new_folder(place, mode=0o700)
    except OSError as fault:
        msg = f"there is no folder to work in: {reason(fault)}"
        raise OutputError(msg, hint="name one with room in it in TMPDIR") from None
    try:
        yield Path(staged.path)
    finally:
        staging.drop(staged)
