"""Files and folders of ours that are there for a moment only.

Each has a name of one pattern and is locked by the run that made it. A lock
goes with its run, however that ends, and holds between machines that share a
folder where a process number would not: what can be locked is left over.

Not here: what is written (`files`), the signals that end a run (`stopping`).
"""

from __future__ import annotations

import contextlib
import os
import re
import stat
import sys
from typing import TYPE_CHECKING, Final

from linkage.outside.stopping import at_end
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

#: Names of what is there for a moment; nothing else is ever swept.
OURS: Final = re.compile(r"\.throttle-linkage-[0-9a-f]{16}")
#: Names tried until one is ours alone.
_TRIES: Final = 20
#: What this run has made and not yet taken away: handle of each lock by path.
_made: dict[str, int] = {}


@dataclass(frozen=True, slots=True)
class Staged:
    """A file or folder that this run has made and locked.

    Parameters
    ----------
    path : str
        Where it is.
    handle : int
        Of the file, open for writing; of a folder, its lock.
    """

    path: str
    handle: int


def new_file(folder: Path) -> Staged:
    """Make an empty file, with the permissions that a new file gets here.

    Raises
    ------
    OSError
        If the folder cannot be written to.
    """

    def make(path: str) -> int:
        return os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o666)

    return _new(folder, make)


def new_folder(folder: Path, *, mode: int = 0o777) -> Staged:
    """Make an empty folder in another.

    Parameters
    ----------
    folder : Path
        In which it is made.
    mode : int
        Its permissions, less what is masked here.

    Raises
    ------
    OSError
        If the folder cannot be written to.
    """

    def make(path: str) -> int:
        os.mkdir(path, mode)  # noqa: PTH102 - as every call that a drill breaks here
        if sys.platform == "win32":  # pragma: no cover: Windows opens no folder
            return -1
        try:
            return os.open(path, os.O_RDONLY)
        except FileNotFoundError:  # swept before it was locked: another name
            raise FileExistsError from None

    return _new(folder, make)


def _new(folder: Path, make: Callable[[str], int]) -> Staged:
    for _ in range(_TRIES):
        path = os.path.join(folder, f".throttle-linkage-{os.urandom(8).hex()}")  # noqa: PTH118
        _made[path] = -1  # before it is there: a signal may come between
        try:
            handle = _made[path] = make(path)
        except FileExistsError:
            del _made[path]  # another's
            continue
        except BaseException:
            clear(path)
            raise
        if _ours(path, handle):
            return Staged(path, handle)
        clear(path)
    msg = "no free name"
    raise FileExistsError(msg)


def _ours(path: str, handle: int) -> bool:
    """Lock what was made; tell whether it is ours: it may be swept before that."""
    try:
        _lock(handle)
        return os.path.samestat(os.stat(path), os.fstat(handle))  # noqa: PTH116
    except (BlockingIOError, FileNotFoundError):
        return False
    except OSError:  # there are no locks here, so that nobody sweeps
        return True


def _lock(handle: int) -> None:
    """Lock a file or folder.

    Raises
    ------
    OSError
        If it is locked by another run, or there are no locks.
    """
    if sys.platform == "win32":  # pragma: no cover: Windows has no such locks
        raise OSError
    import fcntl  # noqa: PLC0415  (only who writes needs it)

    fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


def drop(staged: Staged) -> None:
    """Take away what was made, as far as it is still there."""
    clear(staged.path)


def clear(*paths: str) -> None:
    """Take away what this run has made: some of it, or all where none is named."""
    for path in paths or tuple(_made):
        loosen(path)
        with contextlib.suppress(OSError):
            _remove(path)
        _unlock(path)
        _made.pop(path, None)


def loosen(path: str) -> None:
    """Close what was made where nothing open can be moved; elsewhere it stays locked.

    Unlocked, it could be swept by another run in the moment before it is moved.
    """
    if sys.platform == "win32":  # pragma: no cover: nothing open can go
        _unlock(path)


def _unlock(path: str) -> None:
    if _made.get(path, -1) >= 0:
        with contextlib.suppress(OSError):
            os.close(_made[path])
        _made[path] = -1


def _remove(path: str) -> None:
    if stat.S_ISDIR(os.lstat(path).st_mode):
        import shutil  # noqa: PLC0415

        shutil.rmtree(path)
    else:
        os.unlink(path)  # noqa: PTH108


def sweep(folder: Path) -> None:
    """Take away what killed runs left in a folder.

    Only what has a name of ours, belongs to this user and is locked by nobody;
    where there are no locks nothing is swept.

    Parameters
    ----------
    folder : Path
        One that may not even be there.
    """
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for path in [e.path for e in entries if OURS.fullmatch(e.name)]:
            with contextlib.suppress(OSError):
                _sweep(path)


def _sweep(path: str) -> None:
    if sys.platform == "win32":  # pragma: no cover: Windows has no such locks
        return
    there = os.lstat(path)
    kind = stat.S_IFMT(there.st_mode)
    if there.st_uid != os.geteuid() or kind not in {stat.S_IFREG, stat.S_IFDIR}:
        return
    handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
    try:
        _lock(handle)
        # Another run may have swept it, and a third have taken its name.
        if all(os.path.samestat(there, s) for s in (os.fstat(handle), os.lstat(path))):
            _remove(path)
    finally:
        os.close(handle)


at_end.append(clear)
