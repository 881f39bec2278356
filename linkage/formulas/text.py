"""Text of formulas as Python: one function each, common parts taken out.

Not here: which formulas (`formulas.write`), deriving them (`formulas.derivation`).
"""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Final

import sympy as sp
from sympy.printing.pycode import PythonCodePrinter

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

#: A space at which no line is broken.
_FIXED: Final = "\N{NO-BREAK SPACE}"


class _Printer(PythonCodePrinter):  # type: ignore[misc]
    """Python's arithmetic, with a sum begun by a term that needs no minus sign."""

    def __init__(self) -> None:
        super().__init__({"fully_qualified_modules": False})

    def _print_Pow(self, expr: sp.Pow, **options: object) -> str:  # noqa: N802
        """Write a square as a product: for a float that is not always its power."""
        if expr.exp == 2 and expr.base.is_Symbol:
            return f"({expr.base}*{expr.base})"
        return str(super()._print_Pow(expr, **options))

    def _print_Add(self, expr: sp.Add, order: str | None = None) -> str:  # noqa: N802
        """Save the pass over an array that turning a sign takes."""
        text: str = super()._print_Add(expr, order=order)
        terms = [self._print(t) for t in self._as_ordered_terms(expr, order=order)]
        ahead = [t for t in terms if not t.startswith("-")]
        if not text.startswith("-") or not ahead:
            return text
        return " - ".join(
            [" + ".join(ahead), *(t[1:] for t in terms if t.startswith("-"))]
        )


def write_function(
    name: str,
    arguments: Sequence[sp.Symbol],
    results: Mapping[str, sp.Expr],
    *,
    means: str,
    given: Mapping[sp.Symbol, sp.Expr] | None = None,
) -> str:
    """Return the source of one function, common parts taken out.

    Parameters
    ----------
    name : str
        Name of the function.
    arguments : sequence of Symbol
        In the order of its parameters.
    results : mapping of str to Expr
        What it returns, as a tuple, by the names that it gets inside.
    means : str
        Its docstring.
    given : mapping of Symbol to Expr, optional
        Symbols that the results are written in, computed first.

    Returns
    -------
    str
        Source that uses only arithmetic and ``sqrt``, ``cos``, ``sin``.
    """
    printer = _Printer()
    given = given or {}
    begun = iter(sp.numbered_symbols("t"))
    steps: list[tuple[object, sp.Expr]] = []
    whole = [
        (list(given), list(given.values())),
        ([sp.Symbol(n) for n in results], list(results.values())),
    ]
    for symbols, expressions in whole:
        shared, reduced = sp.cse(expressions, symbols=begun, order="none")
        steps += [*shared, *zip(symbols, reduced, strict=True)]
    names = ", ".join(f"{a}:{_FIXED}Any" for a in arguments)
    lines = _wrapped(f"def {name}(", names, ") -> tuple[Any, ...]:")
    lines.append(f'    """{means}"""')
    for symbol, expr in steps:
        if str(symbol) != (text := printer.doprint(expr)):
            lines += _wrapped(f"    {symbol} = ", text, "")
    names = ", ".join(results) + ("," if len(results) == 1 else "")
    return "\n".join([*lines, *_wrapped("    return ", names, "")])


def _wrapped(before: str, text: str, after: str, width: int = 88) -> list[str]:
    """Return a statement on one line, or its long part on lines within brackets."""
    if len(before + text + after) <= width:
        return [(before + text + after).replace(_FIXED, " ")]
    opened, closed = ("", "") if before.endswith("(") else ("(", ")")
    margin = " " * (len(before) - len(before.lstrip()))
    inner = textwrap.wrap(
        text,
        width,
        initial_indent=margin + "    ",
        subsequent_indent=margin + "    ",
        break_long_words=False,
        break_on_hyphens=False,
    )
    inner = [line.replace(_FIXED, " ") for line in inner]
    return [before + opened, *inner, margin + closed + after]


def write_names(name: str, means: str, symbols: Sequence[sp.Symbol]) -> str:
    """Return the source of a tuple of the names of symbols."""
    words = ", ".join(f'"{s}"' for s in symbols)
    return "\n".join([f"#: {means}", *_wrapped(f"{name} = ", words, "")])
