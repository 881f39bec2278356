"""What differs between two layouts, and how much work it is to change one so.

Layouts are compared as the files that `linkage.dump` writes, in millimetres,
degrees and newtons, so that nothing hangs on how the package holds them.

Not here: running a check (`tests.bad.record`).
"""

from __future__ import annotations

import math
import re
import tomllib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

Leaves = dict[str, Any]
Changes = dict[str, list[Any]]

#: A way along or across that counts as one. [mm]
WAY = 100.0
#: Turn of an arm that counts as one. [deg]
TURN = 90.0
#: A number at the beginning of a quoted value, and its unit.
NUMBER = re.compile(r"^([-+0-9.eE]+)(?: (\S+)|$)")
#: Where no decimal number of the usual unit gives a value, it is written in SI.
SI = {"m": 1e3, "rad": 180 / math.pi, "N/m": 1e-3, "N·m/rad": math.pi / 180}
#: Set or cut last by whoever fits the linkage, so that it counts nothing.
FREE = re.compile(r"^pedal/stop$|^rods/[^/]*/length$|^title$")
#: What new joints, less play, a spring hooked elsewhere and an engine steady count.
SMALL = {"play": 0.05, "free_play": 0.1, "joints": 0.7, "hook": 0.5, "roll": 1.0}
#: Named parts: a new one, or one taken away, counts one.
PART = re.compile(
    r"^((?:shafts/[^/]*/arms|shafts|rods|springs|stops|throttles)/[^/]*)/"
)


def _plain(value: Any) -> Any:
    if isinstance(value, list):
        return [_plain(v) for v in value]
    if isinstance(value, str) and (found := NUMBER.match(value)):
        value = float(found[1]) * SI.get(found[2], 1.0)
    return float(f"{value:.7g}") if isinstance(value, float) else value


def leaves(text: str) -> Leaves:
    """Return every value of a layout file by its path; numbers as plain numbers."""
    out: Leaves = {}

    def walk(path: str, value: Any) -> None:
        if isinstance(value, dict):
            for key, inner in value.items():
                walk(f"{path}/{key}" if path else key, inner)
            return
        out[path] = _plain(value)

    walk("", tomllib.loads(text))
    return out


def _near(one: Any, two: Any) -> bool:
    if isinstance(one, list) and isinstance(two, list) and len(one) == len(two):
        return all(map(_near, one, two))
    if isinstance(one, (int, float)) and isinstance(two, (int, float)):
        return math.isclose(one, two, rel_tol=1e-6, abs_tol=1e-6)
    return bool(one == two)


def changes(before: str, after: str) -> Changes:
    """Return old and new value by path, where they differ; None where there is none."""
    one, two = leaves(before), leaves(after)
    return {
        path: [one.get(path), two.get(path)]
        for path in dict.fromkeys([*one, *two])
        if not _near(one.get(path), two.get(path))
    }


def _log_ratio(old: Any, new: Any) -> float:
    numbers = all(isinstance(v, (int, float)) and v > 0 for v in (old, new))
    return abs(math.log(new / old)) if numbers else 1.0


#: How much a change of a value counts, by its key; other keys by their ratio.
COUNTED: dict[str, Callable[[Any, Any], float]] = {
    "angle": lambda old, new: abs(math.remainder((new or 0) - (old or 0), 360)) / TURN,
    "offset": lambda old, new: abs((new or 0) - (old or 0)) / WAY,
    "anchor": lambda old, new: math.dist(old, new) / WAY,
    "pivot": lambda old, new: math.dist(old, new) / WAY,
    "carries": lambda old, new: float(len(set(old or ()) ^ set(new or ()))),
}


def _one(path: str, old: Any, new: Any) -> float:
    """Return what one changed value of a part that stays counts."""
    key = path.rsplit("/", maxsplit=1)[-1]
    if FREE.match(path):
        return 0.0
    if key in SMALL:
        return SMALL[key]
    if "/arms/" in path and key == "length":
        return abs(new - old) / old
    return COUNTED.get(key, _log_ratio)(old, new)


def effort(changed: Changes) -> float:
    """Return how much work changes are: 1 is an arm half as long again twice over.

    An arm counts its share of length, its turn in quarter turns and its slide in
    tenths of a metre; so do moved anchors and pivots. Other numbers count the
    logarithm of their ratio, so that a spring of twice the rate is 0.7. A part
    that is new or taken away counts one as a whole. Rods cut to fit and the
    pedal stop, set last, count nothing.
    """
    parts: set[str] = set()
    total = 0.0
    whole = {
        found[1]
        for path, (old, new) in changed.items()
        if (found := PART.match(path)) and _identity(path) and None in (old, new)
    }
    for path, (old, new) in changed.items():
        part = next((p for p in whole if path.startswith(p + "/")), None)
        if part is None:
            total += _one(path, old, new)
        else:
            parts.add(part)
    return total + len(parts)


def _identity(path: str) -> bool:
    """Tell whether a part always has this key: without it there is no such part."""
    found = PART.match(path)
    key = path[found.end() :] if found else ""
    if "/arms/" in path:
        return key == "length"
    return key in {"pivot", "from", "hook", "shaft"}
