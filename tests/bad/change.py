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
#: Friction of a layout that names none, as docs/layout-file.md has it.
FRICTION = 0.15
#: A number at the beginning of a quoted value, and its unit.
NUMBER = re.compile(r"^([-+0-9.eE]+)(?: (\S+)|$)")
#: Where no decimal number of the usual unit gives a value, it is written in SI.
SI = {"m": 1e3, "rad": 180 / math.pi, "N/m": 1e-3, "N·m/rad": math.pi / 180}
#: Set or cut last by whoever fits the linkage, so that it counts nothing.
FREE = re.compile(r"^pedal/stop$|^rods/[^/]*/length$|^title$")
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


def _frictions(leaves_: Leaves) -> Leaves:
    """Return the values with the layout's friction on every shaft that names none."""
    usual = leaves_.get("friction/coefficient", FRICTION)
    shafts = {path.rpartition("/")[0] for path in leaves_ if path.endswith("/pivot")}
    return {f"{shaft}/friction": usual for shaft in shafts} | leaves_


def changes(before: str, after: str) -> Changes:
    """Return old and new value by path, where they differ; None where there is none."""
    one, two = _frictions(leaves(before)), _frictions(leaves(after))
    return {
        path: [one.get(path), two.get(path)]
        for path in dict.fromkeys([*one, *two])
        if not _near(one.get(path), two.get(path))
    }


def _log_ratio(old: Any, new: Any) -> float:
    numbers = all(isinstance(v, (int, float)) and v > 0 for v in (old, new))
    return abs(math.log(new / old)) if numbers else 1.0


#: How much a change of a value counts, by its key; other keys by their ratio.
#: New joints, less play, another hook, a bracket moved to the body, an engine
#: steady and a strap count what the search of before counted them.
COUNTED: dict[str, Callable[[Any, Any], float]] = {
    "angle": lambda old, new: abs(math.remainder((new or 0) - (old or 0), 360)) / TURN,
    "offset": lambda old, new: abs((new or 0) - (old or 0)) / WAY,
    "anchor": lambda old, new: math.dist(old, new) / WAY,
    "pivot": lambda old, new: math.dist(old, new) / WAY,
    "carries": lambda old, new: 0.5 * len(set(old or ()) ^ set(new or ())),
    "roll": lambda _old, _new: 2.0,
    "lift": lambda _old, _new: 2.0,
    "joints": lambda _old, _new: 0.7,
    "hook": lambda _old, _new: 0.5,
    "shuts": lambda _old, _new: 0.5,
    "play": lambda _old, _new: 0.05,
    "free_play": lambda _old, _new: 0.1,
}


def effort(changed: Changes) -> float:
    """Return how much work changes are; making an arm half as long again is a half.

    An arm counts its share of length, its turn in quarter turns and its slide in
    tenths of a metre; so do moved anchors and pivots. A spring, or whatever else is
    made stronger or weaker, counts the logarithm of the ratio that changes most: of
    twice the rate, 0.7. A bearing that is freed counts one more. A part that is new
    or taken away counts one as a whole. Rods cut to fit and the pedal stop, set
    last, count nothing.
    """
    gone = {
        found[1]
        for path, (old, new) in changed.items()
        if (found := PART.match(path)) and _identity(path) and None in (old, new)
    }
    total = float(len(gone))
    ratios: dict[str, float] = {}
    for path, (old, new) in changed.items():
        if any(path.startswith(part + "/") for part in gone) or FREE.match(path):
            continue
        part, key = path.rpartition("/")[::2]
        if "/arms/" in path and key == "length":
            total += abs(new - old) / old
        elif key in COUNTED:
            total += COUNTED[key](old, new)
        else:
            ratios[part] = max(ratios.get(part, 0.0), _log_ratio(old, new))
    freed = sum(part.startswith("shafts/") for part in ratios)
    return total + freed + sum(ratios.values())


def _identity(path: str) -> bool:
    """Tell whether a part always has this key: without it there is no such part."""
    found = PART.match(path)
    key = path[found.end() :] if found else ""
    if "/arms/" in path:
        return key == "length"
    return key in {"pivot", "from", "hook", "shaft"}
