"""Run one command line in this process, through the program's own entry, and judge it.

A case fails where the program says that it is at fault (70), shows a traceback or a
warning, ends with a status that a user's mistake does not have, tells a mistake
without a hint, prints a sign that cannot be seen, or takes more time or memory than
`most_seconds` and `MOST_BYTES`. Time is the processor's, not the clock's.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import signal
import sys
import time
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from linkage.__main__ import main
from linkage.seen import seen
from tests.fuzz.commands import LAYOUT, OTHER, OUT

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

#: A case may take so much of the processor; a check with all its cures and slips, which
#: takes two seconds where nothing else runs, so much; one that searches for an arm or a
#: side that fits, or checks several layouts, so much. [s]
MOST_SECONDS: Final = 2.0
MOST_CHECKING: Final = 4.0
MOST_SEARCHING: Final = 10.0
#: A case may need so much more memory than there was before it. [byte]
MOST_BYTES: Final = 300_000_000
#: Commands that search.
SEARCHING: Final = frozenset(
    {"springs", "compare", "arm", "rim", "swap", "animate", "prove"}
)
#: Then it is broken off. [s of the processor]
_BROKEN_OFF: Final = 60
#: How a run may end: well, do not fit, wrong use, a wrong file, no assembly.
STATUSES: Final = (0, 1, 2, 3, 4)
#: Of this process, so that what asks for all memory is told as a fault and soon. [byte]
_ALL_MEMORY: Final = 8_000_000_000


class Hung(BaseException):
    """A case that came to no end."""


@dataclass(frozen=True)
class Case:
    """One command line on files.

    Parameters
    ----------
    name : str
        What to find it by.
    words : tuple of str
        The command, with places for files in braces.
    layout, other : bytes
        Two files.
    """

    name: str
    words: tuple[str, ...]
    layout: bytes
    other: bytes = b""


@dataclass(frozen=True)
class Ran:
    """What became of a case."""

    status: int
    out: str
    err: str
    seconds: float
    grown: int

    @property
    def read(self) -> bool:
        """Whether the file was taken for a layout that can be put together."""
        return self.status in {0, 1}


def run(case: Case, folder: Path) -> Ran:
    """Run a case with its files in an empty folder."""
    layout, other, out = folder / "car.toml", folder / "other.toml", folder / "out"
    layout.write_bytes(case.layout)
    other.write_bytes(case.other)
    places = {LAYOUT: str(layout), OTHER: str(other), OUT: str(out)}
    argv = ["throttle-linkage", *(_filled(word, places) for word in case.words)]
    told, said = io.StringIO(), io.StringIO()
    before = _resident(peak=False)
    begin = time.process_time()
    with _swapped(argv, told, said, folder), _at_most(_BROKEN_OFF):
        try:
            main()
            status = 0
        except SystemExit as stop:
            status = stop.code if isinstance(stop.code, int) else 0
        except Hung:
            status = -1
        except BaseException as fault:  # noqa: BLE001 - nothing may come out of `main`
            said.write(f"{type(fault).__name__} came out: {fault}")
            status = -2
    seconds = time.process_time() - begin
    return Ran(
        status, told.getvalue(), said.getvalue(), seconds, _resident(peak=True) - before
    )


def _filled(word: str, places: Mapping[str, str]) -> str:
    for mark, place in places.items():
        word = word.replace(mark, place)
    return word


@contextlib.contextmanager
def _swapped(
    argv: Sequence[str], out: io.StringIO, err: io.StringIO, folder: Path
) -> Iterator[None]:
    before, here = sys.argv, Path.cwd()
    sys.argv = [*argv]
    os.chdir(folder)
    try:
        with (
            warnings.catch_warnings(),
            contextlib.redirect_stdout(out),
            contextlib.redirect_stderr(err),
        ):
            warnings.simplefilter("error")  # users would see them
            yield
    finally:
        sys.argv = before
        os.chdir(here)


@contextlib.contextmanager
def _at_most(seconds: int) -> Iterator[None]:
    """Break off what takes too much of the processor."""

    def stop(_number: int, _frame: object) -> None:
        raise Hung

    old = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, old)


def _resident(*, peak: bool) -> int:
    """Return the memory of this process, or its peak since it was last asked. [byte]

    Linux tells; elsewhere memory is not judged.
    """
    try:
        if not peak:
            Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
        status = Path("/proc/self/status").read_text(encoding="ascii", errors="replace")
    except OSError:
        return 0
    word = "VmHWM:" if peak else "VmRSS:"
    line = next(one for one in status.splitlines() if one.startswith(word))
    return int(line.split()[1]) * 1024


def bound_memory() -> None:
    """Let this process have so much memory and no more, where the system can."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (_ALL_MEMORY, _ALL_MEMORY))


def wrong(case: Case, ran: Ran) -> str:
    """Return what a run did wrong; empty where nothing."""
    last = " / ".join(ran.err.strip().splitlines()[-4:])
    if ran.status == -1:
        return f"came to no end in {_BROKEN_OFF} s"
    if ran.status not in STATUSES:
        return f"status {ran.status}: {last}"
    if "Traceback" in ran.err or "Warning:" in ran.err:
        return f"a traceback or a warning: {last}"
    if ran.status in {2, 3, 4} and not _told(ran.err):
        return f"status {ran.status} without what to do: {last}"
    for text in (ran.out, ran.err):
        if text != seen(text, lines=True):
            return f"signs that cannot be seen: {seen(text)[:200]}"
    if "--json" in case.words and ran.read:
        try:
            json.loads(ran.out, parse_constant=_no_constant)
        except ValueError as fault:
            return f"no JSON: {fault}"
    if ran.grown > MOST_BYTES:
        return f"{ran.grown / 1e6:.0f} MB"
    if ran.seconds > most_seconds(case):
        return f"{ran.seconds:.1f} s"
    return ""


def most_seconds(case: Case) -> float:
    """Return how much of the processor a case may take. [s]"""
    if case.words[0] == "check":
        return MOST_CHECKING
    return MOST_SEARCHING if case.words[0] in SEARCHING else MOST_SECONDS


def _told(err: str) -> bool:
    return ("error[L" in err and "\nhint: " in err) or "Try '" in err or "Usage" in err


def _no_constant(word: str) -> Any:
    msg = f"{word} in it"
    raise ValueError(msg)
