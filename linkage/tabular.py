"""Results as columns: for a DataFrame, and as a small table in a notebook.

A result that is made of columns of one length says which; what asks for all of
them together stands here, once. It knows no result and depends on nothing, so
that results of every layer can use it.

Not here: tables for a terminal, CSV and JSON (`report`).
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING, Any, Final

from linkage.errors import UsageError
from linkage.quantities import QUANTITIES, SHOWN

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from pandas import DataFrame

#: Most rows of a table in a notebook; of more, so many are shown, evenly taken.
MOST_ROWS: Final = 11
#: With these a spreadsheet begins what it works out.
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


class Tabular(ABC):
    """A result that can be told as columns of one length."""

    __slots__ = ()

    @abstractmethod
    def columns(self) -> dict[str, Any]:
        """Return the columns by their name with unit, in shown units.

        Names and units are those of CSV and JSON. Numbers are arrays of shape
        (n,), with nan where there is none; words are lists.
        """

    def to_frame(self) -> DataFrame:
        """Return the columns as a DataFrame of pandas.

        Raises
        ------
        UsageError
            If pandas is not installed; `columns` does without it.
        """
        try:
            import pandas  # noqa: ICN001, PLC0415 - no dependency
        except ImportError as error:
            msg = "pandas is not installed, so there is no DataFrame"
            hint = "pip install pandas; or take columns(), plain arrays by name"
            raise UsageError(msg, hint=hint) from error
        return pandas.DataFrame(self.columns())

    def _repr_html_(self) -> str:
        found = self.columns()
        total = max(map(len, found.values()), default=0)
        rows = [[cell(v[i]) for v in found.values()] for i in spread_over(total)]
        return html_table(repr(self).strip("<>"), list(found), rows)


def column_words(names: Iterable[str], taken: Iterable[str] = ()) -> dict[str, str]:
    """Return what parts are called in names of columns: no spaces, and no two alike.

    Parameters
    ----------
    names : iterable of str
        Of parts, in the file's order.
    taken : iterable of str
        Words that have another meaning there.

    Returns
    -------
    dict of str to str
        By name. The second of two that would be called alike gets a number.

    >>> column_words(["a b", "a_b", "both"], taken=["both"])
    {'a b': 'a_b', 'a_b': 'a_b_2', 'both': 'both_2'}
    """
    used = set(taken)
    out = {}
    for name in names:
        word = plain = name.replace(" ", "_")
        number = 2
        while word in used:
            word, number = f"{plain}_{number}", number + 1
        used.add(word)
        out[name] = word
    return out


def csv_word(text: str) -> str:
    """Return a word of a table that no spreadsheet takes for a formula.

    A quotation mark before it makes it text, as the page on CSV injection of OWASP
    advises (from memory). Numbers are not words: they stay what they are.

    >>> csv_word("=1+1_throttle_angle_deg"), csv_word("pad_travel_mm")
    ("'=1+1_throttle_angle_deg", 'pad_travel_mm')
    """
    return f"'{text}" if text.startswith(_FORMULA) else text


def put(out: dict[str, Any], name: str, values: Any, of: str = "") -> None:  # noqa: ANN401
    """Add a column of a quantity, named as everywhere and in its shown unit.

    Parameters
    ----------
    out : dict of str to ndarray
        The columns so far.
    name : str
        Of the quantity: a key of `QUANTITIES`.
    values : ndarray
        [SI]
    of : str
        The part it belongs to, where there are several: its word of `column_words`.

    >>> columns = {}
    >>> put(columns, "shaft turn", 0.0, "cross_shaft")
    >>> columns
    {'cross_shaft_shaft_turn_deg': 0.0}
    """
    row = QUANTITIES[name]
    key = f"{of}_{row.column}" if of else row.column
    out[key] = values / SHOWN[row.kind].factor


def spread_over(total: int, most: int = MOST_ROWS) -> list[int]:
    """Return indices of the rows to show, evenly taken, first and last among them.

    >>> spread_over(3), spread_over(9, 3)
    ([0, 1, 2], [0, 4, 8])
    """
    if total <= most:
        return list(range(total))
    return [round(i * (total - 1) / (most - 1)) for i in range(most)]


def cell(value: Any) -> str:  # noqa: ANN401
    """Return a value as it stands in a table; a dash where there is none.

    >>> cell(0.12345), cell(float("nan")), cell(True), cell(("a", 2.0))
    ('0.123', '-', 'yes', 'a, 2')
    """
    if isinstance(value, str):
        return value
    if isinstance(value, list | tuple):
        return ", ".join(map(cell, value))
    if value is None or value != value:  # noqa: PLR0124 - nan alone differs from itself
        return "-"
    if value is True or value is False or type(value).__name__ == "bool":
        return "yes" if value else "no"
    return f"{round(float(value), 3) + 0.0:.10g}"


def html_table(
    title: str, head: Sequence[str], rows: Iterable[Sequence[str]], note: str = ""
) -> str:
    """Return a table for a notebook; every word is escaped.

    Parameters
    ----------
    title : str
        Above it.
    head : sequence of str
        Names of the columns.
    rows : iterable of sequence of str
        Each as long as the head.
    note : str
        Below it; nothing where empty.
    """
    from html import escape  # noqa: PLC0415 - its table of signs is long

    def line(tag: str, cells: Iterable[str]) -> str:
        return "<tr>" + "".join(f"<{tag}>{escape(c)}</{tag}>" for c in cells) + "</tr>"

    body = "".join(line("td", row) for row in rows)
    below = f"<p>{escape(note)}</p>" if note else ""
    return (
        f"<table><caption>{escape(title)}</caption><thead>{line('th', head)}</thead>"
        f"<tbody>{body}</tbody></table>{below}"
    )
