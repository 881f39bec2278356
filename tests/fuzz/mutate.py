"""Layout files changed at random: bytes, words, lines, numbers, values, keys, structure."""

from __future__ import annotations

import copy
import math
import re
import tomllib
from typing import TYPE_CHECKING, Any, Final

from tests.fuzz.keys import bases, every_key
from tests.fuzz.seeds import data_of, layouts
from tests.fuzz.toml_text import Raw, dumped
from tests.fuzz.values import ADDED, FACTORS, NAMES, VALUES

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    Mutation = Callable[[Random, str], str | bytes]

_WORD = re.compile(r'"[^"\n]*"|[A-Za-z0-9_.+°·/-]+|\s+|.', re.DOTALL)
_NUMBER = re.compile(r"(?<![\w.\"])-?[0-9]+(?:\.[0-9]+)?(?![\w.])")
_PAIR = re.compile(r"^([^\n#=]+=)([^\n]*)$", re.MULTILINE)
_KEY = re.compile(r"^(\s*)([A-Za-z_.]+)(\s*=)", re.MULTILINE)
_TABLES: Final = ("shafts", "rods", "cables", "throttles", "springs", "stops")


def by_byte(rng: Random, text: str) -> bytes:
    """Change, add or take away a few bytes."""
    data = bytearray(text.encode())
    for _ in range(rng.choice((1, 1, 2, 5, 20))):
        at = rng.randrange(len(data))
        match rng.randrange(4):
            case 0:
                data[at] = rng.randrange(256)
            case 1:
                data.insert(
                    at, rng.choice(b"\"'[]{}=.,\\#\n\r\t\0\x7f\x80\xff -+eE0123456789")
                )
            case 2:
                del data[at : at + rng.choice((1, 1, 2, 10, 200))]
            case _:
                data[at] ^= 1 << rng.randrange(8)
        if not data:
            break
    return bytes(data)


def by_word(rng: Random, text: str) -> str:
    """Change places of words, repeat, drop or replace them."""
    words = _WORD.findall(text)
    for _ in range(rng.choice((1, 1, 2, 4))):
        at, other = rng.randrange(len(words)), rng.randrange(len(words))
        match rng.randrange(4):
            case 0:
                words[at], words[other] = words[other], words[at]
            case 1:
                words.insert(at, words[other])
            case 2:
                words[at] = ""
            case _:
                words[at] = rng.choice(VALUES)
    return "".join(words)


def by_line(rng: Random, text: str) -> str:
    """Drop, repeat, move or join lines."""
    lines = text.split("\n")
    for _ in range(rng.choice((1, 1, 2, 4))):
        at, other = rng.randrange(len(lines)), rng.randrange(len(lines))
        match rng.randrange(5):
            case 0:
                del lines[at : at + rng.choice((1, 1, 3, 10))]
            case 1:
                lines.insert(other, lines[at])
            case 2:
                lines[at], lines[other] = lines[other], lines[at]
            case 3:
                lines[at : at + 2] = ["".join(lines[at : at + 2])]
            case _:
                lines = lines[: at + 1]
        lines = lines or [""]
    return "\n".join(lines)


def _other(rng: Random, written: str) -> str:
    number = float(written)
    match rng.randrange(5):
        case 0:
            return rng.choice(VALUES)
        case 1:
            number += rng.choice(ADDED)
        case 2:
            number += rng.gauss(0, abs(number) or 1)
        case _:
            number *= rng.choice(FACTORS)
    return f"{number:.12g}" if math.isfinite(number) else "1e11"


def by_number(rng: Random, text: str) -> str:
    """Change some numbers, most of them to such as might be measured."""
    found = list(_NUMBER.finditer(text, text.find("[")))
    picked = rng.sample(found, min(len(found), rng.choice((1, 1, 2, 3, 8))))
    for one in sorted(picked, key=lambda m: -m.start()):
        text = text[: one.start()] + _other(rng, one.group()) + text[one.end() :]
    return text


def by_value(rng: Random, text: str) -> str:
    """Put hostile values in the place of some."""
    pairs = list(_PAIR.finditer(text))
    for pair in sorted(rng.sample(pairs, min(len(pairs), 1)), key=lambda m: -m.start()):
        text = text[: pair.start(2)] + " " + rng.choice(VALUES) + text[pair.end(2) :]
    return text


