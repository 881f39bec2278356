"""Formulas of SymPy as text of a page."""

from __future__ import annotations

import sympy as sp


def show(*equations: sp.Expr) -> str:
    """Return formulas as text."""
    body = "\n\n".join(
        sp.pretty(e, use_unicode=True, wrap_line=False) for e in equations
    )
    lines = "\n".join(line.rstrip() for line in body.splitlines())
    return f"```text\n{lines}\n```\n"
