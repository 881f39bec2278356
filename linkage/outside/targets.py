"""Where a result can go, and in words why it cannot.

Not here: writing it (`files`).
"""

from __future__ import annotations

import errno
import os
import stat
from typing import TYPE_CHECKING, Final

from linkage.errors import OutputError, Place
from linkage.records import short

if TYPE_CHECKING:
    from pathlib import Path

#: What is told of a fault of the system: what is wrong, and what to do. `{path}` is
#: the place, `{folder}` what it is in.
_FAULTS: Final[dict[tuple[int, ...], tuple[str, str]]] = {
    (errno.ENOSPC, errno.EDQUOT): (
        "the disk is full; `{path}` was not written",
        "free some space, or choose another folder",
    ),
    (errno.EACCES, errno.EPERM, errno.EROFS): (
        "`{folder}` may not be written to",
        "choose a folder that is yours to write in",
    ),
    (errno.EEXIST, errno.ENOTEMPTY): (
        "`{path}` exists already",
        "choose another name, or replace it with --force",
    ),
    (errno.ENAMETOOLONG,): (
        "the name `{path}` is too long",
        "choose a shorter one: most places take 255 bytes",
    ),
    (errno.ELOOP,): (
        "`{path}` is a link that leads back to itself",
        "choose another name, or take the link away",
    ),
    (errno.ENOENT, errno.ENOTDIR): (
        "there is no folder `{folder}`",
        "make the folder first, or choose another",
    ),
}


def reason(fault: Exception) -> str:
    """Return what the system says is wrong, in lower case."""
    said = getattr(fault, "strerror", None)
    return (said or str(fault) or type(fault).__name__).lower()


def unwritable(path: Path, message: str, hint: str) -> OutputError:
    """Return the error of a place where a result cannot go."""
    error = OutputError(message, hint=hint)
    error.place = Place(path=str(path))
    return error


def failed(path: Path, fault: OSError) -> OutputError:
    """Return what the system says of a place as an error.

    Parameters
    ----------
    path : Path
        The place, as the user named it.
    fault : OSError
        What came up there.
    """
    for numbers, (words, hint) in _FAULTS.items():
        if fault.errno in numbers:
            msg = words.format(path=_said(path), folder=_said(path.parent))
            return unwritable(path, msg, hint)
    msg = f"`{_said(path)}` cannot be written: {reason(fault)}"
    return unwritable(path, msg, "choose another name or folder")


def _said(path: Path) -> str:
    """Return a place so that it is known: no dot, no name without end."""
    words = str(path)
    if words in {".", ".."}:
        words = os.path.realpath(path)
    return words if len(words) <= 200 else short(path.name, 60)


def _kind(path: Path) -> int | None:
    """Return what stands at a place, links followed, or None.

    Raises
    ------
    OutputError
        If that cannot be found out.
    """
    try:
        return stat.S_IFMT(path.stat().st_mode)
    except (FileNotFoundError, NotADirectoryError):
        return None
    except PermissionError:
        msg = f"the folder `{_said(path.parent)}` may not be entered"
        hint = "choose a folder that is yours to write in"
        raise unwritable(path, msg, hint) from None
    except (OSError, ValueError) as fault:  # a zero byte in a name is the latter
        error = fault if isinstance(fault, OSError) else OSError(str(fault))
        raise failed(path, error) from None


def _writable(folder: Path) -> bool:
    by_whom = os.access in os.supports_effective_ids
    return os.access(folder, os.W_OK | os.X_OK, effective_ids=by_whom)


def refuse_existing(path: Path, *, force: bool) -> None:
    """Refuse a place where a result cannot go; call it before long work.

    Parameters
    ----------
    path : Path
        Where the result is to go.
    force : bool
        Whether an existing file may be replaced; what is no file never is.

    Raises
    ------
    OutputError
        If the folder is missing or may not be written to, or `path` is a folder,
        a device, a pipe, or a file that is there already and may not be replaced.
    """
    kind = _kind(path)
    if kind == stat.S_IFDIR:
        msg = f"`{path}` is a folder"
        raise unwritable(path, msg, "name a file in it")
    if kind is not None and kind != stat.S_IFREG:
        msg = f"`{path}` is a device, a pipe or a socket, not a file"
        raise unwritable(path, msg, "name a file, or send what is printed there")
    if _kind(path.parent) != stat.S_IFDIR:
        msg = f"there is no folder `{path.parent}`"
        raise unwritable(path, msg, "make the folder first, or choose another")
    if not force and (kind is not None or path.is_symlink()):
        msg = f"`{path}` exists already"
        raise unwritable(path, msg, "choose another name, or replace it with --force")
    if not _writable(path.parent):
        raise failed(path, PermissionError(errno.EACCES, "may not be written to"))


def refuse_folder(folder: Path) -> None:
    """Refuse a folder in which no result can go; call it before long work.

    Raises
    ------
    OutputError
        If it is a file, or the folder it is to be made in is missing, or neither
        may be written to.
    """
    kind = _kind(folder)
    if kind is None and folder.is_symlink():
        msg = f"`{folder}` is a link that leads nowhere"
        raise unwritable(folder, msg, "choose another name, or take the link away")
    if kind not in {None, stat.S_IFDIR}:
        msg = f"`{folder}` is a file, not a folder"
        raise unwritable(folder, msg, "name a folder, or one that is not there yet")
    if kind is None and _kind(folder.parent) != stat.S_IFDIR:
        msg = f"there is no folder `{folder.parent}`"
        raise unwritable(folder, msg, "make that folder first, or choose another")
    place = folder if kind is not None else folder.parent
    if not _writable(place):
        msg = f"`{_said(place)}` may not be written to"
        hint = "choose a folder that is yours to write in"
        raise unwritable(folder, msg, hint)


def names_in(folder: Path) -> list[str]:
    """Return the names of what a folder holds, in order.

    Raises
    ------
    OutputError
        If it may not be looked into.
    """
    try:
        return sorted(path.name for path in folder.iterdir())
    except OSError as fault:
        msg = f"`{_said(folder)}` cannot be looked into: {reason(fault)}"
        hint = "choose a folder that is yours to read and write"
        raise unwritable(folder, msg, hint) from None
