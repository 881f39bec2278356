"""Layout files that mutation starts from: all that are shipped, and all keys in one."""

from __future__ import annotations

import copy
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from tests.conftest import HAULER

ROOT = Path(__file__).parents[2]


@cache
def _read(name: str) -> dict[str, Any]:
    return tomllib.loads(layouts()[name])


def data_of(name: str) -> dict[str, Any]:
    """Return a layout as plain data, which may be changed."""
    return copy.deepcopy(_read(name))


@cache
def layouts() -> dict[str, str]:
    """Return every shipped layout, those of the tests of slips, and one with most keys."""
    paths = [*sorted((ROOT / "configs").glob("*.toml"))]
    paths += sorted((ROOT / "tests" / "slips").glob("*.toml"))
    found = {path.stem: path.read_text(encoding="utf-8") for path in paths}
    return {**found, "hauler": HAULER}
