"""An error as text: code, what, where, the line, what to do.

Not here: printing it (`cli`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.report.lines import terminal_width, wrapped
from linkage.seen import seen

if TYPE_CHECKING:
    from linkage.errors import LinkageError, Place

#: Longer lines of a file are cut.
_WIDTH = 100


def render_error(error: LinkageError) -> str:
    r"""Return an error as the lines that a person reads.

    Parameters
    ----------
    error : LinkageError
        With its place, where that is known.

    Returns
    -------
    str
        Without a line end.

    Examples
    --------
    >>> from linkage.errors import LayoutError, Place
    >>> error = LayoutError("unknown key `rodd`", hint="did you mean `rods`?")
    >>> error.place = Place("car.toml", "rodd", 4, "[rodd.last]")
    >>> print(render_error(error))
    error[L100]: unknown key `rodd`
      --> car.toml:4  rodd
      |
    4 | [rodd.last]
    <BLANKLINE>
    hint: did you mean `rods`?
    """
    lines = _fitted(f"error[{error.code}]: {seen(error.message)}")
    if error.place is not None:
        lines += _where(error.place)
    elif error.key:
        lines.append(f"  --> {seen('.'.join(error.key))}")
    if error.hint:
        lines += ["", *_fitted(f"hint: {seen(error.hint)}")]
    if error.also:
        lines += ["", *map(seen, error.also)]
    return "\n".join(lines)


def _fitted(text: str) -> list[str]:
    """Return text as lines of the terminal; in a file or a pipe it is one line."""
    width = terminal_width()
    return [text] if width is None else wrapped(text, "  ", width=width, first="")


def _where(place: Place) -> list[str]:
    at = place.path if place.line is None else f"{place.path}:{place.line}"
    head = f"  --> {seen(at)}"
    if place.key:
        head += f"  {seen(place.key)}"
    if place.line is None or not place.text.strip():
        return [head]
    number = str(place.line)
    text = seen(place.text.strip())
    if len(text) > _WIDTH:
        text = text[: _WIDTH - 3] + "..."
    gap = " " * len(number)
    return [head, f"{gap} |", f"{number} | {text}"]