def by_key(rng: Random, text: str) -> str:
    """Call some keys otherwise: as another key, a part, or nothing known."""
    keys = list(_KEY.finditer(text))
    for one in sorted(rng.sample(keys, min(len(keys), 1)), key=lambda m: -m.start()):
        match rng.randrange(4):
            case 0:
                new = rng.choice(every_key())[-1]
            case 1:
                new = rng.choice(NAMES)
            case 2:
                new = ".".join([one.group(2)] * rng.choice((2, 5, 9, 500)))
            case _:
                new = one.group(2)[:-1] or "x"
        text = text[: one.start(2)] + new + text[one.end(2) :]
    return text


def _renamed(value: Any, old: str, new: str) -> Any:
    """Return data with a part called otherwise, wherever it is named."""
    match value:
        case dict():
            return {
                (new if k == old else k): _renamed(v, old, new)
                for k, v in value.items()
            }
        case list():
            return [_renamed(v, old, new) for v in value]
        case str() if old in value.split("."):
            return ".".join(new if part == old else part for part in value.split("."))
    return value


def _paths(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    found = [path] if path else []
    items: Any = ()
    if isinstance(value, dict):
        items = value.items()
    elif isinstance(value, list):
        items = enumerate(value)
    for key, inner in items:
        found += _paths(inner, (*path, key))
    return found


def put(data: Any, path: tuple[Any, ...], value: Any) -> None:
    """Set a value in plain data, making tables on the way; None takes it away."""
    for key in path[:-1]:
        if isinstance(data, dict):
            inner = data.get(key)
            if not isinstance(inner, dict | list):
                inner = data[key] = {}
            data = inner
        else:
            data = data[key]
    if value is not None:
        data[path[-1]] = value
    elif isinstance(data, dict):
        data.pop(path[-1], None)
    else:
        del data[path[-1]]


def _get(data: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        data = data[key]
    return data


def by_structure(rng: Random, text: str) -> str:
    """Take parts away, repeat them, call them otherwise, bring some of another car."""
    data = tomllib.loads(text)
    for _ in range(rng.choice((1, 1, 2, 3))):
        paths = _paths(data)
        at = rng.choice(paths)
        match rng.randrange(7):
            case 0:
                put(data, at, None)
            case 1:
                put(data, at, Raw(rng.choice(VALUES)))
            case 2:
                put(data, at, copy.deepcopy(_get(data, rng.choice(paths))))
            case 3:
                tables = [p for p in paths if len(p) == 2 and p[0] in _TABLES]
                tables += [p for p in paths if len(p) == 4 and p[2] == "arms"]
                if tables:
                    data = _renamed(
                        data, str(rng.choice(tables)[-1]), rng.choice(NAMES)
                    )
            case 4:
                tables = [p for p in paths if len(p) == 2 and p[0] in _TABLES]
                for table in rng.sample(tables, min(len(tables), 1)):
                    for i in range(rng.choice((1, 1, 2, 5))):
                        new = rng.choice((*NAMES, f"copy {i}"))
                        put(data, (table[0], new), copy.deepcopy(_get(data, table)))
            case 5:
                other = data_of(rng.choice([*layouts()]))
                key = rng.choice([*other])
                data[key] = other[key]
            case _:
                put(data, rng.choice(every_key()), Raw(rng.choice(VALUES)))
    return dumped(data)


def by_schema(rng: Random, _text: str) -> str:
    """Set one key of the schema, whether it stands in the layout or not."""
    return with_key(rng.choice(every_key()), rng.choice(VALUES))


def with_key(path: tuple[str, ...], value: str) -> str:
    """Return a layout with one key set to a value, as it stands in TOML."""
    data = data_of(bases()[path])
    put(data, path, Raw(value))
    return dumped(data)


#: How often each is taken.
MUTATIONS: Final[dict[Mutation, int]] = {
    by_byte: 8, by_word: 10, by_line: 8, by_number: 14, by_value: 12, by_key: 8,
    by_structure: 15, by_schema: 25,
}  # fmt: skip
#: The same where most are to be layouts still.
DEEP: Final[dict[Mutation, int]] = {**MUTATIONS, by_number: 80, by_structure: 40}


def mutated(rng: Random, text: str, *, deep: bool = False) -> bytes:
    """Return a layout file that was changed once, or a few times over."""
    kinds = DEEP if deep else MUTATIONS
    for _ in range(rng.choice((1, 1, 1, 2))):
        (change,) = rng.choices([*kinds], [*kinds.values()])
        try:
            new = change(rng, text)
        except (LookupError, RecursionError, TypeError, ValueError):
            continue  # what the first change broke the second cannot read
        if isinstance(new, bytes):
            return new
        text = new
    return text.encode("utf-8", "surrogatepass")
