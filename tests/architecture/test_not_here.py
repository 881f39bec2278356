"""Where a module says that something is elsewhere, that place is there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

LINKAGE = Path(__file__).parents[2] / "linkage"
ELSEWHERE = re.compile(r"Not here:(.*?)(?:\n\n|\Z)", re.DOTALL)


def named(path: Path) -> list[str]:
    """Return the places that a module's own docstring names as not here."""
    doc = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    return [
        n for part in ELSEWHERE.findall(doc) for n in re.findall(r"`+([^`]+)`+", part)
    ]


def stands(place: str, beside: Path) -> bool:
    """Tell whether a file, a module or a room of that name is there."""
    if (beside / place).is_file():
        return True
    way = place.replace(".", "/")
    return any(
        (top / f"{way}.py").is_file() or (top / way / "__init__.py").is_file()
        for top in (LINKAGE, beside)
    )


def test_what_is_not_here_is_where_it_is_said_to_be():
    said = {path: named(path) for path in sorted(LINKAGE.rglob("*.py"))}
    assert len([path for path, places in said.items() if places]) > 100
    assert [
        f"{path.relative_to(LINKAGE)}: {place}"
        for path, places in said.items()
        for place in places
        if not stands(place, path.parent)
    ] == []


def test_a_place_that_is_not_there_is_seen():
    assert stands("model.rows", LINKAGE / "motion")
    assert stands("sweep", LINKAGE / "motion")
    assert not stands("nowhere", LINKAGE / "motion")
