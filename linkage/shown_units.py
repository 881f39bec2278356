"""Units in which people read results: those of tables and files, and others.

Columns, JSON and CSV keep the units of `SHOWN`, which their names carry. Sentences,
terminal tables, cards and pictures speak those of the layout file, from `SPOKEN`.

Not here: the quantities and their words (`quantities`), text with a unit (`units`).
"""

from __future__ import annotations

import math
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence


@dataclass(frozen=True, slots=True)
class ShownUnit:
    """The unit in which a kind of quantity is shown.

    Parameters
    ----------
    unit : str
        As printed.
    suffix : str
        As written at the end of a column name.
    factor : float
        SI value of one shown unit.
    si : str
        The SI unit that is used inside.
    decimals : int
        Digits after the point in a table.
    """

    unit: str
    suffix: str
    factor: float
    si: str
    decimals: int


_DEG: Final = math.pi / 180

SHOWN: Final[dict[str, ShownUnit]] = {
    "length": ShownUnit("mm", "mm", 1e-3, "m", 1),
    "angle": ShownUnit("°", "deg", _DEG, "rad", 1),
    "force": ShownUnit("N", "N", 1.0, "N", 1),
    "rate": ShownUnit("N/mm", "N_per_mm", 1e3, "N/m", 3),
    "torque": ShownUnit("N·m", "N_m", 1.0, "N·m", 3),
    "torsion rate": ShownUnit("N·m/°", "N_m_per_deg", 1 / _DEG, "N·m/rad", 4),
    "mass": ShownUnit("kg", "kg", 1.0, "kg", 3),
    "time": ShownUnit("s", "s", 1.0, "s", 3),
    "stress": ShownUnit("MPa", "MPa", 1e6, "Pa", 0),
    "temperature": ShownUnit("°C", "degC", 1.0, "°C", 0),
    "fraction": ShownUnit("%", "pct", 0.01, "1", 1),
    "ratio": ShownUnit("", "", 1.0, "1", 3),
    "angle per travel": ShownUnit("°/mm", "deg_per_mm", _DEG / 1e-3, "rad/m", 2),
    "inertia": ShownUnit("kg·m²", "kg_m2", 1.0, "kg·m²", 6),
}

_IN: Final = 0.0254
_LBF: Final = 4.4482216152605
_KGF: Final = 9.80665

#: The same kinds in inches and pounds-force.
INCH: Final[dict[str, ShownUnit]] = {
    "length": ShownUnit("in", "in", _IN, "m", 2),
    "force": ShownUnit("lbf", "lbf", _LBF, "N", 2),
    "rate": ShownUnit("lbf/in", "lbf_per_in", _LBF / _IN, "N/m", 2),
    "torque": ShownUnit("lbf·in", "lbf_in", _LBF * _IN, "N·m", 2),
    "torsion rate": ShownUnit(
        "lbf·in/°", "lbf_in_per_deg", _LBF * _IN / _DEG, "N·m/rad", 3
    ),
    "angle per travel": ShownUnit("°/in", "deg_per_in", _DEG / _IN, "rad/m", 1),
    "mass": ShownUnit("lb", "lb", 0.45359237, "kg", 2),
    "stress": ShownUnit("kpsi", "kpsi", 1000 * _LBF / _IN**2, "Pa", 1),
}

#: The same forces by the kilogram of a spring balance.
KGF: Final[dict[str, ShownUnit]] = {
    "force": ShownUnit("kgf", "kgf", _KGF, "N", 2),
    "rate": ShownUnit("kgf/mm", "kgf_per_mm", 1e3 * _KGF, "N/m", 4),
    "torque": ShownUnit("kgf·cm", "kgf_cm", 1e-2 * _KGF, "N·m", 2),
}

#: Other units in which people may be spoken to, by kind and word.
SPOKEN: Final[dict[str, dict[str, ShownUnit]]] = {
    kind: {
        row.unit: row for rows in (INCH, KGF) for k, row in rows.items() if k == kind
    }
    for kind in INCH
}

_SPEAKS: ContextVar[Mapping[str, ShownUnit]] = ContextVar("speaks", default=SHOWN)
_BOTH: ContextVar[bool] = ContextVar("both", default=False)


def speak_in(words: Mapping[str, str]) -> None:
    """Let sentences speak in other units from here on, in this context.

    Columns and plain data keep their own units, which their names carry.

    Parameters
    ----------
    words : mapping of str to str
        Unit by kind; those that `SPOKEN` does not know are left as they are.
    """
    other = {k: SPOKEN[k][w] for k, w in words.items() if w in SPOKEN.get(k, {})}
    _SPEAKS.set({**SHOWN, **other})


def speak_both(*, both: bool) -> None:
    """Let tables and cut lengths tell the other system of units beside, from here on."""
    _BOTH.set(both)


def other_unit(kind: str) -> ShownUnit | None:
    """Return the unit of the other system; None where it is not asked for, or is the same.

    >>> other_unit("length") is None
    True
    """
    if not _BOTH.get() or kind not in INCH:
        return None
    return SHOWN[kind] if spoken_unit(kind).unit == INCH[kind].unit else INCH[kind]


def spoken_unit(kind: str) -> ShownUnit:
    """Return the unit that sentences speak in, for axes and scripts beside them.

    >>> spoken_unit("length").unit
    'mm'
    """
    return _SPEAKS.get()[kind]


def in_inches() -> bool:
    """Tell whether lengths are spoken of, and so measured, in inches.

    >>> in_inches()
    False
    """
    return spoken_unit("length").unit == "in"


@contextmanager
def closely(kind: str, values: Sequence[float], digits: int) -> Iterator[None]:
    """Let sentences take as many digits more as tell values apart, three at most.

    Parameters
    ----------
    kind : str
        Of the values; a key of `SHOWN`.
    values : sequence of float
        What was found and what is asked. [SI]
    digits : int
        Digits after the point that sentences take otherwise, in the unit of `SHOWN`.

    >>> with closely("ratio", (1.98, 2.0), 1):
    ...     spoken_unit("ratio").decimals - SHOWN["ratio"].decimals
    1
    """
    row = spoken_unit(kind)
    digits = max(digits + row.decimals - SHOWN[kind].decimals, 0)
    there = [value / row.factor for value in values]
    more = next(
        (n for n in range(4) if len({round(v, digits + n) for v in there}) > 1), 0
    )
    finer = replace(row, decimals=row.decimals + more)
    token = _SPEAKS.set({**_SPEAKS.get(), kind: finer})
    try:
        yield
    finally:
        _SPEAKS.reset(token)
