"""Standard output and error that may be full, closed, or read by nobody.

What cannot be written is counted and not raised, so that no library's print
becomes a traceback; at the end it is told whether the answer went out.

Not here: printing (`cli`), files (`files`), signs a stream has not (`report.signs`).
"""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from typing import TYPE_CHECKING, Any, Final, cast

if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import TextIO

#: Handles of standard input, output and error.
_STANDARD: Final = (0, 1, 2)


class Spared:
    """A text stream that takes what the place behind it cannot.

    Parameters
    ----------
    stream : file, optional
        The stream; none where it was closed before the program began.
    """

    def __init__(self, stream: TextIO | None) -> None:
        self._stream = stream
        self._fault: OSError | None = None
        self._lost = False

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401
        if self._stream is None:
            raise AttributeError(name)
        return getattr(self._stream, name)

    @property
    def encoding(self) -> str:
        """Of the stream, or any."""
        return getattr(self._stream, "encoding", None) or "utf-8"

    def isatty(self) -> bool:
        """Tell whether it is a terminal."""
        try:
            return self._stream is not None and self._stream.isatty()
        except ValueError:  # closed meanwhile
            return False

    def write(self, text: str) -> int:
        """Write text as far as there is room."""
        if self._stream is None or self._fault is not None:
            self._lost = self._lost or bool(text)
        else:
            try:
                self._stream.write(text)
            except (OSError, ValueError) as fault:
                self._fail(fault)
        return len(text)

    def writelines(self, lines: list[str]) -> None:
        """Write several pieces of text."""
        for line in lines:
            self.write(line)

    def flush(self) -> None:
        """Send on what was written."""
        if self._stream is not None and self._fault is None:
            try:
                self._stream.flush()
            except (OSError, ValueError) as fault:
                self._fail(fault)

    def _fail(self, fault: Exception) -> None:
        closed = OSError(errno.EBADF, "it is closed")
        self._fault = fault if isinstance(fault, OSError) else closed
        self._lost = True
        # What waits in the stream goes nowhere, or the interpreter would complain
        # of it at its end.
        with contextlib.suppress(OSError, ValueError, AttributeError):
            handle = os.open(os.devnull, os.O_WRONLY)
            os.dup2(handle, cast("TextIO", self._stream).fileno())
            os.close(handle)

    def lost(self) -> OSError | None:
        """Return why something that was written did not go out, or None."""
        self.flush()
        if not self._lost:
            return None
        return self._fault or OSError(errno.EBADF, "it is closed")


@contextlib.contextmanager
def spared() -> Iterator[Spared]:
    """Let standard output and error never fail.

    Handles that were closed before lead nowhere, so that no file that is opened
    later takes their numbers and what is printed.

    Yields
    ------
    Spared
        Standard output.
    """
    if sys.stdout is sys.__stdout__:
        for handle in _STANDARD:
            try:
                os.fstat(handle)
            except OSError:
                os.open(os.devnull, os.O_RDWR)  # takes the lowest number
    out, err = sys.stdout, sys.stderr
    answer, words = Spared(out), Spared(err)
    sys.stdout, sys.stderr = cast("TextIO", answer), cast("TextIO", words)
    try:
        yield answer
    finally:
        answer.flush()
        words.flush()
        sys.stdout, sys.stderr = out, err
