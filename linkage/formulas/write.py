"""Write the derived formulas as a module: ``python -m linkage.formulas.write``.

Run it after a change of `derivation`. What it writes, `formulas.derived`, travels
with the package, so that nobody who uses it waits for sympy; a test holds the
file against a fresh derivation.

Not here: deriving (`formulas.derivation`), calling (`formulas.kernels`).
"""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Final

import sympy as sp
from sympy.printing.pycode import PythonCodePrinter

from linkage.formulas import derivation as c

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

#: Where the module stands.
PLACE: Final = Path(__file__).with_name("derived.py")

#: A space at which no line is broken.
_FIXED: Final = "\N{NO-BREAK SPACE}"

_HEAD: Final = '''"""The derived formulas, as plain arithmetic over NumPy.

Written by ``python -m linkage.formulas.write`` from `formulas.derivation`: never
edit it. The names are the derivation's own; lengths in m, angles in rad.

Not here: shapes, blocks and units (`formulas.kernels`).
"""

from __future__ import annotations

from typing import Any

from numpy import cos, sin, sqrt
'''


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


def module_text() -> str:
    """Derive every formula and return the text of `formulas.derived`."""
    before, after = (c.C1, c.S1), (c.C2, c.S2)
    position = (*before, *after, *c.REDUCED)
    cosine, sine, reach = c.closed_form()
    ahead, aside = c.ray()
    a, b, k = c.abk()
    # Where the loop is closed C2 b - S2 a, the driven moment, is the branch's root.
    root = c.sigma * sp.sqrt(a**2 + b**2 - k**2)
    functions = [
        write_function(
            "coefficients",
            c.PARAMETERS,
            {str(s): e for s, e in c.coefficients_of_arms().items()},
            means="Return the nine reduced coefficients of a rod.",
            given=c.arms(),
        ),
        write_function(
            "close",
            (*before, *c.REDUCED, c.sigma),
            {"C2": cosine, "S2": sine, "reach": reach},
            means="Return cosine and sine of the driven turn, and the reach.",
        ),
        write_function(
            "close_moments",
            (*before, *c.REDUCED, c.sigma),
            {
                "C2": cosine,
                "S2": sine,
                "reach": reach,
                "driver": c.driver_moment(),  # in C2 and S2, which are known by then
                "driven": root,
            },
            means="Return what `close` and `moments` do, common parts worked out once.",
        ),
        write_function(
            "ray",
            (c.T1, *c.REDUCED, c.sigma),
            {"y": ahead, "x": aside},
            means="Return a point in the direction of the driven turn, sine first.",
        ),
        write_function(
            "moments",
            position,
            {"driver": c.driver_moment(), "driven": c.driven_moment()},
            means="Return the loop's derivatives by the driver's and the driven turn.",
        ),
        write_function(
            "miss",
            position,
            {"miss": c.reduced_loop()},
            means="Return the loop itself, zero where it is closed.",
        ),
        write_function(
            "rates",
            position,
            {"first": c.ratio(), "second": c.curvature()},
            means="Return first and second derivative of the driven turn.",
        ),
        write_function(
            "ratio",
            position,
            {"first": c.ratio()},
            means="Return the first derivative of the driven turn.",
        ),
        write_function(
            "partials",
            (*before, *after, *c.PARAMETERS),
            {f"by_{p}": c.partials()[p] for p in c.MEASURED},
            means="Return the change of the driven turn by each measured parameter.",
        ),
    ]
    names = [
        _names("PARAMETER_NAMES", "Parameters of a rod, in their order.", c.PARAMETERS),
        _names("MEASURED_NAMES", "Those that `partials` returns.", c.MEASURED),
    ]
    return "\n".join([_HEAD, *names, *(f"\n\n{f}" for f in functions), ""])


def _names(name: str, means: str, symbols: Sequence[sp.Symbol]) -> str:
    words = ", ".join(f'"{s}"' for s in symbols)
    return "\n".join([f"#: {means}", *_wrapped(f"{name} = ", words, "")])


if __name__ == "__main__":
    PLACE.write_text(module_text(), encoding="utf-8")
