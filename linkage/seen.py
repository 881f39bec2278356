r"""Signs that steer a terminal, turn words round or cannot be seen, shown as what they are.

A title, a path or a word that is told again may hold any sign: one that moves the
cursor, changes colours, lets words run from right to left or makes an SVG that is no
XML. Everything that is printed or drawn goes through `seen`, so that such a sign
stands there as its code, as ``\x1b``; names of parts cannot hold one (`model.names`).

Not here: signs that a terminal has not (`report.signs`).
"""

from __future__ import annotations

import unicodedata
from typing import Final

#: Groups of Unicode that are shown as their code: control, format, surrogate, not
#: assigned, line and paragraph ends. Private signs and spaces stay.
_UNSEEN: Final = frozenset({"Cc", "Cf", "Cs", "Cn", "Zl", "Zp"})


def seen(text: str, *, lines: bool = False) -> str:
    r"""Return text in which every sign can be seen.

    Parameters
    ----------
    text : str
        Anything.
    lines : bool
        Whether line ends and tabs stay as they are.

    >>> print(seen("\x1b[2Jred\u202e\n"))
    \x1b[2Jred\u202e\n
    """
    kept = "\n\t" if lines else ""
    if _plain(text, kept):
        return text
    return "".join(_seen(sign, kept) for sign in text)


def _plain(text: str, kept: str) -> bool:
    """Tell whether every sign can be seen but those that are kept: most texts."""
    for sign in kept:
        text = text.replace(sign, "")
    return text.isprintable()


def _seen(sign: str, kept: str) -> str:
    if sign.isprintable() or sign in kept or unicodedata.category(sign) not in _UNSEEN:
        return sign
    return sign.encode("unicode_escape").decode("ascii")


def seen_json(text: str) -> str:
    r"""Return JSON in which every sign can be seen, and that reads as the same.

    Parameters
    ----------
    text : str
        JSON, indented or not.

    >>> print(seen_json('"a\u202eb"'))
    "a\u202eb"
    """
    return text if _plain(text, "\n") else "".join(_in_json(sign) for sign in text)


def _in_json(sign: str) -> str:
    if _seen(sign, "\n") == sign:
        return sign
    code = sign.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{code[i : i + 2].hex()}" for i in range(0, len(code), 2))
