"""Which layouts are frozen: every shipped file, and random ones by seed."""

from __future__ import annotations

import zlib
from pathlib import Path

from tests.frozen.layouts import random_text

CONFIGS = Path(__file__).parents[2] / "configs"
#: How many random layouts.
RANDOM = 2000


def keys() -> list[str]:
    """Return the keys of all layouts: shipped files by name, then seeds."""
    shipped = sorted(p.name for p in CONFIGS.glob("*.toml"))
    return [*shipped, *(str(seed) for seed in range(RANDOM))]


def text_of(key: str) -> str:
    """Return the file of a key."""
    if key.isdigit():
        return random_text(int(key))
    return (CONFIGS / key).read_text(encoding="utf-8")


def check_sum(text: str) -> int:
    """Return the check sum of a layout file."""
    return zlib.crc32(text.encode())
