"""Kernels: derived formulas, kept on disk and compiled to NumPy."""

from linkage.formulas.kernels import (
    close,
    coefficients,
    follow,
    moments,
    partials,
    rates,
    ratio,
)
from linkage.formulas.source import MEASURED_NAMES, PARAMETER_NAMES

__all__ = [
    "MEASURED_NAMES",
    "PARAMETER_NAMES",
    "close",
    "coefficients",
    "follow",
    "moments",
    "partials",
    "rates",
    "ratio",
]
