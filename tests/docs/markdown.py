"""Blocks of code in a Markdown page."""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parents[2]


@dataclass(frozen=True)
class Block:
    """One fenced block: its language, its text, and the comment that marks it."""

    language: str
    text: str
    mark: str


def blocks(text: str) -> list[Block]:
    """Return every fenced block of a page, in order."""
    pattern = r"(?:^<!-- run: (\w+) -->\n)?^```(\w+)\n(.*?)^```$"
    found = re.finditer(pattern, text, re.DOTALL | re.MULTILINE)
    return [Block(m[2], m[3], m[1] or "") for m in found]


def commands(block: Block) -> list[list[str]]:
    """Return the words of each command of a shell block, the program's name first."""
    joined = block.text.replace("\\\n", " ")
    return [
        shlex.split(line, comments=True) for line in joined.splitlines() if line.strip()
    ]


def read(name: str) -> str:
    """Return a page of the project, by its path from the top."""
    path = ROOT / name
    assert path.is_file(), f"{name} is missing: it must stand at the top of the project"
    return path.read_text(encoding="utf-8")


def links(text: str) -> list[str]:
    """Return the targets of every link and picture outside blocks of code."""
    bare = re.sub(r"^```.*?^```$", "", text, flags=re.DOTALL | re.MULTILINE)
    bare = re.sub(r"`[^`\n]*`", "", bare)
    return re.findall(r"\]\(([^)\s]+)\)", bare)
