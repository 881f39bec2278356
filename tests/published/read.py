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


@cache
def of_case(path: Path, index: int) -> tuple[Row, ...]:
    """Return every value of one case of a file, ours worked out once."""
    data = load(path)
    case = data["cases"][index]
    got = KINDS[case["kind"]](case["inputs"])
    rows = []
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
    return tuple(rows)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a value stands; ours is not worked out before it is asked for."""

    path: Path
    case: int
    value: int

    @property
    def _case(self) -> dict[str, Any]:
        return load(self.path)["cases"][self.case]

    @property
    def erratum(self) -> str:
        return self._case["values"][self.value].get("erratum", "")

    @property
    def row(self) -> Row:
        return of_case(self.path, self.case)[self.value]

    def __str__(self) -> str:
        name = self._case["values"][self.value]["name"]
        return f"{self.path.name} {self._case['name'][:40]}: {name}"


@dataclass(frozen=True, slots=True)
class Case:
    """A case of a file; its values are not worked out before they are asked for."""

    path: Path
    index: int

    @property
    def rows(self) -> tuple[Row, ...]:
        return of_case(self.path, self.index)

    def __str__(self) -> str:
        return f"{self.path.name} {load(self.path)['cases'][self.index]['name'][:60]}"


def cases() -> list[Case]:
    """Return every case of every file."""
    return [Case(p, i) for p in files() for i in range(len(load(p)["cases"]))]


def places() -> list[Place]:
    """Return where every value of every file stands."""
    return [
        Place(path, i, k)
        for path in files()
        for i, case in enumerate(load(path)["cases"])
        for k in range(len(case["values"]))
    ]


def rows() -> tuple[Row, ...]:
    """Return every value of every file."""
    return tuple(place.row for place in places())
