"""Turn the derived formulas into plain Python source for NumPy.

The source is text so that it can be kept on disk: a later run compiles it
without importing sympy at all.

Not here: keeping it (`formulas.store`), calling it (`formulas.kernels`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence


def write_function(name: str, arguments: Sequence[Any], results: Sequence[Any]) -> str:
    """Return the source of one function, common parts taken out.

    Parameters
    ----------
    name : str
        Name of the function.
    arguments : sequence of Symbol
        In the order of its parameters.
    results : sequence of Expr
        What it returns, as a tuple.

    Returns
    -------
    str
        Source that uses only arithmetic and ``sqrt``, ``cos``, ``sin``.
    """
    import sympy as sp
    from sympy.printing.pycode import PythonCodePrinter

    printer = PythonCodePrinter({"fully_qualified_modules": False})
    shared, reduced = sp.cse(
        list(results), symbols=sp.numbered_symbols("t"), order="none"
    )
    lines = [f"def {name}({', '.join(str(a) for a in arguments)}):"]
    lines += [f"    {symbol} = {printer.doprint(expr)}" for symbol, expr in shared]
    lines.append("    return (" + ", ".join(printer.doprint(e) for e in reduced) + ",)")
    return "\n".join(lines)


def derive_sources() -> dict[str, str]:
    """Derive every formula and return its source, by function name.

    Takes about a second, most of it the import of sympy; `formulas.store`
    keeps the result.
    """
    from linkage.formulas import derivation as c

    turn1, turn2 = (c.C1, c.S1), (c.C2, c.S2)
    position = (*turn1, *turn2, *c.REDUCED)
    values = c.coefficients()
    by_parameter = c.partials()
    return {
        "coefficients": write_function(
            "coefficients", c.PARAMETERS, [values[s] for s in c.REDUCED]
        ),
        "close": write_function(
            "close", (*turn1, *c.REDUCED, c.sigma), c.closed_form()
        ),
        "moments": write_function(
            "moments", position, (c.driver_moment(), c.driven_moment())
        ),
        "rates": write_function("rates", position, (c.ratio(), c.curvature())),
        "ratio": write_function("ratio", position, (c.ratio(),)),
        "partials": write_function(
            "partials",
            (*turn1, *turn2, *c.PARAMETERS),
            [by_parameter[p] for p in c.MEASURED],
        ),
    }


#: Parameters of the compiled functions, by the symbols of the derivation.
PARAMETER_NAMES = (
    "R",
    "alpha1",
    "s1",
    "c1x",
    "c1y",
    "c1z",
    "u1x",
    "u1y",
    "u1z",
    "v1x",
    "v1y",
    "v1z",
    "n1x",
    "n1y",
    "n1z",
    "r",
    "alpha2",
    "s2",
    "c2x",
    "c2y",
    "c2z",
    "u2x",
    "u2y",
    "u2z",
    "v2x",
    "v2y",
    "v2z",
    "n2x",
    "n2y",
    "n2z",
    "L",
)
#: Parameters that have a sensitivity, in the order of ``partials``.
MEASURED_NAMES = (
    "R",
    "alpha1",
    "s1",
    "c1x",
    "c1y",
    "c1z",
    "r",
    "alpha2",
    "s2",
    "c2x",
    "c2y",
    "c2z",
    "L",
)
