"""Layout files that mutation starts from: all that are shipped, and all keys in one."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from tests.conftest import HAULER

ROOT = Path(__file__).parents[2]


@cache
def layouts() -> dict[str, str]:
    """Return every shipped layout, those of the tests of slips, and one with most keys."""
    paths = [*sorted((ROOT / "configs").glob("*.toml"))]
    paths += sorted((ROOT / "tests" / "slips").glob("*.toml"))
    found = {path.stem: path.read_text(encoding="utf-8") for path in paths}
    return {**found, "hauler": HAULER}
