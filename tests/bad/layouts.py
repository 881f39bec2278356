"""Bad layout files by seed: a sound layout with one to three mistakes of a workshop.

The text of a shipped layout is parsed, altered and written again; nothing of the
package is used, and only ``random.Random(seed).random()`` is drawn, so that a seed
gives the same text for ever, as long as the shipped layout stays as it is.

Not here: the mistakes (`tests.bad.mistakes`), which seeds are taken (`seeds.json`).
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from tests.bad.chance import Chance
from tests.bad.mistakes import MISTAKES
from tests.bad.parts import NoSuchPartError

#: The layouts that come with the program.
CONFIGS = Path(__file__).parents[2] / "configs"
#: The sound ones, from which a bad one is made.
SOUND = (
    "bulkhead-cross-shaft",
    "down-pull-side-draught",
    "hanging-pedal",
    "scenario-before",
    "scenario-cured",
    "swapped-crossed-pull",
    "swapped-push-rod",
    "twin-side-draught",
    "up-pull-side-draught",
)
#: Share of the files in inches.
INCHES = 0.15
#: Millimetres an inch.
INCH = 25.4
#: Keys whose bare numbers are lengths.
LENGTHS = frozenset(
    {
        "pivot", "bearing", "length", "offset", "play", "diameter", "travel", "stop",
        "free_play", "bore", "spindle", "anchor", "free_length", "greatest_length",
        "point", "lift", "slot", "lost",
    }
)  # fmt: skip


@cache
def _text(name: str) -> str:
    return (CONFIGS / f"{name}.toml").read_text(encoding="utf-8")


def shipped(name: str) -> str:
    """Return the text of a layout that comes with the program."""
    return _text(name)


def _inches(table: dict[str, Any]) -> dict[str, Any]:
    """Return a table with its bare lengths in inches, to a ten-thousandth."""

    def inch(value: Any) -> Any:
        if isinstance(value, list):
            return [inch(v) for v in value]
        if isinstance(value, (int, float)):
            return round(value / INCH, 4)
        return value

    out = {}
    for key, value in table.items():
        if isinstance(value, dict):
            out[key] = _inches(value)
        else:
            out[key] = inch(value) if key in LENGTHS else value
    return out


def _key(name: str) -> str:
    plain = name.replace("_", "").replace("-", "")
    return name if plain.isascii() and plain.isalnum() else f'"{name}"'


def _value(value: Any) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, dict):
        inner = ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items())
        return f"{{ {inner} }}"
    return repr(round(value, 4)) if isinstance(value, float) else str(value)


def written(table: dict[str, Any]) -> str:
    """Return the text of a layout file from what it parses to."""
    named = ("shafts", "rods", "throttles", "springs", "stops")
    lines = [
        f"{key} = {_value(value)}"
        for key, value in table.items()
        if key == "units" or not isinstance(value, dict)
    ]
    for key, value in table.items():
        if key in named:
            blocks = {f"{key}.{_key(name)}": one for name, one in value.items()}
        elif key != "units" and isinstance(value, dict):
            blocks = {key: value}
        else:
            continue
        for title, one in blocks.items():
            lines += ["", f"[{title}]"]
            for word, inner in one.items():
                if word == "arms":
                    lines += [f"arms.{_key(a)} = {_value(v)}" for a, v in inner.items()]
                else:
                    lines.append(f"{word} = {_value(inner)}")
    return "\n".join(lines) + "\n"


def bad(seed: int) -> tuple[str, list[str], dict[str, Any]]:
    """Return the layout it was made from, what was done to it, and what it parses to."""
    chance = Chance(seed)
    name = chance.pick(list(SOUND))
    table = tomllib.loads(shipped(name))
    count = chance.pick([1, 1, 1, 1, 1, 2, 2, 2, 2, 3])
    done: list[str] = []
    while len(done) < count:
        mistake = chance.pick(list(MISTAKES))
        if mistake.__name__ in done:
            continue
        try:
            mistake(chance, table)
        except NoSuchPartError:
            continue
        done.append(mistake.__name__)
    table["title"] = f"Bad layout {seed}: {name}, {', '.join(done)}"
    if chance.yes(INCHES):
        table = _inches(table)
        table["units"]["length"] = "in"
    return name, done, table


def bad_text(seed: int) -> str:
    """Return the text of a bad layout file.

    Parameters
    ----------
    seed : int
        From 0; the same seed gives the same text.

    Returns
    -------
    str
        A whole layout file. Not each is bad enough that it does not fit, and a
        few cannot be put together.
    """
    return written(bad(seed)[2])
