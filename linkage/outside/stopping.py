"""A run that is stopped from outside leaves nothing half-done behind.

In the command line Ctrl-C, a request to end and a terminal that goes away end
the process at once: inside an import or compiled code an exception could come
up as another one, or be swallowed.

Little is loaded here, as it is the first of all.

Not here: what is there for a moment only (`staging`).
"""

from __future__ import annotations

import contextlib
import os
import signal
from typing import TYPE_CHECKING, Final, NoReturn

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

#: What stops a run, where the system knows it: Ctrl-C, a request, no terminal.
_SIGNALS: Final = tuple(
    getattr(signal, name)
    for name in ("SIGINT", "SIGTERM", "SIGHUP")
    if hasattr(signal, name)
)
#: What is told when a run is stopped.
STOPPED: Final = "stopped; nothing half-written is left"
#: What is done before the process ends.
at_end: Final[list[Callable[[], None]]] = []
#: Depth of `held`, and the signal that came in it.
_held: Final[list[int]] = []
_came: Final[list[int]] = []


@contextlib.contextmanager
def stoppable(*, alone: bool = True) -> Iterator[None]:
    """Let signals end the process: what is temporary goes, the status says which.

    The status is 128 and the number of the signal, as shells have it. A signal
    that was ignored before stays so. Elsewhere than in the main thread nothing
    is changed.

    Parameters
    ----------
    alone : bool
        Whether the process is the command line's and nobody else's; if not,
        nothing is changed either.

    Yields
    ------
    None
        Once it is so.
    """
    before = {}
    try:
        for number in _SIGNALS if alone else ():
            if signal.getsignal(number) not in {None, signal.SIG_IGN}:
                before[number] = signal.signal(number, _stop)
    except ValueError:  # not the main thread
        before.clear()
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _stop(number: int, _: object) -> None:  # pragma: no cover: ends the process
    if _held:
        _came.append(number)
    else:
        _end(number)


# Lines that nothing counts, as the process ends with them: tests/unit/test_staging.py and
# the drills watch them from outside.
def _end(number: int) -> NoReturn:  # pragma: no cover: ends the process
    for action in at_end:
        action()
    words = STOPPED if not os.isatty(2) else f"\n{STOPPED}"
    with contextlib.suppress(OSError):
        os.write(2, f"{words}\n".encode())
    os._exit(128 + number)


@contextlib.contextmanager
def held() -> Iterator[None]:
    """Let a signal wait while several files are put in their places.

    Yields
    ------
    None
        While it waits.
    """
    _held.append(1)
    try:
        yield
    finally:
        _held.pop()
        if _came and not _held:
            _end(_came.pop())
