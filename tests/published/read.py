"""Read the data files of published values, one row a value."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from tests.published.measure import KINDS

HERE = Path(__file__).parent
MARKS = {"seen", "from memory", "computed"}
#: A formula is evaluated in the same floats as ours; only rounding may differ.
FORMULA_TOLERANCE = Decimal("1e-9")


def half_unit(text: str) -> Decimal:
    """Return half a unit of the last printed digit.

    >>> half_unit("12.35")
    Decimal('0.005')
    >>> half_unit("105.2e9")
    Decimal('5E+7')
    """
    exponent = Decimal(text).as_tuple().exponent
    assert isinstance(exponent, int)
    return Decimal(5).scaleb(exponent - 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One value: what is printed or a formula gives, and what this program gives."""

    file: str
    source: dict[str, str]
    case: str
    name: str
    mark: str
    printed: str
    ours: Decimal
    tolerance: Decimal
    erratum: str
    formula: bool

    @property
    def difference(self) -> Decimal:
        return self.ours - Decimal(self.printed)


def _decimal(value: float | Decimal) -> Decimal:
    return value if isinstance(value, Decimal) else Decimal(repr(float(value)))


def files() -> list[Path]:
    return sorted(HERE.glob("*.toml"))


def load(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _rows(path: Path) -> list[Row]:
    data = load(path)
    rows = []
    for case in data["cases"]:
        got = KINDS[case["kind"]](case["inputs"])
        for value in case["values"]:
            ours = got[value["name"]]
            formula = bool(value.get("formula"))
            if formula:
                ours, should = ours
                printed, tolerance = repr(float(should)), FORMULA_TOLERANCE
            else:
                printed = value["printed"]
                tolerance = half_unit(printed)
            if "tolerance" in value:
                tolerance = Decimal(value["tolerance"])
            rows.append(
                Row(
                    file=path.name,
                    source=data["source"],
                    case=case["name"],
                    name=value["name"],
                    mark=value["mark"],
                    printed=printed,
                    ours=_decimal(ours),
                    tolerance=tolerance,
                    erratum=value.get("erratum", ""),
                    formula=formula,
                )
            )
    return rows


@cache
def rows() -> tuple[Row, ...]:
    """Return every value of every file, ours worked out once."""
    return tuple(row for path in files() for row in _rows(path))
