"""What can go wrong, as types with fields.

The tree, with the code shown to the user and the exit status::

    LinkageError                      L000  70
    ├─ LayoutError (ValueError)       L100   3   the file, a key or a value is wrong
    │  └─ UnitError                   L110   3   a number without its unit, or of another kind
    ├─ AssemblyError (ValueError)     L200   4   the parts cannot be put together
    │  └─ ReachError                  L210   4   a rod is too short or too long to reach
    ├─ UsageError (ValueError)        L300   2   the command line asks for what is not there
    └─ OutputError (OSError)          L400   2   the result cannot be written

Outer layers *add* to an error (its place in the file) and raise the same
object again; they never wrap it, so code and hint are never lost.

Not here: how an error is printed (`report`).
"""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, ClassVar

from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Place:
    """Where in a file an error stands.

    Parameters
    ----------
    path : str
        The file, as the user named it.
    key : str
        Dotted key path, for example ``rods.last.length``.
    line : int, optional
        Counted from 1; None where the line is not known for certain.
    text : str
        The line itself.
    """

    path: str
    key: str = ""
    line: int | None = None
    text: str = ""


class LinkageError(Exception):
    """Base of every error a user can cause.

    Parameters
    ----------
    message : str
        What is wrong, lower case, no full stop.
    hint : str
        What to do next; a traceback shows it too.
    key : tuple of str
        Path of the key in the layout file that is wrong.
    """

    code: ClassVar[str] = "L000"
    exit_code: ClassVar[int] = 70

    def __init__(
        self, message: str, *, hint: str = "", key: tuple[str, ...] = ()
    ) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint
        self.key = key
        self.place: Place | None = None
        #: Lines that are told after the hint: what else may have gone wrong.
        self.also: tuple[str, ...] = ()
        if hint:
            self.add_note(hint)


class LayoutError(LinkageError, ValueError):
    """The layout file, one of its keys or one of its values is wrong."""

    code = "L100"
    exit_code = 3


class UnitError(LayoutError):
    """A number has no unit, or the unit of another quantity."""

    code = "L110"


class AssemblyError(LinkageError, ValueError):
    """The parts cannot be put together in the rest position."""

    code = "L200"
    exit_code = 4


class ReachError(AssemblyError):
    """A rod is too short or too long to reach between its two arms."""

    code = "L210"


class UsageError(LinkageError, ValueError):
    """The command line names something that is not there or not possible."""

    code = "L300"
    exit_code = 2


class OutputError(LinkageError, OSError):
    """The result cannot be written where it was asked for."""

    code = "L400"
    exit_code = 2


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return a hint that names the nearest known word, or all of them.

    >>> did_you_mean("lenght", ["length", "angle"])
    'did you mean `length`?'
    >>> did_you_mean("zzz", ["length", "angle"])
    'known here: length, angle'
    """
    names = list(known)
    close = difflib.get_close_matches(word, names, n=1)
    if close:
        return f"did you mean `{close[0]}`?"
    return "known here: " + ", ".join(names) if names else "none is known here"
