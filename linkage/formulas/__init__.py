"""Formulas: derived in symbols, kept as source, called over NumPy arrays."""

from linkage.formulas.cam_kernels import PinWay, pin_way
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
from linkage.formulas.run_kernels import (
    arm_by_radius,
    arm_coefficients,
    arm_rates,
    arm_run,
    arm_turn,
    drum_at_rest,
    drum_by_radius,
    drum_run,
    drum_wound,
)
from linkage.formulas.slide_kernels import (
    close_slide,
    slide_coefficients,
    slide_miss,
    slide_moments,
    slide_partials,
    slide_rates,
)

__all__ = [
    "MEASURED_NAMES",
    "PARAMETER_NAMES",
    "PinWay",
    "arm_by_radius",
    "arm_coefficients",
    "arm_rates",
    "arm_run",
    "arm_turn",
    "close",
    "close_moments",
    "close_slide",
    "coefficients",
    "drum_at_rest",
    "drum_by_radius",
    "drum_run",
    "drum_wound",
    "follow",
    "miss",
    "moments",
    "partials",
    "pin_way",
    "rates",
    "ratio",
    "slide_coefficients",
    "slide_miss",
    "slide_moments",
    "slide_partials",
    "slide_rates",
]
