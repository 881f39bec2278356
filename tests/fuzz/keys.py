"""Every key that a layout file may have, as a path with names that stand in a layout."""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any

from linkage.config.models import LayoutFile
from linkage.config.tables import Table
from tests.fuzz.seeds import layouts

#: The layout whose names stand in the paths.
BASE = "hauler"
#: And those in which a table of that name means something: in the first a hand lever
#: meets no slot, and a governor a pedal.
OTHERS = {
    "cables": "cable-drum",
    "cams": "cam-roller",
    "hand": "hand-and-foot",
    "governor": "governed-engine",
    "heat": "fault-heat-holds-open",
    "obstacles": "under-a-bonnet",
    "slides": "slide-to-pump",
}
#: Those of them whose tables have names of their own.
NAMED = ("cables", "cams", "slides")


def _paths(annotation: Any, path: tuple[str, ...], here: Any) -> list[tuple[str, ...]]:
    if isinstance(annotation, type) and issubclass(annotation, Table):
        found = []
        for name, field in annotation.model_fields.items():
            key = field.alias or name
            inner = here.get(key, {}) if isinstance(here, dict) else {}
            found += [(*path, key), *_paths(field.annotation, (*path, key), inner)]
        return found
    args = getattr(annotation, "__args__", ())
    if getattr(annotation, "__origin__", None) is dict:
        name = next(iter(here), "new") if isinstance(here, dict) else "new"
        inner = here.get(name, {}) if isinstance(here, dict) else {}
        return [(*path, name), *_paths(args[1], (*path, name), inner)]
    found = []
    for inner_type in args:
        if isinstance(inner_type, type) or getattr(inner_type, "__args__", ()):
            found += _paths(inner_type, path, here)
    return found


def _drum() -> dict[str, Any]:
    """Return what of the layout of cables has keys that stand in no other."""
    data = tomllib.loads(layouts()[OTHERS["cables"]])
    spindle = data["shafts"]["spindle"]
    drums = {name: arm for name, arm in spindle["arms"].items() if "wound" in arm}
    return {"shafts": {"spindle": {"arms": drums}}, "cables": data["cables"]}


@cache
def bases() -> dict[tuple[str, ...], str]:
    """Return by key of the schema, as a path, the layout in which it is set."""
    paths = _paths(LayoutFile, (), tomllib.loads(layouts()[BASE]))
    found = {p: OTHERS.get(p[0], BASE) for p in paths if p[0] not in NAMED}
    for path in _paths(LayoutFile, (), _drum()):
        if path[0] == "cables" or (path[0] == "shafts" and len(path) == 5):
            found[path] = OTHERS["cables"]
    for table in ("cams", "slides"):
        for path in _paths(LayoutFile, (), tomllib.loads(layouts()[OTHERS[table]])):
            if path[0] == table:
                found[path] = OTHERS[table]
    return found


@cache
def every_key() -> tuple[tuple[str, ...], ...]:
    """Return the path of every key of the schema, each once."""
    return tuple(bases())
