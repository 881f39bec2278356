"""What coverage leaves out says why."""

from __future__ import annotations

import re
from pathlib import Path

PRAGMA = re.compile(r"#\s*pragma:\s*no\s*\w+")
REASONED = re.compile(r"# pragma: no (?:cover|branch): \w+ .{5,}")
FILES = sorted((Path(__file__).parents[2] / "linkage").rglob("*.py"))


def unreasoned(text: str) -> list[int]:
    """Return the lines that are left out of coverage without a word why."""
    return [
        number
        for number, line in enumerate(text.splitlines(), start=1)
        if PRAGMA.search(line) and not REASONED.search(line)
    ]


def test_a_reason_is_asked_for():
    bare, said = "x = 1  # pragma: no cover", "y  # pragma: no branch: never at rest"
    assert unreasoned(f"{bare}\n{said}\n{bare}: no\n") == [1, 3]


def test_every_line_left_out_says_why():
    assert len(FILES) > 100
    bare = {str(p): unreasoned(p.read_text(encoding="utf-8")) for p in FILES}
    assert {path: lines for path, lines in bare.items() if lines} == {}
