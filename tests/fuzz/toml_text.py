"""Plain data as TOML text, with values that are written as they are, sound or not."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, time
from typing import Any


@dataclass(frozen=True)
class Raw:
    """Text that stands for a value, whether or not it is one."""

    text: str


def text_of(text: str) -> str:
    """Return a string as TOML writes it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def value_of(value: Any) -> str:
    """Return a value as it stands behind its key."""
    match value:
        case Raw():
            return value.text
        case bool():
            return "true" if value else "false"
        case str():
            return text_of(value)
        case list():
            return "[" + ", ".join(map(value_of, value)) + "]"
        case dict():
            inner = ", ".join(f"{text_of(k)} = {value_of(v)}" for k, v in value.items())
            return "{ " + inner + " }"
        case date() | time():
            return value.isoformat()
    return repr(value)


def dumped(data: dict[str, Any]) -> str:
    """Return a whole file: values first, then a table for each table in it."""
    lines: list[str] = []
    _table(data, (), lines)
    return "\n".join(lines) + "\n"


def _table(table: dict[str, Any], path: tuple[str, ...], lines: list[str]) -> None:
    deep = {k: v for k, v in table.items() if isinstance(v, dict) and len(path) < 2}
    if path:
        lines.append("[" + ".".join(map(text_of, path)) + "]")
    lines += [
        f"{text_of(k)} = {value_of(v)}" for k, v in table.items() if k not in deep
    ]
    for key, inner in deep.items():
        _table(inner, (*path, key), lines)
