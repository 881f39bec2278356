"""Formulas: derived in symbols, kept as source, called over NumPy arrays."""

from linkage.formulas.derived import MEASURED_NAMES, PARAMETER_NAMES
from linkage.formulas.kernels import (
    close,
    close_moments,
    coefficients,
    follow,
    miss,
    moments,
    partials,
    rates,
    ratio,
)

__all__ = [
    "MEASURED_NAMES",
    "PARAMETER_NAMES",
    "close",
    "close_moments",
    "coefficients",
    "follow",
    "miss",
    "moments",
    "partials",
    "rates",
    "ratio",
]
