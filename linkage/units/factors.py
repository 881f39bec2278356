"""Factors and offsets of units, as pint has them.

Written by ``python -m linkage.units.write`` from `units.table`: never edit it. pint
takes its constants from CODATA and NIST.
"""

from __future__ import annotations

from typing import Final

#: By kind and word: (factor, offset) with SI = factor * number + offset.
FACTORS: Final[dict[str, dict[str, tuple[float, float]]]] = {
    "length": {
        "cm": (0.01, 0.0),
        "in": (0.0254, 0.0),
        "ft": (0.3048, 0.0),
    },
    "force": {
        "kgf": (9.80665, 0.0),
        "lbf": (4.4482216152605, 0.0),
    },
    "rate": {
        "lbf/in": (175.1268352464764, 0.0),
        "kgf/mm": (9806.65, 0.0),
    },
    "torque": {
        "N·mm": (0.001, 0.0),
        "lbf·in": (0.1129848290276167, 0.0),
        "lbf·ft": (1.3558179483314003, 0.0),
        "kgf·cm": (0.0980665, 0.0),
    },
    "torsion rate": {
        "N·mm/deg": (0.05729577951308232, 0.0),
        "lbf·in/deg": (6.47355385228963, 0.0),
    },
    "mass": {
        "g": (0.001, 0.0),
        "lb": (0.45359237, 0.0),
    },
    "time": {
        "ms": (0.001, 0.0),
    },
    "stress": {
        "GPa": (1000000000.0, 0.0),
        "psi": (6894.757293168362, 0.0),
        "kpsi": (6894757.293168361, 0.0),
    },
    "temperature": {
        "degF": (0.5555555555555556, -17.77777777777778),
    },
    "angle per travel": {
        "deg/in": (0.6871375007851691, 0.0),
    },
    "inertia": {
        "kg·cm²": (0.0001, 0.0),
        "kg·mm²": (1e-06, 0.0),
        "g·cm²": (1e-07, 0.0),
    },
}
